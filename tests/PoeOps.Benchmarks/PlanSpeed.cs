using System.Diagnostics;
using PoeOps.Core.Tests.Planning.Proof;
using PoeOps.Planning;

namespace PoeOps.Benchmarks;

/// <summary>How long the planner takes for 100, 1,000 and 10,000 units, forty to a site, with and without soak and coverage groups, and how near it comes to a bound.</summary>
internal static class PlanSpeed
{
    private const int UnitsOfSite = 40;
    private const int Rounds = 3;

    private static readonly int[] Sizes = [100, 1_000, 10_000];

    /// <summary>Measures, and prints a table.</summary>
    public static void Run()
    {
        string estate = Path.GetTempFileName();
        try
        {
            File.WriteAllText(estate, "{}");
            foreach ((string name, TimeSpan soak, int groupEvery) in new[] { ("neither soak nor coverage groups", TimeSpan.Zero, 0), ("a day of soak, and every third unit of a site in a coverage group", TimeSpan.FromHours(24), 3) })
            {
                Measure(estate, name, soak, groupEvery);
            }
        }
        finally
        {
            File.Delete(estate);
        }

        Console.WriteLine("  goal: 10,000 units in 5 s or less, growth n^1.2 at most; windows within 1 % of the bound, 3 % where soak or groups bind");
    }

    private static void Measure(string estate, string name, TimeSpan soak, int groupEvery)
    {
        Dictionary<int, PlanCase> cases = Sizes.ToDictionary(size => size, size => new RandomCase(1, estate).Large(size, Math.Max(1, size / UnitsOfSite), models: 4, lanes: Math.Max(1, size / UnitsOfSite), hours: 5, soak, groupEvery));
        Dictionary<int, double> best = Sizes.ToDictionary(size => size, _ => double.MaxValue);
        Dictionary<int, Plan> plans = [];
        for (int round = 0; round < Rounds; round++)
        {
            foreach (int size in Sizes)
            {
                var watch = Stopwatch.StartNew();
                plans[size] = cases[size].Plan();
                best[size] = Math.Min(best[size], watch.Elapsed.TotalSeconds);
            }
        }

        Console.WriteLine($"Plans with {name}; the best of {Rounds} turns, taken in turn.");
        foreach (int size in Sizes)
        {
            string growth = size == Sizes[0] ? string.Empty : FormattableString.Invariant($"n^{Math.Log10(best[size] / best[size / 10]):0.00}");
            Console.WriteLine(FormattableString.Invariant($"  {size,6} units {best[size] * 1000,10:0.0} ms  {plans[size].Windows,5} windows, bound {cases[size].Bound().Groups,5}, {plans[size].Obstacles.Count} obstacles  {growth}"));
        }
    }
}
