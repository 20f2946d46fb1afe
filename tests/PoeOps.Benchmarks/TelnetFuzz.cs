using System.Diagnostics;
using PoeOps.Core.Tests.Terminal;

namespace PoeOps.Benchmarks;

/// <summary>Telnet from peers that say anything, in great numbers. The case of a number is the same at each run.</summary>
internal static class TelnetFuzz
{
    /// <summary>Reads so many dialogues and holds each against an account of its own.</summary>
    /// <returns>0 where all is well.</returns>
    public static int Run(int count, int seed)
    {
        int faults = 0;
        long octets = 0;
        var watch = Stopwatch.StartNew();
        for (int number = seed; number < seed + count; number++)
        {
            octets += TelnetAccount.Octets(number).Length;
            if (TelnetAccount.Fault(number) is { } fault)
            {
                faults++;
                Console.WriteLine($"{number}: {fault}");
            }
        }

        Console.WriteLine($"{count} dialogues from {seed}: {octets} octets, {faults} faults, {watch.Elapsed.TotalSeconds:0} s");
        return faults == 0 ? 0 : 1;
    }
}
