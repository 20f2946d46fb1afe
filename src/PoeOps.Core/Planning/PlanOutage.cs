using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>The outages of the units of a plan, as it was approved: nothing is read or simulated again.</summary>
public static class PlanOutage
{
    /// <summary>Makes the rows of a plan, one for each unit with all its images, in the order in which the units start.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="runs">What journals tell of refreshes that are over; null for nothing.</param>
    public static IReadOnlyList<Outage> Of(Plan plan, EarlierRuns? runs = null) =>
        [.. plan.Units.OrderBy(unit => unit.Order).GroupBy(unit => unit.UnitId).Select(hops => Of([.. hops.OrderBy(hop => hop.Hop)], runs))];

    private static Outage Of(PlannedUnit[] hops, EarlierRuns? runs)
    {
        PlannedUnit first = hops[0];
        Hop[] path = [.. hops.Select(hop => new Hop(hop.ToFirmware, hop.Image, hop.StageTimes))];
        (HopSequence? sequence, _) = HopSequence.Of(path, first.RecoverSeconds);
        Outage known = WithoutTimes(first, path);
        Outage outage = sequence is null ? known : WithClock(OutageMeasure.WithTimes(known, sequence) with { StageTimesFrom = "plan" }, sequence, hops);
        return runs?.Real(first.UnitId, path) is { } real ? RealOutage.Beside(outage, real) : outage;
    }

    private static Outage WithoutTimes(PlannedUnit unit, Hop[] path)
    {
        LoadOutage[] loads = [.. unit.DarkLoads.Select(load => load.At(unit))];
        bool simulated = loads.Length > 0 && loads.All(load => load.Restart is not null);
        int? Count(RestartOutcome outcome) => simulated ? loads.Count(load => load.Restart == outcome) : null;
        var controller = new Controller
        {
            Site = unit.Site,
            Switch = unit.Switch,
            Unit = unit.Unit,
            Model = unit.Model,
            Serial = unit.Serial,
            Release = unit.Release,
            Firmware = unit.FromFirmware,
            BudgetWatts = unit.BudgetWatts,
        };
        return new Outage(new Drift(controller) { Verdict = Verdict.Behind, Reason = "It is planned.", Path = path })
        {
            Loads = unit.Loads,
            LifeSafetyLoads = unit.LifeSafetyLoads,
            RemediesAreUnknown = true,
            RefusedLoads = Count(RestartOutcome.Refused),
            ReducedLoads = Count(RestartOutcome.Reduced),
            DrawUnknownLoads = loads.Count(load => load.DrawWatts is null),
            RestartDemandWatts = unit.RestartDemandWatts,
            BudgetWatts = unit.BudgetWatts,
            ShortfallWatts = unit.ShortfallWatts,
            Caution = unit.LifeSafetyLoads > 0 ? LifeSafety.Caution(unit.LifeSafetyLoads) : string.Empty,
            LoadOutages = loads,
        };
    }

    // A load goes dark in the first of its unit's refreshes, and is back for good in the last.
    private static Outage WithClock(Outage outage, HopSequence sequence, PlannedUnit[] hops) => outage with
    {
        LoadOutages =
        [
            .. outage.LoadOutages.Select(load => load with
            {
                DarkFromUtc = hops[0].StartUtc + TimeSpan.FromSeconds(load.DarkFromSeconds ?? 0),
                DarkUntilUtc = load.BackSeconds is { } back ? hops[hops.Length - 1].StartUtc + TimeSpan.FromSeconds(sequence.LastResetAfterSeconds + back) : null,
            }),
        ],
    };
}
