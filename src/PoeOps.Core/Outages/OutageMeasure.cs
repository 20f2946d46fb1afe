using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// Measures the outage of a unit. Loads are dark from the start of Erase until they are granted power again (<see cref="Repower"/>), and serve again
/// when the restart time of their role has gone by. Where the budget was read, whether and when each comes back is simulated (<see cref="Restart"/>); a load
/// that is refused has no end of its outage and is in none of the sums.
/// </summary>
public static class OutageMeasure
{
    /// <summary>Measures the outage of a unit; one that has nothing to load has an outage of nothing.</summary>
    /// <param name="drift">The unit's drift.</param>
    /// <returns>The outage; with <see cref="ProblemId.StageTimesUnknown"/> where the baseline gives no times for an image, and the figures that rest on them null.</returns>
    public static OutageResult Measure(Drift drift)
    {
        var restart = UnitRestart.Of(drift.Controller, out Problem? impossible);
        Problem[] problems = impossible is null ? [] : [impossible];
        Outage known = WithoutTimes(drift, restart);
        if (drift.Hops == 0)
        {
            return new OutageResult(known with { DarkSecondsTypical = 0, DarkSecondsWorst = 0, DarkLoadMinutes = 0, OutOfServiceLoadMinutes = 0, UnservedWattHours = 0, LastLoadBackSeconds = 0 }, problems);
        }

        (HopSequence? hops, Problem? problem) = HopSequence.Of(drift.Path, Repower.RecoverSeconds(drift.Controller));
        return hops is null
            ? new OutageResult(known, [.. problems, problem! with { Target = drift.UnitId.ToString() }])
            : new OutageResult(WithTimes(known, hops, restart), problems);
    }

    private static Outage WithoutTimes(Drift drift, UnitRestart restart)
    {
        Controller controller = drift.Controller;
        IReadOnlyList<Port> powered = restart.Order;
        decimal demand = powered.Sum(port => PdClass.FigureWattsOf(port.PdClass));
        int lifeSafety = powered.Count(port => port.LifeSafety);
        return new Outage(drift)
        {
            Loads = powered.Count,
            LifeSafetyLoads = lifeSafety,
            RefusedLoads = restart.Count(RestartOutcome.Refused),
            Remedies = restart.Remedies,
            ReducedLoads = restart.Count(RestartOutcome.Reduced),
            DrawUnknownLoads = powered.Count(port => port.DrawWatts is null),
            RestartDemandWatts = demand,
            BudgetWatts = controller.BudgetWatts,
            ShortfallWatts = controller.BudgetWatts is { } supply ? new Budget(supply, controller.GuardBandWatts ?? 0).ShortfallWatts(demand) : null,
            Caution = lifeSafety > 0 && drift.Hops > 0 ? LifeSafety.Caution(lifeSafety) : string.Empty,
        };
    }

    // A load that is refused is in none of the sums: its outage has no end.
    private static Outage WithTimes(Outage known, HopSequence hops, UnitRestart restart)
    {
        LoadOutage[] all = [.. restart.Order.Select((port, place) => hops.Load(port, restart.BackAfterSeconds(place), restart.OutcomeOf(port)))];
        LoadOutage[] loads = [.. all.Where(load => load.Restart != RestartOutcome.Refused)];
        return known with
        {
            DarkSecondsTypical = loads.Select(load => load.DarkSecondsTypical ?? 0).DefaultIfEmpty(0).Max(),
            DarkSecondsWorst = loads.Select(load => load.DarkSecondsWorst ?? 0).DefaultIfEmpty(0).Max(),
            DarkLoadMinutes = loads.Sum(load => load.DarkSecondsTypical) / 60,
            OutOfServiceLoadMinutes = loads.Any(load => load.OutOfServiceSeconds is null) ? null : loads.Sum(load => load.OutOfServiceSeconds!.Value) / 60,
            UnservedWattHours = hops.UnservedWattHours(restart),
            LastLoadBackSeconds = loads.Select(load => load.DarkUntilSeconds ?? 0).DefaultIfEmpty(0).Max(),
            StageTimesFrom = "baseline",
            LoadOutages = [.. all.OrderBy(load => load.Port, NaturalOrder.Instance)],
        };
    }
}
