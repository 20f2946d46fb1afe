using PoeOps.Estate;

namespace PoeOps.Dialects;

/// <summary>What a text gave: the controllers with their ports, and everything that could not be read.</summary>
/// <param name="Controllers">In natural order of their units.</param>
/// <param name="Problems">In the order of the lines.</param>
/// <param name="Lines">What every line was read as; empty unless the context asked for it.</param>
public sealed record Reading(IReadOnlyList<Controller> Controllers, IReadOnlyList<Problem> Problems, IReadOnlyList<LineReading> Lines)
{
    /// <summary>The release of the switch software as it was printed; null where no line says it.</summary>
    public string? Release { get; init; }
}

/// <summary>What a reading knows beside the text.</summary>
public sealed record ReadingContext
{
    /// <summary>The switch that the text is of.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>Where the text came from: <c>console</c>, or the capture's path.</summary>
    public string Source { get; init; } = string.Empty;

    /// <summary>When it was printed, UTC.</summary>
    public DateTime ReadUtc { get; init; }

    /// <summary>True to say of every line what it was read as.</summary>
    public bool KeepLines { get; init; }
}

/// <summary>What became of one line.</summary>
/// <param name="File">The file, or the answer.</param>
/// <param name="Line">The line's number, as an editor counts.</param>
/// <param name="Text">What a reader at the console would see.</param>
/// <param name="ReadAs">What it was read as.</param>
/// <param name="Rule">The rule that took it; empty where none did.</param>
/// <param name="Fields">What it filled, as <c>Name=value</c> with semicolons between.</param>
/// <param name="Record">The record that it filled, such as <c>port 1/17</c>; empty where none.</param>
public sealed record LineReading(string File, int Line, string Text, ReadAs ReadAs, string Rule, string Fields, string Record)
{
    /// <summary>The rule that ignores the line; empty where none does.</summary>
    public string IgnoredBy => ReadAs == ReadAs.Ignored ? Rule : string.Empty;
}

/// <summary>What a line can be read as.</summary>
public enum ReadAs
{
    /// <summary>No rule reads it.</summary>
    Unread,
    /// <summary>A rule of a block read it.</summary>
    Read,
    /// <summary>A rule says that it carries nothing.</summary>
    Ignored,
    /// <summary>It is empty.</summary>
    Blank,
    /// <summary>It is a prompt, with the command that was typed.</summary>
    Prompt,
}
