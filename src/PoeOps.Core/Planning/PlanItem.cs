using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>One image on one unit, as the search for a plan sees it. Times are ticks of 100 ns; moments are ticks of UTC.</summary>
internal sealed class PlanItem
{
    /// <summary>Its place among the items; units in natural order, their images in order.</summary>
    public required int Index { get; init; }

    /// <summary>The unit's outage.</summary>
    public required Outage Outage { get; init; }

    /// <summary>Which of the unit's images; the first is 0.</summary>
    public required int Hop { get; init; }

    /// <summary>The unit, by its place among the units.</summary>
    public required int Unit { get; init; }

    /// <summary>The site, by its place among the sites.</summary>
    public required int Site { get; init; }

    /// <summary>Gate to the end of Verify in the worst case.</summary>
    public required double WorstSeconds { get; init; }

    /// <summary>How long the lane is taken: worst case and recovery.</summary>
    public required long Length { get; init; }

    /// <summary>Its coverage group within the site, where its units must not share a window; -1 for none.</summary>
    public required int Group { get; init; }

    /// <summary>How many loads go dark.</summary>
    public required int Loads { get; init; }

    /// <summary>The windows that it may use, by their places, in order of opening.</summary>
    public required int[] Windows { get; set; }

    /// <summary>Not before this.</summary>
    public long Ready { get; set; }

    /// <summary>True for the first of its model and image.</summary>
    public bool IsPilot { get; set; }

    /// <summary>What must have ended before, and how long before.</summary>
    public List<(int Item, long Lag)> Before { get; } = [];

    /// <summary>What starts after it, and how long after its end at the earliest.</summary>
    public List<(int Item, long Lag)> After { get; } = [];
}

/// <summary>A window of a site, as the search sees it.</summary>
/// <param name="Index">Its place among the windows.</param>
/// <param name="Site">The site, by its place.</param>
/// <param name="Opens">When it opens, ticks of UTC; not before the plan begins.</param>
/// <param name="Ends">When the last unit's loads must serve again: its close less the reserve.</param>
/// <param name="Closes">When it closes.</param>
/// <param name="Window">The window.</param>
internal sealed record PlanWindow(int Index, int Site, long Opens, long Ends, long Closes, Calendar.Window Window)
{
    /// <summary>How much work it takes.</summary>
    public long Room => Math.Max(0, Ends - Opens);

    /// <summary>True where it is open at the same time as another.</summary>
    public bool Overlaps(PlanWindow other) => Window.OpensUtc < other.Window.ClosesUtc && other.Window.OpensUtc < Window.ClosesUtc;
}
