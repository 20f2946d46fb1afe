namespace PoeOps.Cmdlets.Completion;

/// <summary>A name that is offered, and what is said beside it.</summary>
/// <param name="Name">The name.</param>
/// <param name="About">What it is; the name itself where nobody says.</param>
internal sealed record OfferedName(string Name, string? About = null);
