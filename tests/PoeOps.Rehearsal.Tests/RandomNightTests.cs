using System.Globalization;
using PoeOps.Journal;
using PoeOps.Refresh;
using Xunit.Abstractions;

namespace PoeOps.Rehearsal.Tests;

/// <summary>
/// Nights under mishaps that a seed draws, each audited. A few run here; POEOPS_RANDOM_NIGHTS says another number of them, and two units are refreshed in
/// each. What went wrong in night N is seen again with that seed.
/// </summary>
[Collection(Alone.Name)]
public sealed class RandomNightTests(ITestOutputHelper output)
{
    private const int Usual = 8;

    [Fact]
    public void None_of_the_rules_is_broken_whatever_happens()
    {
        int nights = int.TryParse(Environment.GetEnvironmentVariable("POEOPS_RANDOM_NIGHTS"), NumberStyles.None, CultureInfo.InvariantCulture, out int told) ? told : Usual;
        Dictionary<string, int> outcomes = [];
        Dictionary<string, int> mishaps = [];
        int units = 0;
        for (int seed = 1; seed <= nights; seed++)
        {
            using var night = new RandomNight(seed);
            IReadOnlyList<UnitResult> results = night.Run();
            JournalReading journal = night.Journal;
            Assert.True(journal.ChainHolds, $"night {seed}");
            IReadOnlyList<string> broken = Auditor.Audit(journal.Entries, night.Log);
            Assert.True(broken.Count == 0, $"night {seed} ({string.Join(", ", night.Mishaps)}): {string.Join(" ", broken)}");
            units += results.Count;
            foreach (UnitResult result in results)
            {
                outcomes[result.Outcome.ToString()] = outcomes.GetValueOrDefault(result.Outcome.ToString()) + 1;
            }

            foreach (string mishap in night.Mishaps)
            {
                string name = mishap[(mishap.IndexOf(':', StringComparison.Ordinal) + 1)..];
                mishaps[name] = mishaps.GetValueOrDefault(name) + 1;
            }
        }

        output.WriteLine($"{nights} nights, {units} units; mishaps: {Counted(mishaps)}; outcomes: {Counted(outcomes)}.");
        Assert.InRange(units, nights, 2 * nights);
    }

    private static string Counted(Dictionary<string, int> counts) => string.Join(", ", counts.OrderBy(count => count.Key, StringComparer.Ordinal).Select(count => $"{count.Key} {count.Value}"));
}
