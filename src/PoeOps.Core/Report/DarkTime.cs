namespace PoeOps.Report;

/// <summary>One of the times that a load is dark: that of a unit with several images is dark once for each, perhaps nights apart.</summary>
public sealed record DarkTime
{
    /// <summary>Which of the times it is; the first is 1.</summary>
    public int Number { get; init; } = 1;

    /// <summary>When the load goes dark by the plan, UTC; null where the plan does not say.</summary>
    public DateTime? PlannedFromUtc { get; init; }

    /// <summary>When it has power again by the plan, UTC; null where it is refused or the plan does not say.</summary>
    public DateTime? PlannedUntilUtc { get; init; }

    /// <summary>How long it is dark by the plan, typical times.</summary>
    public double? PlannedSecondsTypical { get; init; }

    /// <summary>How long it is dark by the plan where every stage takes its worst time.</summary>
    public double? PlannedSecondsWorst { get; init; }

    /// <summary>When it went dark, UTC; null where it did not or no journal says.</summary>
    public DateTime? RealFromUtc { get; init; }

    /// <summary>When it had power again, UTC; null where it has none or no journal says.</summary>
    public DateTime? RealUntilUtc { get; init; }

    /// <summary>How long it was dark; null where it has no power or no journal says.</summary>
    public double? RealSeconds { get; init; }
}
