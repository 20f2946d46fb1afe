using System.Globalization;
using PoeOps.Refresh;
using Xunit.Abstractions;

namespace PoeOps.Rehearsal.Tests.Nights;

/// <summary>
/// Many units are refreshed while things go wrong by chance, and no rule is broken. The same seed has the same mishaps; what comes of them depends on
/// the machine as well. POEOPS_REHEARSED_UNITS says how many units (64), POEOPS_REHEARSED_SEED the first seed (1).
/// </summary>
[Collection(Alone.Name)]
public sealed class ManyNightsTests(ITestOutputHelper output)
{
    private const int Usual = 64;
    private const int AtOnce = 24;

    [Fact]
    public void No_rule_is_broken()
    {
        int units = Setting("POEOPS_REHEARSED_UNITS", Usual);
        int first = Setting("POEOPS_REHEARSED_SEED", 1);
        RandomNight[] nights = [.. Enumerable.Range(first, (units + RandomPlace.Units.Count - 1) / RandomPlace.Units.Count).Select(seed => new RandomNight(seed))];

        Run(nights);

        Tell(nights);
        Assert.Empty(nights.SelectMany(night => night.Findings));
        Assert.All(nights, night => Assert.Equal(RandomPlace.Units.Count, night.Last.Count()));
        Assert.Contains(nights.SelectMany(night => night.Last), result => result.Outcome == StageOutcome.Done);
        Assert.True(units < Usual || nights.Sum(night => night.Mishaps.Count) > units / 4, "Hardly anything went wrong, so nothing was shown.");
    }

    // Most of a night is waiting, so many are run at once, each on a thread of its own.
    private static void Run(RandomNight[] nights)
    {
        int next = -1;
        List<Exception> failures = [];
        Thread[] threads = [.. Enumerable.Range(0, Math.Min(AtOnce, nights.Length)).Select(_ => new Thread(() =>
        {
            for (int i = Interlocked.Increment(ref next); i < nights.Length; i = Interlocked.Increment(ref next))
            {
                Run(nights[i], failures);
            }
        }))];
        Array.ForEach(threads, thread => thread.Start());
        Array.ForEach(threads, thread => thread.Join());
        Assert.Empty(failures);
    }

    private static void Run(RandomNight night, List<Exception> failures)
    {
#pragma warning disable CA1031 // An exception on a thread would end the test run; it is told with its seed instead.
        try
        {
            night.Run();
        }
        catch (Exception exception)
        {
            lock (failures)
            {
                failures.Add(new InvalidOperationException($"Night {night.Seed} broke off.", exception));
            }
        }
#pragma warning restore CA1031
    }

    private void Tell(RandomNight[] nights)
    {
        UnitResult[] results = [.. nights.SelectMany(night => night.Results)];
        string[] mishaps = [.. nights.SelectMany(night => night.Mishaps)];
        output.WriteLine($"{nights.Length} nights, {nights.Sum(night => night.Last.Count())} units taken up {results.Length} times, {mishaps.Length} mishaps");
        output.WriteLine($"at the last: {Counts(nights.SelectMany(night => night.Last).Select(result => result.Outcome.ToString()))}");
        output.WriteLine($"in all: {Counts(results.Select(result => result.ProblemId is { } id ? $"{result.Outcome}/{id}" : result.Outcome.ToString()))}");
        output.WriteLine($"mishaps: {Counts(mishaps)}");
        foreach (string finding in nights.SelectMany(night => night.Findings))
        {
            output.WriteLine(finding);
        }
    }

    private static string Counts(IEnumerable<string> words) =>
        string.Join(", ", words.GroupBy(word => word).OrderByDescending(group => group.Count()).ThenBy(group => group.Key, StringComparer.Ordinal).Select(group => $"{group.Count()} {group.Key}"));

    private static int Setting(string name, int usual) =>
        Environment.GetEnvironmentVariable(name) is { Length: > 0 } text ? int.Parse(text, CultureInfo.InvariantCulture) : usual;
}
