using System.Diagnostics;
using PoeOps.Baselines;
using PoeOps.Planning;

namespace PoeOps.Benchmarks;

/// <summary>How long the risks of a plan take, ten units to a window, with five kinds of times and with times of its own for each unit.</summary>
internal static class RiskSpeed
{
    private const int InAWindow = 10;

    private static readonly DateTime Night = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);

    /// <summary>Measures, and prints a table.</summary>
    public static void Run()
    {
        Console.WriteLine("Risks of plans with ten units to a window, and the reserve for 0.99; the best of 3 turns.");
        foreach ((int units, int kinds) in new[] { (1_000, 5), (10_000, 5), (1_000, 1_000) })
        {
            Plan plan = PlanOf(units, kinds);
            double risks = Best(() => plan.Risks.Count);
            double reserve = Best(() => OverrunRisk.ReserveFor(plan.Units.Select(unit => unit.StageTimes), 0.99));
            Console.WriteLine(FormattableString.Invariant($"  {units,6} units, {kinds,5} kinds of times: risks {risks * 1000,8:0} ms, reserve {reserve * 1000,8:0} ms"));
        }

        Console.WriteLine("  goal: 10,000 units of a few kinds in about a second");
    }

    private static double Best<T>(Func<T> work)
    {
        double best = double.MaxValue;
        for (int turn = 0; turn < 3; turn++)
        {
            var watch = Stopwatch.StartNew();
            _ = work();
            best = Math.Min(best, watch.Elapsed.TotalSeconds);
        }

        return best;
    }

    private static Plan PlanOf(int units, int kinds) => new() { Units = [.. Enumerable.Range(0, units).Select(i => UnitOf(i, i % kinds))] };

    private static PlannedUnit UnitOf(int index, int kind) => new()
    {
        Order = index + 1,
        Site = "site",
        Switch = "s",
        Unit = "1",
        StageTimes = new StageTimes(StageTimes.Names.ToDictionary(name => name, _ => new StageTime(60 + (kind * 0.01), 120))),
        RecoverSeconds = 120,
        WindowOpensUtc = Night.AddDays(index / InAWindow),
        WindowClosesUtc = Night.AddDays(index / InAWindow).AddHours(2),
        StartUtc = Night.AddDays(index / InAWindow).AddMinutes(12 * (index % InAWindow)),
    };
}
