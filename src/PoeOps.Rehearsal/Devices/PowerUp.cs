namespace PoeOps.Rehearsal.Devices;

/// <summary>
/// Grants power to the ports of a unit, one after another in order of priority and number, as long as the budget lasts; loads negotiate and start up.
/// Slots are serial: a port is decided where its slot ends. Claims change first, then a slot that ends decides, then a slot begins.
/// </summary>
/// <param name="ports">The ports of the unit.</param>
/// <param name="availableWatts">Budget less guard band.</param>
/// <param name="tell">Told of every grant, wait and start, with the port and the moment.</param>
internal sealed class PowerUp(IReadOnlyList<SimulatedPort> ports, decimal availableWatts, Action<DeviceEntryKind, SimulatedPort, TimeSpan> tell)
{
    /// <summary>Detection, classification and turn-on of one port.</summary>
    private static readonly TimeSpan SlotLength = TimeSpan.FromSeconds(1);

    private readonly HashSet<SimulatedPort> _untried = [];
    private readonly HashSet<SimulatedPort> _waiting = [];
    private readonly List<LoadEvent> _events = [];
    private (SimulatedPort Port, TimeSpan Ends)? _slot;
    private double _restartFactor = 1;

    /// <summary>Puts ports in line for power.</summary>
    /// <param name="candidates">Those that want it.</param>
    /// <param name="now">The moment.</param>
    /// <param name="restartFactor">How many times as long as usual the loads take from now on; null for as long as before.</param>
    public void Queue(IEnumerable<SimulatedPort> candidates, TimeSpan now, double? restartFactor = null)
    {
        _restartFactor = restartFactor ?? _restartFactor;
        _untried.UnionWith(candidates.Where(port => port.WantsPower));
        BeginSlot(now);
    }

    /// <summary>Takes power from a port, or takes it out of the line.</summary>
    /// <param name="port">The port.</param>
    /// <param name="now">The moment.</param>
    public void Drop(SimulatedPort port, TimeSpan now)
    {
        _untried.Remove(port);
        _waiting.Remove(port);
        _events.RemoveAll(waiting => waiting.Port == port);
        if (_slot?.Port == port)
        {
            _slot = null;
        }

        port.GoDark();
        BeginSlot(now);
    }

    /// <summary>Takes power from every port, and forgets the line.</summary>
    public void DropAll()
    {
        _untried.Clear();
        _waiting.Clear();
        _events.Clear();
        _slot = null;
        foreach (SimulatedPort port in ports)
        {
            port.GoDark();
        }
    }

    /// <summary>Lets everything happen that was due by a moment.</summary>
    /// <param name="now">The moment.</param>
    public void Advance(TimeSpan now)
    {
        while (NextMoment() is { } moment && moment <= now)
        {
            LoadEvent[] due = _events.Where(waiting => waiting.At <= moment).OrderBy(waiting => waiting.Port.Number).ToArray();
            _events.RemoveAll(waiting => waiting.At <= moment);
            foreach (LoadEvent load in due)
            {
                Happen(load);
            }

            if (_slot is { } slot && slot.Ends <= moment)
            {
                _slot = null;
                Decide(slot.Port, moment);
            }

            BeginSlot(moment);
        }
    }

    private TimeSpan? NextMoment()
    {
        TimeSpan? next = _slot?.Ends;
        foreach (LoadEvent waiting in _events)
        {
            next = next is null || waiting.At < next ? waiting.At : next;
        }

        return next;
    }

    // A claim that grows does so only where it fits; the load stays at its class otherwise.
    private void Happen(LoadEvent load)
    {
        if (load.Serves)
        {
            load.Port.Serve();
            tell(DeviceEntryKind.LoadServes, load.Port, load.At);
        }
        else if (load.Port.SettledWatts <= load.Port.AllocatedWatts || Fits(load.Port.SettledWatts - load.Port.AllocatedWatts))
        {
            load.Port.Negotiate();
        }
    }

    private void Decide(SimulatedPort port, TimeSpan moment)
    {
        if (!Fits(port.ClassWatts))
        {
            _waiting.Add(port);
            tell(DeviceEntryKind.PortWaits, port, moment);
            return;
        }

        port.Grant();
        _events.Add(new LoadEvent(port, moment + TimeSpan.FromSeconds(port.Times.NegotiateSeconds * _restartFactor), Serves: false));
        _events.Add(new LoadEvent(port, moment + TimeSpan.FromSeconds(port.Times.RestartSeconds * _restartFactor), Serves: true));
        tell(DeviceEntryKind.PortGranted, port, moment);
    }

    private void BeginSlot(TimeSpan moment)
    {
        if (_slot is not null)
        {
            return;
        }

        SimulatedPort? next = _untried.Concat(_waiting.Where(port => Fits(port.ClassWatts))).OrderBy(port => port.Priority).ThenBy(port => port.Number).FirstOrDefault();
        if (next is not null)
        {
            _untried.Remove(next);
            _waiting.Remove(next);
            _slot = (next, moment + SlotLength);
        }
    }

    private bool Fits(decimal more) => ports.Sum(port => port.AllocatedWatts) + more <= availableWatts;

    private sealed record LoadEvent(SimulatedPort Port, TimeSpan At, bool Serves);
}
