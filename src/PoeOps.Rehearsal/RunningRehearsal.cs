using PoeOps.Rehearsal.Agents;
using PoeOps.Rehearsal.Devices;
using PoeOps.Rehearsal.Sessions;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal;

/// <summary>A rehearsal whose switches can be reached. Its end stops them and deletes what it wrote.</summary>
public sealed class RunningRehearsal : IDisposable
{
    private readonly CancellationTokenSource _ended;
    private readonly RehearsalFolder _folder;
    private readonly DeviceLog _log;
    private readonly List<(SimulatedSwitch Device, ConsoleListener Listener)> _consoles;
    private readonly List<AgentListener> _agents;
    private readonly object _gate = new();
    private bool _disposed;

    internal RunningRehearsal(RehearsalParts parts, RehearsalFolder folder)
    {
        _ended = parts.Ended;
        _log = parts.Log;
        _consoles = parts.Consoles;
        _agents = parts.Agents;
        _folder = folder;
        Clock = parts.Clock;
        World world = parts.World;
        Mishaps = [.. parts.Mishaps.Select(mishap => mishap.ToString())];
        (User, Password, ElevationPassword) = (world.User, world.Password, world.ElevationPassword);
        Switches = [.. _consoles.Select((console, place) => new RehearsalSwitch(console.Device.Name, console.Device.Family, console.Listener.Port, _agents[place].Port))];
    }

    /// <summary>The rehearsals of this process that have not ended.</summary>
    public static IReadOnlyList<RunningRehearsal> All => RehearsalEstate.Running();

    /// <summary>The rewritten estate: every switch on loopback, the rehearsal's clock, one window that is open all the time.</summary>
    public string EstatePath => _folder.EstatePath;

    /// <summary>Seconds of the rehearsal in one second of the machine.</summary>
    public double Speed => Clock.Speed;

    /// <summary>The rehearsal's clock.</summary>
    public Clock Clock { get; }

    /// <summary>The switches and where they listen.</summary>
    public IReadOnlyList<RehearsalSwitch> Switches { get; }

    /// <summary>The faults that are played, each as <c>Start-PseRehearsal -Mishap</c> takes it.</summary>
    public IReadOnlyList<string> Mishaps { get; }

    /// <summary>Who may log in, at every switch.</summary>
    public string User { get; }

    /// <summary>The made-up secret of <see cref="User"/>.</summary>
    public string Password { get; }

    /// <summary>The made-up second secret, for switches that ask for one; empty where none does.</summary>
    public string ElevationPassword { get; }

    /// <summary>The made-up community of every switch's SNMP agent.</summary>
    public string Community { get; } = AgentSecrets.Community;

    /// <summary>The user of SNMPv3 at every agent, who has SHA-256 and AES-128; <c>rehearsal-md5</c> and its like have the other hashes and the same passwords.</summary>
    public string SnmpUser { get; } = AgentSecrets.User;

    /// <summary>The made-up password of <see cref="SnmpUser"/> for authentication.</summary>
    public string SnmpAuthPassword { get; } = AgentSecrets.AuthPassword;

    /// <summary>The made-up password of <see cref="SnmpUser"/> for privacy.</summary>
    public string SnmpPrivPassword { get; } = AgentSecrets.PrivPassword;

    /// <summary>True from the rehearsal's end on.</summary>
    public bool Ended => _ended.IsCancellationRequested;

    /// <summary>What the devices did up to now, in order of time. Stays readable after the end.</summary>
    public IReadOnlyList<DeviceEntry> Log
    {
        get
        {
            if (!Ended)
            {
                // A unit writes what it did when somebody looks at it.
                _consoles.ForEach(console => CatchUp(console.Device));
            }

            return _log.Entries;
        }
    }

    /// <summary>The rehearsal of this process that wrote an estate.</summary>
    /// <param name="estatePath">The estate's file.</param>
    /// <returns>The rehearsal; null where none of this process wrote it, or it has ended.</returns>
    public static RunningRehearsal? Find(string estatePath)
    {
        string full = Path.GetFullPath(estatePath);
        return All.FirstOrDefault(one => string.Equals(Path.GetFullPath(one.EstatePath), full, StringComparison.Ordinal));
    }

    /// <summary>How many entries the log had no room for; 0 in anything shorter than thousands of refreshes.</summary>
    public int LogEntriesLeftOut => _log.LeftOut;

    /// <summary>Ends the rehearsal: closes every console, stops every device and deletes the rewritten estate.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            if (_disposed)
            {
                return;
            }

            _disposed = true;
        }

        _consoles.ForEach(console => CatchUp(console.Device));
        _ended.Cancel();
        _consoles.ForEach(console => console.Listener.Dispose());
        _agents.ForEach(agent => agent.Dispose());
        RehearsalEstate.Forget(this);
        _folder.Delete();
    }

    private static void CatchUp(SimulatedSwitch device)
    {
        foreach (SimulatedUnit unit in device.Units)
        {
            unit.View();
        }
    }
}

/// <summary>A switch of a rehearsal.</summary>
/// <param name="Name">The switch, as the estate names it.</param>
/// <param name="Family">The family whose console it has.</param>
/// <param name="Port">The TCP port of its console at 127.0.0.1.</param>
/// <param name="SnmpPort">The UDP port of its SNMP agent there.</param>
public sealed record RehearsalSwitch(string Name, string Family, int Port, int SnmpPort)
{
    /// <summary>Its name.</summary>
    public override string ToString() => Name;
}

/// <summary>What a rehearsal is made of.</summary>
internal sealed record RehearsalParts(World World, Clock Clock, DeviceLog Log, CancellationTokenSource Ended, List<(SimulatedSwitch Device, ConsoleListener Listener)> Consoles, List<AgentListener> Agents, IReadOnlyList<Mishap> Mishaps);
