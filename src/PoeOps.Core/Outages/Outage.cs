using PoeOps.Baselines;
using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>What the refresh of one unit costs. Typical times unless a name says worst.</summary>
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

    /// <summary>How long the load that is dark longest is dark.</summary>
    public double DarkSecondsTypical { get; init; }

    /// <summary>The same where every stage takes its worst time.</summary>
    public double DarkSecondsWorst { get; init; }

    /// <summary>Minutes without power, summed over the loads.</summary>
    public double DarkLoadMinutes { get; init; }

    /// <summary>Minutes until they serve again, summed over the loads; null where a role's restart time is not known.</summary>
    public double? OutOfServiceLoadMinutes { get; init; }

    /// <summary>Energy not delivered, watt-hours, over the loads whose draw was read.</summary>
    public decimal UnservedWattHours { get; init; }

    /// <summary>Loads whose draw was not read and that are in no sum of energy.</summary>
    public int DrawUnknownLoads { get; init; }

    /// <summary>Class figures of all powered loads together, watts: what they ask for when all come back at once.</summary>
    public decimal RestartDemandWatts { get; init; }

    /// <summary>What the unit's supplies can give, watts; null where not read.</summary>
    public decimal? BudgetWatts { get; init; }

    /// <summary>What the demand exceeds budget less guard band by, or 0; null where the budget was not read.</summary>
    public decimal? ShortfallWatts { get; init; }

    /// <summary>When the last load has power again, seconds from the start of the refresh.</summary>
    public double LastLoadBackSeconds { get; init; }

    /// <summary>Where the stage times are from.</summary>
    public string StageTimesFrom { get; init; } = string.Empty;

    /// <summary>What to do before life-safety loads go dark; empty where there are none.</summary>
    public string Caution { get; init; } = string.Empty;

    /// <summary>The drift that it was measured from.</summary>
    public Drift Drift { get; init; }

    /// <summary>The loads, in port order.</summary>
    public IReadOnlyList<LoadOutage> LoadOutages { get; init; } = [];
}

/// <summary>An outage, or why it cannot be measured.</summary>
/// <param name="Outage">The outage, or null.</param>
/// <param name="Problems">What stands in the way.</param>
public sealed record OutageResult(Outage? Outage, IReadOnlyList<Problem> Problems);
