using PoeOps.Estate;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Devices;

/// <summary>A unit with its controller and ports. Safe to use from any thread; catches up with the clock whenever somebody looks.</summary>
internal sealed class SimulatedUnit
{
    private readonly object _gate = new();
    private readonly Scene _scene;
    private readonly string _switchName;
    private readonly WorldUnit _world;
    private readonly List<SimulatedPort> _ports;
    private readonly PowerUp _power;
    private string _firmware;
    private ControllerCondition _condition;
    private RefreshWork? _work;

    public SimulatedUnit(Scene scene, string switchName, WorldUnit world, Func<WorldUnit, WorldPort, LoadTimes> times)
    {
        _scene = scene;
        _switchName = switchName;
        _world = world;
        _firmware = world.Firmware;
        _condition = world.Condition;
        _ports = [.. world.Ports.Select(port => new SimulatedPort(port, times(world, port)))];
        _power = new PowerUp(_ports, world.BudgetWatts - world.Model.GuardBandWatts, Tell);
        if (_condition == ControllerCondition.Healthy)
        {
            _ports.ForEach(port => port.Settle());
        }
    }

    /// <summary>The unit, as the device names it.</summary>
    public string Name => _world.Unit;

    /// <summary>Its hardware model.</summary>
    public WorldModel Model => _world.Model;

    /// <summary>The refresh that was begun last; null where there was none.</summary>
    public RefreshWork? Work
    {
        get
        {
            lock (_gate)
            {
                return _work;
            }
        }
    }

    /// <summary>What a console can say of the unit now.</summary>
    public UnitView View()
    {
        lock (_gate)
        {
            _power.Advance(_scene.Clock.Elapsed);
            PortView[] ports = _condition == ControllerCondition.Absent ? [] : [.. _ports.Select(port => port.View())];
            return new UnitView
            {
                Unit = Name,
                Model = Model.Model,
                Serial = _world.Serial,
                PortCount = Model.PortCount,
                Firmware = _firmware,
                Condition = _condition,
                BudgetWatts = _world.BudgetWatts,
                GuardBandWatts = Model.GuardBandWatts,
                AllocatedWatts = ports.Sum(port => port.AllocatedWatts),
                DrawWatts = ports.Sum(port => port.DrawWatts),
                Ports = ports,
            };
        }
    }

    /// <summary>Begins a refresh unless one is under way.</summary>
    /// <param name="work">The work.</param>
    /// <returns>False when the unit is at work already.</returns>
    public bool TryBegin(RefreshWork work)
    {
        lock (_gate)
        {
            if (_work is { Ended: false })
            {
                return false;
            }

            _work = work;
            return true;
        }
    }

    /// <summary>Erases the controller: it runs nothing and feeds nothing from now on.</summary>
    public void Erase()
    {
        lock (_gate)
        {
            TimeSpan now = _scene.Clock.Elapsed;
            _power.Advance(now);
            foreach (SimulatedPort port in _ports.Where(port => port.Delivering))
            {
                Tell(DeviceEntryKind.PortDark, port, now);
            }

            _power.DropAll();
            _firmware = string.Empty;
            _condition = ControllerCondition.Refreshing;
        }
    }

    /// <summary>The controller comes out of its reset.</summary>
    public void Wake(ControllerWake wake)
    {
        lock (_gate)
        {
            _firmware = wake.Firmware;
            _condition = wake.Faulted ? ControllerCondition.Faulted : ControllerCondition.Healthy;
            if (wake.SettingsReset)
            {
                ForgetSettings();
            }

            foreach (SimulatedPort port in _ports.Where(port => port.WantsPower).Take(wake.PortsOff))
            {
                port.Fault = true;
            }

            if (!wake.Faulted)
            {
                _power.Queue(_ports, _scene.Clock.Elapsed, wake.RestartFactor);
            }
        }
    }

    /// <summary>Changes a port over a console.</summary>
    /// <param name="number">The port.</param>
    /// <param name="what">The change in words, for the log.</param>
    /// <param name="change">What to change.</param>
    /// <returns>False where the unit has no such port.</returns>
    public bool Set(int number, string what, Action<SimulatedPort> change)
    {
        lock (_gate)
        {
            SimulatedPort? port = _condition == ControllerCondition.Absent ? null : _ports.Find(candidate => candidate.Number == number);
            if (port is null)
            {
                return false;
            }

            TimeSpan now = _scene.Clock.Elapsed;
            _power.Advance(now);
            change(port);
            _scene.Log.WriteAt(DeviceEntryKind.SettingChanged, _switchName, Name, $"port {number}: {what}", now);
            if (!port.AdminEnabled)
            {
                GoDark(port, now);
            }
            else if (_condition == ControllerCondition.Healthy)
            {
                _power.Queue([port], now);
            }

            return true;
        }
    }

    private void ForgetSettings()
    {
        foreach (SimulatedPort port in _ports.Where(port => port.Priority != PortPriority.Low || port.LimitWatts is not null))
        {
            (port.Priority, port.LimitWatts) = (PortPriority.Low, null);
            _scene.Log.Write(DeviceEntryKind.SettingLost, _switchName, Name, $"port {port.Number}: priority and limit");
        }
    }

    private void GoDark(SimulatedPort port, TimeSpan now)
    {
        if (port.Delivering)
        {
            Tell(DeviceEntryKind.PortDark, port, now);
        }

        _power.Drop(port, now);
    }

    private void Tell(DeviceEntryKind kind, SimulatedPort port, TimeSpan at) =>
        _scene.Log.WriteAt(kind, _switchName, Name, $"port {port.Number}, {port.Load?.Name}", at);
}

/// <summary>How a controller comes out of its reset.</summary>
/// <param name="Firmware">What it runs.</param>
internal sealed record ControllerWake(string Firmware)
{
    /// <summary>True where it comes out with a fault and feeds nothing.</summary>
    public bool Faulted { get; init; }

    /// <summary>True where the ports' settings are those that the unit left the yard with.</summary>
    public bool SettingsReset { get; init; }

    /// <summary>How many ports come out with a fault.</summary>
    public int PortsOff { get; init; }

    /// <summary>How many times as long as usual the loads take to restart.</summary>
    public double RestartFactor { get; init; } = 1;
}

/// <summary>What a console can say of a unit.</summary>
internal sealed record UnitView
{
    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>Its hardware model.</summary>
    public string Model { get; init; } = string.Empty;

    /// <summary>Its serial number.</summary>
    public string Serial { get; init; } = string.Empty;

    /// <summary>How many ports the hardware has.</summary>
    public int PortCount { get; init; }

    /// <summary>What the controller runs; empty while it runs nothing.</summary>
    public string Firmware { get; init; } = string.Empty;

    /// <summary>How the controller is.</summary>
    public ControllerCondition Condition { get; init; }

    /// <summary>The budget, watts.</summary>
    public decimal BudgetWatts { get; init; }

    /// <summary>What of it is kept back, watts.</summary>
    public decimal GuardBandWatts { get; init; }

    /// <summary>What is set aside for the ports, watts.</summary>
    public decimal AllocatedWatts { get; init; }

    /// <summary>What the ports draw, watts.</summary>
    public decimal DrawWatts { get; init; }

    /// <summary>The ports in order; none where the controller is absent.</summary>
    public IReadOnlyList<PortView> Ports { get; init; } = [];
}
