using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// Measures the outage of a unit. Loads are dark from the start of Erase. When the reset ends they are granted power one after the other, in
/// priority and then port order, one a second; a load serves again when the restart time of its role has gone by. Whether all fit into the
/// budget at once is told by the shortfall; loads that wait for each other are not simulated.
/// </summary>
public static class OutageMeasure
{
    /// <summary>Seconds between two ports that are granted power: detection, classification and turn-on (common practice).</summary>
    public const double StaggerSeconds = 1.0;

    /// <summary>Measures the outage of a drifted unit; a unit that has nothing to load has an outage of nothing.</summary>
    public static OutageResult Measure(Drift drift)
    {
        List<HopTimes> typical = [];
        List<HopTimes> worst = [];
        foreach (Hop hop in drift.Path)
        {
            (HopTimes? times, Problem? problem) = HopTimes.Typical(hop);
            if (problem is not null)
            {
                return new OutageResult(null, [problem with { Target = drift.UnitId.ToString() }]);
            }

            typical.Add(times!);
            worst.Add(HopTimes.Worst(hop).Times!);
        }

        return new OutageResult(Sum(drift, Loads(drift, typical, worst)), []);
    }

    /// <summary>The ports that are powered, in the order in which they are granted power again.</summary>
    public static IReadOnlyList<Port> InGrantOrder(Controller controller) =>
        [.. controller.Ports.Where(port => port.Delivering)
            .OrderBy(port => port.Priority ?? PortPriority.Low).ThenBy(port => port.Name, NaturalOrder.Instance)];

    /// <summary>Seconds from the end of a reset until the last load serves again.</summary>
    public static double RecoverSeconds(Controller controller)
    {
        double last = 0;
        IReadOnlyList<Port> ports = InGrantOrder(controller);
        for (int i = 0; i < ports.Count; i++)
        {
            last = Math.Max(last, BackAt(i) + (ports[i].RestartSeconds ?? 0));
        }

        return last;
    }

    // The first port of all is decided at the end of the first slot.
    private static double BackAt(int position) => (position + 1) * StaggerSeconds;

    private static List<LoadOutage> Loads(Drift drift, List<HopTimes> typical, List<HopTimes> worst)
    {
        List<LoadOutage> loads = [];
        IReadOnlyList<Port> ports = InGrantOrder(drift.Controller);
        for (int i = 0; i < ports.Count && typical.Count > 0; i++)
        {
            loads.Add(Load(ports[i], BackAt(i), typical, worst));
        }

        return [.. loads.OrderBy(load => load.Port, NaturalOrder.Instance)];
    }

    private static LoadOutage Load(Port port, double backAt, List<HopTimes> typical, List<HopTimes> worst)
    {
        double dark = typical.Sum(hop => hop.Dark + backAt);
        double until = typical.Take(typical.Count - 1).Sum(hop => hop.Total) + typical[typical.Count - 1].Before + typical[typical.Count - 1].Dark + backAt;
        return new LoadOutage
        {
            Site = port.Site,
            Switch = port.Switch,
            Unit = port.Unit,
            Port = port.Name,
            Load = port.Load,
            Role = port.Role,
            LifeSafety = port.LifeSafety,
            DarkFromSeconds = typical[0].Before,
            DarkUntilSeconds = until,
            DarkSecondsTypical = dark,
            DarkSecondsWorst = worst.Sum(hop => hop.Dark + backAt),
            ServesAtSeconds = until + port.RestartSeconds,
            OutOfServiceSeconds = dark + (port.RestartSeconds * typical.Count),
            UnservedWattHours = port.DrawWatts * (decimal)dark / 3600m,
        };
    }

    private static Outage Sum(Drift drift, List<LoadOutage> loads)
    {
        Controller controller = drift.Controller;
        IReadOnlyList<Port> powered = InGrantOrder(controller);
        decimal demand = powered.Sum(port => PdClass.FigureWattsOf(port.PdClass));
        int lifeSafety = powered.Count(port => port.LifeSafety);
        return new Outage(drift)
        {
            Loads = powered.Count,
            LifeSafetyLoads = lifeSafety,
            DarkSecondsTypical = loads.Select(load => load.DarkSecondsTypical).DefaultIfEmpty(0).Max(),
            DarkSecondsWorst = loads.Select(load => load.DarkSecondsWorst).DefaultIfEmpty(0).Max(),
            DarkLoadMinutes = loads.Sum(load => load.DarkSecondsTypical) / 60,
            OutOfServiceLoadMinutes = loads.Any(load => load.OutOfServiceSeconds is null) ? null : loads.Sum(load => load.OutOfServiceSeconds!.Value) / 60,
            UnservedWattHours = loads.Sum(load => load.UnservedWattHours ?? 0),
            DrawUnknownLoads = loads.Count(load => load.UnservedWattHours is null),
            RestartDemandWatts = demand,
            BudgetWatts = controller.BudgetWatts,
            ShortfallWatts = controller.BudgetWatts is { } supply ? new Budget(supply, controller.GuardBandWatts ?? 0).ShortfallWatts(demand) : null,
            LastLoadBackSeconds = loads.Select(load => load.DarkUntilSeconds).DefaultIfEmpty(0).Max(),
            StageTimesFrom = drift.Hops == 0 ? string.Empty : "baseline",
            Caution = lifeSafety > 0 && drift.Hops > 0 ? LifeSafety.Caution(lifeSafety) : string.Empty,
            LoadOutages = loads,
        };
    }
}
