using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// Measures the outage of a unit. Loads are dark from the start of Erase until they are granted power again (<see cref="Repower"/>), and serve again
/// when the restart time of their role has gone by. Whether all fit into the budget at once is told by the shortfall; loads that wait for each other
/// are not simulated.
/// </summary>
public static class OutageMeasure
{
    /// <summary>Measures the outage of a unit; one that has nothing to load has an outage of nothing.</summary>
    /// <param name="drift">The unit's drift.</param>
    /// <returns>The outage; with <see cref="ProblemId.StageTimesUnknown"/> where the baseline gives no times for an image, and the figures that rest on them null.</returns>
    public static OutageResult Measure(Drift drift)
    {
        Outage known = WithoutTimes(drift);
        if (drift.Hops == 0)
        {
            return new OutageResult(known with { DarkSecondsTypical = 0, DarkSecondsWorst = 0, DarkLoadMinutes = 0, OutOfServiceLoadMinutes = 0, UnservedWattHours = 0, LastLoadBackSeconds = 0 }, []);
        }

        (HopSequence? hops, Problem? problem) = HopSequence.Of(drift.Path, Repower.RecoverSeconds(drift.Controller));
        return hops is null
            ? new OutageResult(known, [problem! with { Target = drift.UnitId.ToString() }])
            : new OutageResult(WithTimes(known, hops), []);
    }

    private static Outage WithoutTimes(Drift drift)
    {
        Controller controller = drift.Controller;
        IReadOnlyList<Port> powered = Repower.Order(controller);
        decimal demand = powered.Sum(port => PdClass.FigureWattsOf(port.PdClass));
        int lifeSafety = powered.Count(port => port.LifeSafety);
        return new Outage(drift)
        {
            Loads = powered.Count,
            LifeSafetyLoads = lifeSafety,
            DrawUnknownLoads = powered.Count(port => port.DrawWatts is null),
            RestartDemandWatts = demand,
            BudgetWatts = controller.BudgetWatts,
            ShortfallWatts = controller.BudgetWatts is { } supply ? new Budget(supply, controller.GuardBandWatts ?? 0).ShortfallWatts(demand) : null,
            Caution = lifeSafety > 0 && drift.Hops > 0 ? LifeSafety.Caution(lifeSafety) : string.Empty,
        };
    }

    private static Outage WithTimes(Outage known, HopSequence hops)
    {
        IReadOnlyList<Port> powered = Repower.Order(known.Drift.Controller);
        LoadOutage[] loads = [.. powered.Select((port, place) => hops.Load(port, Repower.BackAfterSeconds(place)))];
        return known with
        {
            DarkSecondsTypical = loads.Select(load => load.DarkSecondsTypical).DefaultIfEmpty(0).Max(),
            DarkSecondsWorst = loads.Select(load => load.DarkSecondsWorst).DefaultIfEmpty(0).Max(),
            DarkLoadMinutes = loads.Sum(load => load.DarkSecondsTypical) / 60,
            OutOfServiceLoadMinutes = loads.Any(load => load.OutOfServiceSeconds is null) ? null : loads.Sum(load => load.OutOfServiceSeconds!.Value) / 60,
            UnservedWattHours = hops.UnservedWattHours(powered),
            LastLoadBackSeconds = loads.Select(load => load.DarkUntilSeconds).DefaultIfEmpty(0).Max(),
            StageTimesFrom = "baseline",
            LoadOutages = [.. loads.OrderBy(load => load.Port, NaturalOrder.Instance)],
        };
    }
}
