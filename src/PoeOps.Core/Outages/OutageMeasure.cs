using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// Measures the outage of a unit. Loads are dark from the start of Erase until they are granted power again, and serve again when the restart time of
/// their role has gone by. Where the budget was read, whether and when each comes back is simulated (<see cref="Restart"/>); a load that is refused has no
/// end of its outage and is in none of the sums.
/// </summary>
public static class OutageMeasure
{
    /// <summary>Measures the outage of a unit; one that has nothing to load has an outage of nothing.</summary>
    /// <param name="drift">The unit's drift.</param>
    /// <param name="runs">What journals tell of refreshes that are over; null for nothing.</param>
    /// <returns>
    /// The outage; with <see cref="ProblemId.StageTimesUnknown"/> where nobody gives times for an image, and the figures that rest on them null; with
    /// <see cref="ProblemId.RestartImpossible"/> and the like where figures of the unit cannot be, and nothing is simulated.
    /// </returns>
    public static OutageResult Measure(Drift drift, EarlierRuns? runs = null)
    {
        (IReadOnlyList<Hop> path, IReadOnlyList<string> from) = runs?.Teach(drift) ?? (drift.Path, [.. drift.Path.Select(_ => "baseline")]);
        Drift taught = drift with { Path = path };
        var restart = UnitRestart.Of(drift.Controller);
        Outage known = WithoutTimes(taught, restart);
        if (drift.Hops == 0)
        {
            return new OutageResult(Nothing(known), restart.Problems);
        }

        (HopSequence? hops, Problem? problem) = HopSequence.Of(path, known.RecoverSeconds);
        Outage outage = hops is null ? known : WithTimes(known, hops) with { StageTimesFrom = string.Join("; ", from.Distinct()) };
        outage = runs?.Real(drift.UnitId, path) is { } real ? RealOutage.Beside(outage, real) : outage;
        return new OutageResult(outage, problem is null ? restart.Problems : [.. restart.Problems, problem with { Target = drift.UnitId.ToString() }]);
    }

    /// <summary>
    /// Measures what of the outage of a unit can be told without knowing what would be loaded: how its loads come back after a reset. All that rests on
    /// stage times is null.
    /// </summary>
    /// <param name="controller">The controller.</param>
    /// <param name="drift">How it stands to a baseline, where one was given that does not say what would be loaded; else null.</param>
    public static OutageResult MeasureRestart(Controller controller, Drift? drift = null)
    {
        var restart = UnitRestart.Of(controller);
        drift ??= new Drift(controller) { Verdict = Verdict.Unlisted, Reason = "No baseline was given, so nobody knows what would be loaded." };
        return new OutageResult(WithoutTimes(drift, restart), restart.Problems);
    }

    /// <summary>Adds what rests on the stage times.</summary>
    internal static Outage WithTimes(Outage known, HopSequence hops)
    {
        LoadOutage[] all = [.. known.LoadOutages.Select(hops.Load)];
        LoadOutage[] loads = [.. all.Where(load => load.Restart != RestartOutcome.Refused)];
        return known with
        {
            DarkSecondsTypical = loads.Select(load => load.DarkSecondsTypical ?? 0).DefaultIfEmpty(0).Max(),
            DarkSecondsWorst = loads.Select(load => load.DarkSecondsWorst ?? 0).DefaultIfEmpty(0).Max(),
            DarkLoadMinutes = loads.Sum(load => load.DarkSecondsTypical) / 60,
            OutOfServiceLoadMinutes = loads.Any(load => load.OutOfServiceSeconds is null) ? null : loads.Sum(load => load.OutOfServiceSeconds!.Value) / 60,
            UnservedWattHours = hops.UnservedWattHours(loads),
            LastLoadBackSeconds = loads.Select(load => load.DarkUntilSeconds ?? 0).DefaultIfEmpty(0).Max(),
            LoadOutages = all,
        };
    }

    private static Outage Nothing(Outage known) => known with
    {
        DarkSecondsTypical = 0,
        DarkSecondsWorst = 0,
        DarkLoadMinutes = 0,
        OutOfServiceLoadMinutes = 0,
        UnservedWattHours = 0,
        LastLoadBackSeconds = 0,
        LoadOutages = [],
    };

    private static Outage WithoutTimes(Drift drift, UnitRestart restart)
    {
        Controller controller = drift.Controller;
        IReadOnlyList<Port> powered = restart.Order;
        decimal? demand = restart.Unit?.DemandWatts;
        int lifeSafety = powered.Count(port => port.LifeSafety);
        Budget? budget = controller.BudgetWatts is { } supply and >= 0 ? new Budget(supply, Math.Max(0, controller.GuardBandWatts ?? 0)) : null;
        return new Outage(drift)
        {
            Loads = powered.Count,
            LifeSafetyLoads = lifeSafety,
            RefusedLoads = restart.Count(RestartOutcome.Refused),
            RefusedLoadsOneFailed = restart.RefusedWithOneFailed,
            Remedies = restart.Remedies,
            ReducedLoads = restart.Count(RestartOutcome.Reduced),
            DrawUnknownLoads = powered.Count(port => port.DrawWatts is null),
            RestartDemandWatts = demand,
            BudgetWatts = controller.BudgetWatts,
            ShortfallWatts = demand is { } asked ? budget?.ShortfallWatts(asked) : null,
            HeadroomWatts = budget is not null && Allocated(controller) is { } allocated ? (budget with { AllocatedWatts = allocated }).HeadroomWatts : null,
            DrawWallWatts = budget is { SupplyWatts: > 0 } && controller.Efficiency is { } efficiency && Drawn(controller) is { } drawn
                ? (budget with { DrawnWatts = drawn }).WallWatts(efficiency) : null,
            GrantSteps = restart.Result?.Steps ?? [],
            Caution = lifeSafety > 0 && drift.Hops > 0 ? LifeSafety.Caution(lifeSafety) : string.Empty,
            LoadOutages = [.. powered.Select((port, place) => Load(port, restart, place)).OrderBy(load => load.Port, NaturalOrder.Instance)],
        };
    }

    private static LoadOutage Load(Port port, UnitRestart restart, int place)
    {
        PortRestart? came = restart.Of(port);
        return new LoadOutage
        {
            Site = port.Site,
            Switch = port.Switch,
            Unit = port.Unit,
            Port = port.Name,
            Load = port.Load,
            Role = port.Role,
            LifeSafety = port.LifeSafety,
            DrawWatts = port.DrawWatts,
            RestartSeconds = port.RestartSeconds,
            Restart = came?.Outcome,
            GrantedWatts = came?.Watts,
            BackSeconds = restart.BackAfterSeconds(place),
        };
    }

    // The unit's own figure, else that of its ports where all of them say one.
    private static decimal? Allocated(Controller controller) => NotNegative(controller.AllocatedWatts ?? Sum(controller, port => port.AllocatedWatts));

    private static decimal? Drawn(Controller controller) => NotNegative(controller.DrawWatts ?? Sum(controller, port => port.DrawWatts));

    private static decimal? Sum(Controller controller, Func<Port, decimal?> watts)
    {
        decimal?[] all = [.. controller.Ports.Where(port => port.Delivering).Select(watts)];
        return all.Contains(null) ? null : all.Sum();
    }

    private static decimal? NotNegative(decimal? watts) => watts < 0 ? null : watts;
}
