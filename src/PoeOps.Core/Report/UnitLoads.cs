using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>The loads of one unit, all its images together: planned as the plan's outages say it, real as the journals do.</summary>
internal sealed class UnitLoads
{
    private readonly UnitRow[] _hops;
    private readonly UnitRow[] _begun;
    private readonly bool _hasRun;
    private readonly RefreshStory? _last;
    private readonly Dictionary<string, Port> _before;

    private UnitLoads(UnitRow[] hops, Outage? outage, bool hasRun)
    {
        _hops = hops;
        _begun = [.. hops.Where(hop => hop.Story is { HasBegun: true })];
        _hasRun = hasRun;
        _last = _begun.Length == 0 ? null : _begun[_begun.Length - 1].Story;
        _before = [];
        foreach (Port port in _last?.Ports ?? [])
        {
            _before[port.Name.ToUpperInvariant()] = port;
        }

        Outage = outage;
        Loads = [.. Planned().Concat(Unplanned())];
        Curve = CurveRows.Of(UnitId, outage, Loads, _last);
    }

    /// <summary>The unit as its id prints.</summary>
    public string UnitId => _hops[0].Summary.UnitId;

    /// <summary>What was planned; null where no plan says.</summary>
    public Outage? Outage { get; }

    /// <summary>Its loads in port order.</summary>
    public IReadOnlyList<LoadSummary> Loads { get; }

    /// <summary>How they come back; null where nothing is known.</summary>
    public RestartCurve? Curve { get; }

    /// <summary>How many loads are without power: those that are named, or as many as are missing where the journal names none.</summary>
    public int Dark => Math.Max(Loads.Count(load => load.State == LoadState.Dark), _last?.LoadsBack is { } back && _last.Loads is { } all ? Math.Max(0, all - back) : 0);

    /// <summary>True where nobody knows how many of its loads have power.</summary>
    public bool IsNotKnown => _last is not null && _last.LoadsBack is null;

    /// <summary>How many loads it has, as it was begun or planned.</summary>
    public int Count => _hops.Max(hop => hop.Summary.Loads);

    /// <summary>How many of them are life-safety, as it was begun or planned.</summary>
    public int LifeSafety => _hops.Max(hop => hop.Summary.LifeSafetyLoads);

    /// <summary>On what ground its life-safety loads go dark by the plan.</summary>
    public string Ground => GroundWords.Of([.. _hops.Select(hop => hop.Summary)]);

    /// <summary>True where its loads went dark, or where nobody knows that they did not.</summary>
    public bool MayHaveBeenDark => Dark > 0 || _begun.Any(hop => hop.Story! is { DarkFromUtc: not null } or { IsLate: true } or { LoadsBack: null } or { LoadDark.Count: > 0 });

    /// <summary>How many life-safety loads were counted when it was begun that went dark, or may have, and that no plan names.</summary>
    public int LifeSafetyNotPlanned => MayHaveBeenDark ? Math.Max(0, LifeSafety - Loads.Count(load => load.LifeSafety)) : 0;

    /// <summary>True where its loads went dark, or may have, and neither a plan nor its journal counts the life-safety loads among them.</summary>
    public bool LifeSafetyIsNotCounted => MayHaveBeenDark && _begun.Any(hop => hop.Planned is null && hop.Story!.LifeSafety is null);

    /// <summary>How long it was dark as the journal says it, all images added; null where it does not.</summary>
    public double? RealDarkSeconds => _begun.Length == 0 ? null : _begun.Aggregate((double?)0, (sum, hop) => sum + hop.Story!.DarkSeconds);

    /// <summary>The loads of each unit.</summary>
    public static IReadOnlyList<UnitLoads> Of(Plan? plan, IReadOnlyList<UnitRow> rows, bool hasRun)
    {
        Dictionary<string, Outage> outages = new(StringComparer.OrdinalIgnoreCase);
        foreach (Outage outage in plan is null ? [] : PlanOutage.Of(plan))
        {
            outages[outage.UnitId.ToString()] = outage;
        }

        return
        [
            .. rows.GroupBy(row => row.Summary.UnitId, StringComparer.OrdinalIgnoreCase)
                .Select(unit => new UnitLoads([.. unit.OrderBy(row => row.Summary.Hop)], outages.TryGetValue(unit.Key, out Outage? outage) ? outage : null, hasRun)),
        ];
    }

    private IEnumerable<LoadSummary> Planned() => (Outage?.LoadOutages ?? []).Select(load => WithReal(new LoadSummary
    {
        UnitId = UnitId,
        Port = load.Port,
        Load = load.Load ?? string.Empty,
        Role = load.Role,
        LifeSafety = load.LifeSafety,
        DrawWatts = load.DrawWatts,
        PlannedRestart = load.Restart,
        PlannedDarkFromUtc = load.DarkFromUtc,
        PlannedDarkUntilUtc = load.DarkUntilUtc,
        PlannedDarkSecondsTypical = load.DarkSecondsTypical,
        PlannedDarkSecondsWorst = load.DarkSecondsWorst,
    }, load.BackSeconds));

    // What was powered when the unit was begun, and is in no plan.
    private IEnumerable<LoadSummary> Unplanned()
    {
        HashSet<string> planned = new((Outage?.LoadOutages ?? []).Select(load => load.Port), StringComparer.OrdinalIgnoreCase);
        IEnumerable<string> ports = _before.Count > 0 ? _before.Values.Where(port => port.Delivering).Select(port => port.Name) : _last?.LoadDark.Keys ?? [];
        return ports.Where(port => !planned.Contains(port)).OrderBy(port => port, NaturalOrder.Instance)
            .Select(port => WithReal(new LoadSummary { UnitId = UnitId, Port = port, DrawWatts = _before.TryGetValue(port.ToUpperInvariant(), out Port? was) ? was.DrawWatts : null }, null));
    }

    private LoadSummary WithReal(LoadSummary load, double? backSeconds)
    {
        LoadState state = StateOf(load, out bool lifeSafety);
        load = load with { State = state, LifeSafety = load.LifeSafety || lifeSafety };
        load = load with { Times = DarkTimes.Of(load, _hops, backSeconds), LongerBeforeSeconds = LongerBefore(load.Port, backSeconds) };
        if (state is LoadState.Planned or LoadState.NotDark)
        {
            return load with { LongerThanWorst = state == LoadState.NotDark ? false : null, LongerThanTypical = state == LoadState.NotDark ? false : null };
        }

        double?[] dark = [.. _begun.Select(hop => hop.Story!.LoadDark.TryGetValue(load.Port, out double? seconds) ? seconds : null)];
        double? real = state == LoadState.Dark || dark.Contains(null) ? null : dark.Sum();
        return load with
        {
            RealDarkFromUtc = _begun[0].Story!.DarkFromUtc,
            RealDarkUntilUtc = state == LoadState.Back && _last!.DarkFromUtc is { } from ? ReportTime.Later(from, dark[dark.Length - 1]) : null,
            RealDarkSeconds = real,
            LongerThanWorst = load.LongerBeforeSeconds is not null ? true : IsLonger(state, load, real, Allowed(backSeconds, HopTimes.Worst)),
            LongerThanTypical = IsLonger(state, load, real, Allowed(backSeconds, HopTimes.Typical)),
        };
    }

    // An attempt that took too long is not made good by a shorter one after it.
    private double? LongerBefore(string port, double? backSeconds) => _hops
        .SelectMany(hop => hop.Earlier.Select(story => (Dark: story.LoadDark.TryGetValue(port, out double? dark) ? dark : null, Allowed: Allowed(hop, backSeconds, HopTimes.Worst))))
        .Where(one => one.Dark > one.Allowed).Max(one => one.Dark);

    private static bool? IsLonger(LoadState state, LoadSummary load, double? real, double? allowed) =>
        state == LoadState.Dark ? load.PlannedRestart is null && allowed is null ? null : load.PlannedRestart != RestartOutcome.Refused
        : real > allowed ? true : real is null || allowed is null ? null : false;

    // Of the images that were begun alone: one that is still to come takes nothing yet.
    private double? Allowed(double? backSeconds, Func<Hop, (HopTimes? Times, Problem? Problem)> times)
    {
        double? sum = 0;
        foreach (UnitRow hop in _begun)
        {
            sum += Allowed(hop, backSeconds, times);
        }

        return sum;
    }

    private static double? Allowed(UnitRow hop, double? backSeconds, Func<Hop, (HopTimes? Times, Problem? Problem)> times) =>
        hop.Planned is { } unit ? times(new Hop(unit.ToFirmware, unit.Image, unit.StageTimes)).Times?.Dark + backSeconds : null;

    private LoadState StateOf(LoadSummary load, out bool lifeSafety)
    {
        lifeSafety = false;
        if (_last is null)
        {
            return _hasRun ? LoadState.NotDark : LoadState.Planned;
        }

        if (_last.Names(load.PortId, out lifeSafety))
        {
            return LoadState.Dark;
        }

        if (!_last.IsLate && _last.LoadDark.TryGetValue(load.Port, out double? seconds))
        {
            return seconds is null ? LoadState.Dark : LoadState.Back;
        }

        if (_before.TryGetValue(load.Port.ToUpperInvariant(), out Port? was) && !was.Delivering)
        {
            return LoadState.NotDark;
        }

        bool allBack = _last.LoadsBack is { } back && _last.Loads is { } all && back >= all;
        return !allBack ? LoadState.NotKnown : _begun.Any(hop => hop.Story!.DarkFromUtc is not null || hop.Story.IsLate) ? LoadState.Back : LoadState.NotDark;
    }
}
