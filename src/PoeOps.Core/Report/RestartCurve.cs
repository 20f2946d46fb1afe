namespace PoeOps.Report;

/// <summary>How the loads of a unit come back after its reset, against what the unit can give.</summary>
public sealed record RestartCurve
{
    /// <summary>The unit as its id prints.</summary>
    public string UnitId { get; init; } = string.Empty;

    /// <summary>What the unit's supplies can give, watts; null where not read.</summary>
    public decimal? BudgetWatts { get; init; }

    /// <summary>What all loads claim together at turn-on, watts; null where the plan does not say.</summary>
    public decimal? DemandWatts { get; init; }

    /// <summary>What that exceeds budget less guard band by, watts, or 0; null where the plan does not say.</summary>
    public decimal? ShortfallWatts { get; init; }

    /// <summary>How many loads the plan says stay without power; null where the plan does not say.</summary>
    public int? RefusedLoads { get; init; }

    /// <summary>True where the watts are those that the plan says are granted in the end; false where they are what each load drew before.</summary>
    public bool WattsAreGranted { get; init; }

    /// <summary>The loads as the plan says that they come back, in order; empty where there is no plan.</summary>
    public IReadOnlyList<CurveStep> Planned { get; init; } = [];

    /// <summary>The loads as they came back by the journal, in order; empty where none tells.</summary>
    public IReadOnlyList<CurveStep> Real { get; init; } = [];

    /// <summary>The watts that are out in the end by the plan.</summary>
    public decimal PlannedWatts => Planned.Count == 0 ? 0 : Planned[Planned.Count - 1].SumWatts;
}

/// <summary>A load has power.</summary>
/// <param name="Seconds">Seconds from the end of the reset.</param>
/// <param name="Port">Its port.</param>
/// <param name="Watts">Its watts; 0 where they are not known.</param>
/// <param name="SumWatts">The watts of all that have power from then on.</param>
public sealed record CurveStep(double Seconds, string Port, decimal Watts, decimal SumWatts);
