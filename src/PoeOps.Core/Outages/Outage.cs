using PoeOps.Baselines;
using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>
/// What the refresh of one unit costs. Typical times unless a name says worst. What rests on stage times is null where the baseline gives none for an
/// image: the row is there, and nothing in it is a guess.
/// </summary>
public sealed record Outage
{
    /// <summary>Makes the row of a drift.</summary>
    public Outage(Drift drift) => Drift = drift;

    /// <summary>The site of the switch.</summary>
    public string Site => Drift.Site;

    /// <summary>The switch.</summary>
    public string Switch => Drift.Switch;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit => Drift.Unit;

    /// <summary>The unit's id.</summary>
    public UnitId UnitId => Drift.UnitId;

    /// <summary>How the controller stands to the baseline.</summary>
    public Verdict Verdict => Drift.Verdict;

    /// <summary>How many images have to be loaded; 0 where nothing goes dark.</summary>
    public int Hops => Drift.Hops;

    /// <summary>How many loads are powered now.</summary>
    public int Loads { get; init; }

    /// <summary>How many of them people can come to harm without.</summary>
    public int LifeSafetyLoads { get; init; }

    /// <summary>How many of them the budget leaves without power when all come back at once; they are in no sum of times. Null where the budget was not read.</summary>
    public int? RefusedLoads { get; init; }

    /// <summary>What would bring the refused loads back, each simulated; empty where none is refused, where nothing of the kind helps, or where the budget was not read.</summary>
    public IReadOnlyList<RestartRemedy> Remedies { get; init; } = [];

    /// <summary>How many come back with less than they ask for; null where the budget was not read.</summary>
    public int? ReducedLoads { get; init; }

    /// <summary>How long the load that is dark longest is dark, all hops together; null where stage times are not known.</summary>
    public double? DarkSecondsTypical { get; init; }

    /// <summary>The same where every stage takes its worst time.</summary>
    public double? DarkSecondsWorst { get; init; }

    /// <summary>Minutes without power, summed over the loads; null where stage times are not known.</summary>
    public double? DarkLoadMinutes { get; init; }

    /// <summary>Minutes until they serve again, summed over the loads; null where stage times or a role's restart time are not known.</summary>
    public double? OutOfServiceLoadMinutes { get; init; }

    /// <summary>Energy not delivered, watt-hours: draw before the refresh times dark time, over the loads whose draw was read; null where stage times are not known.</summary>
    public decimal? UnservedWattHours { get; init; }

    /// <summary>Powered loads whose draw was not read; they are in no sum of energy.</summary>
    public int DrawUnknownLoads { get; init; }

    /// <summary>Class figures of all powered loads together, watts at the PSE: what they ask for when all come back at once. A class that was not read counts as class 0.</summary>
    public decimal RestartDemandWatts { get; init; }

    /// <summary>What the unit's supplies can give, watts; null where not read.</summary>
    public decimal? BudgetWatts { get; init; }

    /// <summary>What the demand exceeds budget less guard band by, watts, or 0; null where the budget was not read. A guard band that nobody names is 0.</summary>
    public decimal? ShortfallWatts { get; init; }

    /// <summary>When the last load has power again for good, seconds from the start of the refresh; null where stage times are not known.</summary>
    public double? LastLoadBackSeconds { get; init; }

    /// <summary>Where the stage times are from: <c>baseline</c>; empty where none are needed or known.</summary>
    public string StageTimesFrom { get; init; } = string.Empty;

    /// <summary>What to do before life-safety loads go dark; empty where there are none.</summary>
    public string Caution { get; init; } = string.Empty;

    /// <summary>The drift that it was measured from.</summary>
    public Drift Drift { get; init; }

    /// <summary>The loads that go dark, in port order; empty where none does or stage times are not known.</summary>
    public IReadOnlyList<LoadOutage> LoadOutages { get; init; } = [];
}

/// <summary>An outage, and what of it is not known.</summary>
/// <param name="Outage">The outage.</param>
/// <param name="Problems">Why some of its figures are null.</param>
public sealed record OutageResult(Outage Outage, IReadOnlyList<Problem> Problems);
