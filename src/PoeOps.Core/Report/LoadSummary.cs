using PoeOps.Outages;

namespace PoeOps.Report;

/// <summary>What is known of a load.</summary>
public enum LoadState
{
    /// <summary>It is planned to go dark, and no journal was given.</summary>
    Planned,
    /// <summary>It was not dark: its unit was not begun, or kept its ports powered.</summary>
    NotDark,
    /// <summary>It was dark and has power again.</summary>
    Back,
    /// <summary>It was last seen without power.</summary>
    Dark,
    /// <summary>Nobody knows whether it has power.</summary>
    NotKnown,
}

/// <summary>One load: from when to when it is dark, planned and real, all images of its unit together.</summary>
public sealed record LoadSummary
{
    // Of a name as much as leaves room for the port and the seconds behind it; the tables have it whole.
    private const int MostOfAName = 32;

    /// <summary>The unit as its id prints.</summary>
    public string UnitId { get; init; } = string.Empty;

    /// <summary>The port, as the device names it within the unit.</summary>
    public string Port { get; init; } = string.Empty;

    /// <summary>What people call the load; empty where nobody says.</summary>
    public string Load { get; init; } = string.Empty;

    /// <summary>What the load does for people; empty where nobody says.</summary>
    public string Role { get; init; } = string.Empty;

    /// <summary>True where people can come to harm while it is dark.</summary>
    public bool LifeSafety { get; init; }

    /// <summary>What is known of it.</summary>
    public LoadState State { get; init; }

    /// <summary>What it was measured to draw before, watts at the PSE; null where not read.</summary>
    public decimal? DrawWatts { get; init; }

    /// <summary>What becomes of it after the reset by the plan; null where the plan does not say.</summary>
    public RestartOutcome? PlannedRestart { get; init; }

    /// <summary>When it goes dark by the plan, UTC.</summary>
    public DateTime? PlannedDarkFromUtc { get; init; }

    /// <summary>When it has power again for good by the plan, UTC; null where it is refused or the plan does not say.</summary>
    public DateTime? PlannedDarkUntilUtc { get; init; }

    /// <summary>How long it is dark by the plan, typical times.</summary>
    public double? PlannedDarkSecondsTypical { get; init; }

    /// <summary>How long it is dark by the plan where every stage takes its worst time.</summary>
    public double? PlannedDarkSecondsWorst { get; init; }

    /// <summary>When it went dark, UTC; null where it did not or no journal says.</summary>
    public DateTime? RealDarkFromUtc { get; init; }

    /// <summary>When it had power again for good, UTC; null where it has none or no journal says.</summary>
    public DateTime? RealDarkUntilUtc { get; init; }

    /// <summary>How long it was dark; null where it has no power or no journal says.</summary>
    public double? RealDarkSeconds { get; init; }

    /// <summary>Whether it was dark longer than the worst case of the plan for the images that were begun, or has no power although the plan said it would; null where that cannot be told.</summary>
    public bool? LongerThanWorst { get; init; }

    /// <summary>The same against the typical times of the plan.</summary>
    public bool? LongerThanTypical { get; init; }

    /// <summary>The times of a load that is dark more than once, one for each image of its unit; empty where there is but one.</summary>
    public IReadOnlyList<DarkTime> Times { get; init; } = [];

    /// <summary>How long it was dark in an attempt before the last, where that was longer than the worst case of the plan; null where it was not.</summary>
    internal double? LongerBeforeSeconds { get; init; }

    /// <summary>The port's id as it prints.</summary>
    public string PortId => UnitId + "/" + Port;

    /// <summary>The load as people would name it, with its port.</summary>
    internal string InWords => $"{ReportText.ClipWords(Load.Length > 0 ? Load : Role.Length > 0 ? Role : "load", MostOfAName)} on {PortId}";
}
