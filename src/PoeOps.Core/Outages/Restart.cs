using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// How the loads of a unit come back after a reset, event by event. Time 0 is the end of the reset. Slots are serial, one port each; at its end the
/// controller grants the port where its claim fits into budget less guard band beside all that is granted, else the port waits. A slot goes to the
/// first port, by priority and then by name, of those never tried and those waiting whose claim fits. Claims change when a load has negotiated or booted;
/// one that would grow grows only if it fits. At one instant claims change first, in port order, then a slot decides, then a slot begins.
/// </summary>
public sealed class Restart
{
    // The levels of clause 145 to which a port can be demoted.
    private static readonly int[] Levels = [6, 4, 3];

    private readonly RestartUnit _unit;
    private readonly PortState[] _ports;
    private readonly WaitingPorts _waiting;
    private readonly SortedSet<(decimal At, int PortOrder, int Place)> _changes = [];
    private readonly List<GrantStep> _steps = [new(0, 0)];
    private readonly decimal _grantable;
    private decimal _granted;
    private decimal? _nextGrantable;
    private int _nextUntried;

    private Restart(RestartUnit unit)
    {
        _unit = unit;
        _grantable = unit.GrantableWatts;
        RestartPort[] byName = [.. unit.Ports.OrderBy(port => port.Name, NaturalOrder.Instance)];
        _ports = [.. byName.Select((port, order) => new PortState(port, order, _unit.FirstClaimWatts(port), Later(port))).OrderBy(state => state.Port.Priority).ThenBy(state => state.PortOrder)];
        _waiting = new WaitingPorts(_ports.Length);
    }

    /// <summary>Simulates.</summary>
    /// <param name="unit">The unit.</param>
    /// <exception cref="PoeOpsException">A figure is none that can be, or a port is there twice (<see cref="ProblemId.RestartImpossible"/>), or a class is none (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public static RestartResult Simulate(RestartUnit unit)
    {
        RestartCheck.Check(unit);
        return new Restart(unit).Run();
    }

    private RestartResult Run()
    {
        decimal now = 0;
        int slot = -1;
        decimal slotEnds = 0;
        while (true)
        {
            Change(now);
            if (slot >= 0 && slotEnds == now)
            {
                Decide(slot, now);
                Change(now);
                slot = -1;
            }

            if (slot < 0 && (slot = Next()) >= 0)
            {
                slotEnds = now + _unit.StaggerSeconds;
            }

            Note(now);
            if (slot < 0 && _changes.Count == 0)
            {
                return new RestartResult([.. _ports.Select(port => port.Result)], _steps) { NextGrantableWatts = _nextGrantable };
            }

            now = slot < 0 ? _changes.Min.At : _changes.Count == 0 || slotEnds < _changes.Min.At ? slotEnds : _changes.Min.At;
        }
    }

    private void Change(decimal now)
    {
        while (_changes.Count > 0 && _changes.Min.At == now)
        {
            PortState port = _ports[_changes.Min.Place];
            _ = _changes.Remove(_changes.Min);
            decimal wanted = port.Later!.Value.Watts;
            if (wanted <= port.Watts || Fits(wanted - port.Watts))
            {
                _granted += wanted - port.Watts;
                port.Watts = wanted;
                port.Outcome = RestartOutcome.Back;
            }
            else
            {
                port.Outcome = RestartOutcome.Reduced;
            }
        }
    }

    private void Decide(int place, decimal now)
    {
        PortState port = _ports[place];
        if (Fitting(port) is not { } watts)
        {
            _waiting.Add(place, Least(port));
            return;
        }

        _granted += watts;
        port.Watts = watts;
        port.BackSeconds = now;
        port.Outcome = watts < port.First ? RestartOutcome.Reduced : RestartOutcome.Back;
        if (port.Later is { } later)
        {
            _ = _changes.Add((now + later.Seconds, port.PortOrder, place));
        }
    }

    // A waiting port stands before every one that was never tried: those were passed in order.
    private int Next()
    {
        int waiting = _waiting.FirstThatFits(_grantable - _granted, out decimal passed);
        if (passed < decimal.MaxValue)
        {
            _ = Fits(passed);
        }

        if (waiting >= 0)
        {
            _waiting.Remove(waiting);
            return waiting;
        }

        return _nextUntried < _ports.Length ? _nextUntried++ : -1;
    }

    private void Note(decimal now)
    {
        GrantStep last = _steps[_steps.Count - 1];
        if (last.GrantedWatts != _granted)
        {
            _steps.Add(new GrantStep(now, _granted));
        }
    }

    private decimal? Fitting(PortState port)
    {
        if (Fits(port.First))
        {
            return port.First;
        }

        foreach (decimal level in _unit.Demotes ? Lower(port) : [])
        {
            if (Fits(level))
            {
                return level;
            }
        }

        return null;
    }

    // Every refusal is noted by the budget that it would have taken: below the least of them nothing would come out differently.
    private bool Fits(decimal moreWatts)
    {
        decimal needed = _granted + moreWatts;
        if (needed <= _grantable)
        {
            return true;
        }

        _nextGrantable = _nextGrantable is { } least && least <= needed ? least : needed;
        return false;
    }

    private decimal Least(PortState port) => _unit.Demotes ? Lower(port).Append(port.First).Min() : port.First;

    private IEnumerable<decimal> Lower(PortState port) => Levels.Select(level => PdClass.FigureWattsOf(level, _unit.Clause)).Where(watts => watts < port.First);

    private (decimal Watts, decimal Seconds)? Later(RestartPort port) => port.FixedWatts is not null ? null : _unit.Policy switch
    {
        RestartPolicy.ByClass when port.NegotiatedWatts is { } negotiated => (negotiated, port.NegotiateSeconds),
        RestartPolicy.ByDraw when port.DrawWatts is { } draw => (draw, port.BootSeconds),
        _ => null,
    };

    private sealed class PortState(RestartPort port, int portOrder, decimal first, (decimal Watts, decimal Seconds)? later)
    {
        public RestartPort Port => port;

        public int PortOrder => portOrder;

        public decimal First => first;

        public (decimal Watts, decimal Seconds)? Later => later;

        public decimal Watts { get; set; }

        public decimal? BackSeconds { get; set; }

        public RestartOutcome Outcome { get; set; } = RestartOutcome.Refused;

        public PortRestart Result => new(port.Name, Outcome, BackSeconds, Watts);
    }
}
