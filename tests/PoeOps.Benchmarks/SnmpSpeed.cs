using System.Diagnostics;
using System.Globalization;
using System.Net;
using PoeOps.Snmp;

namespace PoeOps.Benchmarks;

/// <summary>
/// Reads many agents, and one large one, beside net-snmp's snmpbulkwalk, which walks the same rows with as many programs at once. The agents are a process of their own, so
/// that they cost both sides the same. Best of three turns in turn.
/// </summary>
internal static class SnmpSpeed
{
    private const int AtOnce = 16;
    private const int Turns = 3;
    private const int Ports = 48;
    private const int LargePorts = 2_500;

    /// <summary>Measures.</summary>
    /// <param name="agents">How many agents.</param>
    /// <returns>0 where all rows were read by both sides.</returns>
    public static int Run(int agents)
    {
        using var many = new AgentsProcess(agents, Ports);
        using var large = new AgentsProcess(1, LargePorts);
        bool whole = Compare($"{agents} agents of {(Ports * 4) + 4} rows, {AtOnce} at once", many.Ports, Ports, "10");
        whole &= Compare($"{agents} agents again, the programs with 100 repetitions", many.Ports, Ports, "100");
        whole &= Compare($"one agent of {(LargePorts * 4) + 4} rows", large.Ports, LargePorts, "10");
        whole &= Compare("one agent again, the program with 100 repetitions", large.Ports, LargePorts, "100");
        return whole ? 0 : 1;
    }

    private static bool Compare(string what, int[] agents, int ports, string repetitions)
    {
        double ours = double.MaxValue, theirs = double.MaxValue;
        bool whole = true;
        for (int turn = 0; turn < Turns; turn++)
        {
            var clock = Stopwatch.StartNew();
            whole &= Ours(agents) == agents.Length * ports;
            ours = Math.Min(ours, clock.Elapsed.TotalSeconds);
            clock.Restart();
            whole &= Theirs(agents, repetitions) == agents.Length * ((ports * 4) + 4);
            theirs = Math.Min(theirs, clock.Elapsed.TotalSeconds);
        }

        Console.WriteLine($"{what}: PoeOps {ours:0.000} s, snmpbulkwalk -Cr{repetitions} {theirs:0.000} s, {theirs / ours:0.0} times as fast{(whole ? string.Empty : ", BUT NOT ALL WAS READ")}");
        return whole;
    }

    private static int Ours(int[] agents)
    {
        SnmpPlace[] places = [.. agents.Select(port => new SnmpPlace("127.0.0.1", port, new SnmpContext { Switch = "s" + port.ToString(CultureInfo.InvariantCulture) }))];
        int read = 0;
        foreach (SnmpReading reading in SnmpSweep.Read(places, new CommunityAccess("quiet"), AtOnce))
        {
            reading.Problems.ToList().ForEach(problem => Console.WriteLine(problem));
            read += reading.Controllers.Sum(one => one.PortCount);
        }

        return read;
    }

    private static int Theirs(int[] agents, string repetitions)
    {
        int lines = 0;
        int next = -1;
        Thread[] starters = [.. Enumerable.Range(0, AtOnce).Select(_ => new Thread(() =>
        {
            for (int i = Interlocked.Increment(ref next); i < agents.Length; i = Interlocked.Increment(ref next))
            {
                Interlocked.Add(ref lines, Lines(agents[i], repetitions));
            }
        }))];
        Array.ForEach(starters, starter => starter.Start());
        Array.ForEach(starters, starter => starter.Join());
        return lines;
    }

    private static int Lines(int port, string repetitions)
    {
        using Process walk = Process.Start(new ProcessStartInfo("snmpbulkwalk", ["-v2c", "-c", "quiet", "-On", "-m", "", "-Cr" + repetitions, $"127.0.0.1:{port}", "1.3.6.1.2.1.105"]) { RedirectStandardOutput = true })!;
        string printed = walk.StandardOutput.ReadToEnd();
        walk.WaitForExit();

        // The last line says that nothing comes after the last object.
        return printed.Split('\n').Count(line => line.Length > 0 && !line.Contains("No more variables", StringComparison.Ordinal));
    }
}

/// <summary>Agents in a process of their own: this program again.</summary>
internal sealed class AgentsProcess : IDisposable
{
    private readonly Process _process;

    /// <summary>Starts agents of one unit each with so many ports.</summary>
    public AgentsProcess(int agents, int ports)
    {
        ProcessStartInfo start = new(Environment.ProcessPath!, [.. Dll(), "snmp-agents", agents.ToString(CultureInfo.InvariantCulture), ports.ToString(CultureInfo.InvariantCulture)])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
        };
        _process = Process.Start(start)!;
        Ports = [.. _process.StandardOutput.ReadLine()!.Split(' ').Select(port => int.Parse(port, CultureInfo.InvariantCulture))];
    }

    /// <summary>The UDP ports of the agents.</summary>
    public int[] Ports { get; }

    /// <inheritdoc/>
    public void Dispose()
    {
        _process.StandardInput.Close();
        if (!_process.WaitForExit(5000))
        {
            _process.Kill();
        }

        _process.Dispose();
    }

    // Under `dotnet run` the program is its own host; under `dotnet FILE.dll` it is given the file.
    private static string[] Dll() => Path.GetFileNameWithoutExtension(Environment.ProcessPath) == "dotnet" ? [typeof(AgentsProcess).Assembly.Location] : [];
}
