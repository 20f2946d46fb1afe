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

    /// <summary>True where nobody looked for remedies, as in a row of a plan.</summary>
    internal bool RemediesAreUnknown { get; init; }

    /// <summary>How many the budget leaves without power when the largest supply has failed; null where the supplies are not known.</summary>
    public int? RefusedLoadsOneFailed { get; init; }

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

    /// <summary>What all powered loads claim together at turn-on, watts at the PSE: as a rule their class figures. A class that was not read counts as class 0. Null where a figure of the unit cannot be.</summary>
    public decimal? RestartDemandWatts { get; init; }

    /// <summary>What the unit's supplies can give, watts; null where not read.</summary>
    public decimal? BudgetWatts { get; init; }

    /// <summary>What the demand exceeds budget less guard band by, watts, or 0; null where the budget was not read. A guard band that nobody names is 0.</summary>
    public decimal? ShortfallWatts { get; init; }

    /// <summary>What may still be set aside now, watts: budget less guard band less allocated, negative where more is set aside; null where not read.</summary>
    public decimal? HeadroomWatts { get; init; }

    /// <summary>What the wall gives for what the loads draw now, watts; null where the efficiency or the draw is not known.</summary>
    public decimal? DrawWallWatts { get; init; }

    /// <summary>When the last load has power again for good, seconds from the start of the refresh; null where stage times are not known.</summary>
    public double? LastLoadBackSeconds { get; init; }

    /// <summary>Seconds from the end of a reset until the last load that comes back serves again; a load whose restart time is not known counts with its power alone.</summary>
    public double RecoverSeconds => LoadOutages.Select(load => load.BackSeconds + (load.RestartSeconds ?? 0) ?? 0).DefaultIfEmpty(0).Max();

    /// <summary>
    /// Where the stage times are from: <c>baseline</c>, <c>journal (12)</c> with the number of refreshes that they are learned from, <c>baseline (3 of 5)</c>
    /// where too few were found to learn from, <c>plan</c>; empty where none are needed or known. Where the images of a unit differ in it, one after the other.
    /// </summary>
    public string StageTimesFrom { get; init; } = string.Empty;

    /// <summary>What to do before life-safety loads go dark; empty where there are none.</summary>
    public string Caution { get; init; } = string.Empty;

    /// <summary>The drift that it was measured from.</summary>
    public Drift Drift { get; init; }

    /// <summary>The loads that go dark, in port order; empty where none does.</summary>
    public IReadOnlyList<LoadOutage> LoadOutages { get; init; } = [];

    /// <summary>The power that is granted after a reset, step by step; empty where the budget was not read.</summary>
    public IReadOnlyList<GrantStep> GrantSteps { get; init; } = [];

    /// <summary>How the refresh of the unit ended, by the journal; empty where no journal says so.</summary>
    public string RealOutcome { get; init; } = string.Empty;

    /// <summary>How long the load that was dark longest was dark, by the journal, all hops together; null where no journal says so.</summary>
    public double? RealDarkSeconds { get; init; }

    /// <summary>Minutes without power, summed over the loads that came back, by the journal; null where no journal says so.</summary>
    public double? RealDarkLoadMinutes { get; init; }

    /// <summary>How many loads had power again in the end, by the journal; null where no journal says so.</summary>
    public int? RealLoadsBack { get; init; }
}

/// <summary>An outage, and what of it is not known.</summary>
/// <param name="Outage">The outage.</param>
/// <param name="Problems">Why some of its figures are null.</param>
public sealed record OutageResult(Outage Outage, IReadOnlyList<Problem> Problems);
