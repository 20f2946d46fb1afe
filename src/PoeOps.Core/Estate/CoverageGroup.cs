namespace PoeOps.Estate;

/// <summary>Units of a site that cover for each other: while the loads of one are dark, those of another do the work.</summary>
/// <param name="Name">The word that its units bear, without regard to case.</param>
/// <param name="Apart">How far apart they are refreshed.</param>
public sealed record CoverageGroup(string Name, CoverageApart Apart);

/// <summary>How far apart the units of a coverage group are refreshed.</summary>
public enum CoverageApart
{
    /// <summary>Never in the same window; the default.</summary>
    Window,
    /// <summary>Only not dark together: the next may start when the loads of the last serve again.</summary>
    Recovered,
}
