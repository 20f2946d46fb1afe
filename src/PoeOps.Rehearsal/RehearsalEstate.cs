using PoeOps.Estate;
using PoeOps.Rehearsal.Agents;
using PoeOps.Rehearsal.Devices;
using PoeOps.Rehearsal.Sessions;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal;

/// <summary>Starts rehearsals: the switches of an estate as simulated devices whose consoles listen on loopback, and nowhere else.</summary>
public static class RehearsalEstate
{
    private const string Loopback = "127.0.0.1";

    private static readonly List<RunningRehearsal> Rehearsals = [];

    static RehearsalEstate() => AppDomain.CurrentDomain.ProcessExit += (_, _) => StopAll();

    /// <summary>Says what would keep a rehearsal from starting.</summary>
    /// <param name="options">What to rehearse.</param>
    /// <returns>Every mistake of the estate, the world and the mishaps; empty where it can start.</returns>
    public static IReadOnlyList<Problem> Check(RehearsalOptions options) => RehearsalScript.Read(options).Problems;

    /// <summary>Starts a rehearsal.</summary>
    /// <param name="options">What to rehearse.</param>
    /// <exception cref="PoeOpsException">
    /// <see cref="ProblemId.MishapUnknown"/> for a mishap that there is not; <see cref="ProblemId.RehearsalCannotStart"/> with the first of the mistakes that
    /// <see cref="Check"/> lists; a problem of the folder.
    /// </exception>
    public static RunningRehearsal Start(RehearsalOptions options)
    {
        RehearsalScript script = RehearsalScript.Read(options);
        if (script.Problems.Count > 0)
        {
            throw new PoeOpsException(CannotStart(options, script.Problems));
        }

        DateTime machineStart = SystemClock.Instance.UtcNow;
        DateTime start = script.World!.StartUtc ?? machineStart;
        var clock = new ScaledClock(options.Speed, machineStart, start);
        RehearsalFolder folder = RehearsalFolder.Make(options.Folder, Path.GetFileName(options.EstatePath));
        RehearsalParts parts = StartDevices(script, clock);
        var rehearsal = new RunningRehearsal(parts, folder);
        try
        {
            WriteEstate(script.Estate!, rehearsal, new RehearsalClock { Speed = options.Speed, MachineStartUtc = machineStart, StartUtc = start });
        }
        catch (PoeOpsException)
        {
            rehearsal.Dispose();
            throw;
        }

        lock (Rehearsals)
        {
            Rehearsals.Add(rehearsal);
        }

        return rehearsal;
    }

    /// <summary>Ends every rehearsal of this process.</summary>
    public static void StopAll()
    {
        foreach (RunningRehearsal rehearsal in Running())
        {
            rehearsal.Dispose();
        }
    }

    internal static IReadOnlyList<RunningRehearsal> Running()
    {
        lock (Rehearsals)
        {
            return [.. Rehearsals];
        }
    }

    internal static void Forget(RunningRehearsal rehearsal)
    {
        lock (Rehearsals)
        {
            Rehearsals.Remove(rehearsal);
        }
    }

    private static RehearsalParts StartDevices(RehearsalScript script, Clock clock)
    {
#pragma warning disable CA2000 // The running rehearsal owns it.
        var ended = new CancellationTokenSource();
#pragma warning restore CA2000
        var log = new DeviceLog(clock);
        var scene = new Scene(clock, log, new MishapPlay(script.Mishaps, log), ended.Token);
        var consoles = new List<(SimulatedSwitch Device, ConsoleListener Listener)>();
        foreach (WorldSwitch one in script.World!.Switches)
        {
            var device = new SimulatedSwitch(scene, script.World, one, new RoleTimes(script.Estate!, one).Of);
            var listener = new ConsoleListener(device, channel => one.Family == "oakum" ? new OakumConsole(device, channel) : new KelplineConsole(device, channel));
            device.Sessions = listener;
            consoles.Add((device, listener));
        }

        consoles.ForEach(console => console.Listener.Start());
        List<AgentListener> agents = [.. consoles.Select(console => new AgentListener(console.Device))];
        agents.ForEach(agent => agent.Start());
        return new RehearsalParts(script.World, clock, log, ended, consoles, agents, script.Mishaps);
    }

    private static void WriteEstate(EstateMap estate, RunningRehearsal rehearsal, RehearsalClock clock) =>
        EstateFile.Rewrite(
            estate.SourcePath,
            rehearsal.EstatePath,
            new EstateChange(
                name => EndpointOf(rehearsal.Switches.First(one => string.Equals(one.Name, name, StringComparison.OrdinalIgnoreCase))),
                site => RehearsalWindow.Of(site, clock.StartUtc),
                clock,
                Loopback));

    private static SwitchEndpoint EndpointOf(RehearsalSwitch one) => new(Loopback, one.Port, LinkKind.Tcp, one.SnmpPort);

    private static Problem CannotStart(RehearsalOptions options, IReadOnlyList<Problem> problems)
    {
        if (problems[0].Id == ProblemId.MishapUnknown)
        {
            return problems[0];
        }

        string more = problems.Count > 1 ? $" There are {problems.Count} such mistakes in all." : string.Empty;
        return problems[0] with
        {
            Id = ProblemId.RehearsalCannotStart,
            Sentence = $"The rehearsal of '{options.EstatePath}' cannot start. {problems[0].Sentence}{more}",
        };
    }
}
