using System.Globalization;
using PoeOps.Dialects;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Benchmarks;

/// <summary>Reads one capture in a process of its own, so that a limit of memory can be set for it, and prints what came out.</summary>
internal static class OneReading
{
    private const int MostTold = 3;

    /// <summary>As Get-PseController reads it.</summary>
    public static int Read(string dialect, string capture)
    {
        SwitchReading reading = CaptureFiles.Read(Clone.Dialect(dialect), "quay-1", [capture], null, DateTime.UnixEpoch);
        Console.WriteLine($"{reading.Controllers.Count} controllers, {reading.Controllers.Sum(one => one.Ports.Count)} ports");
        return Tell(reading.Problems);
    }

    /// <summary>As Test-PseDialect reads it.</summary>
    public static int Cover(string dialect, string capture)
    {
        CoverageReading reading = Coverage.Of(Clone.Dialect(dialect), [capture]);
        DialectCoverage summary = reading.Summary;
        Console.WriteLine($"{reading.Lines.Count} lines, {summary.Read} read, {summary.Unread} unread, {summary.Blank} blank, {summary.Ports} ports");
        return Tell(reading.Problems);
    }

    private static int Tell(IReadOnlyList<Problem> problems)
    {
        foreach (Problem problem in problems.Take(MostTold))
        {
            Console.WriteLine($"{problem.Id} {problem.Line?.ToString(CultureInfo.InvariantCulture) ?? "-"}: {problem.Sentence}");
        }

        Console.WriteLine($"{problems.Count} problems");
        return 0;
    }
}
