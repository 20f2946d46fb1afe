using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>A night of many units, each of which comes back as planned; its journal is made in memory.</summary>
internal static class BigNight
{
    public static RunSummary Summary(int units, int loads)
    {
        PlannedUnit[] planned = [.. Enumerable.Range(1, units).Select(order => SampleNight.Unit(order, $"islet-{order}", "1", loads) with { WindowOpensUtc = Opens(order), WindowClosesUtc = Opens(order).AddHours(6), StartUtc = Start(order), EndUtc = Start(order).AddMinutes(9), BudgetWatts = 740 })];
        List<JournalEntry> entries = [new() { Line = 1, Utc = SampleNight.Night, Kind = RunEntryKind.RunBegan, Facts = new Dictionary<string, string> { ["fingerprint"] = "f00d", ["speed"] = "1" } }];
        foreach (PlannedUnit unit in planned)
        {
            Add(entries, unit);
        }

        return RunSummary.Of(SampleNight.Plan with { Units = planned }, [new JournalSource("night.journal.jsonl", new JournalReading(entries, []), new string('c', 64))]);
    }

    private static DateTime Opens(int order) => SampleNight.Night.AddDays((order - 1) / 35);

    private static DateTime Start(int order) => Opens(order).AddMinutes(10 * ((order - 1) % 35));

    private static void Add(List<JournalEntry> entries, PlannedUnit unit)
    {
        string loads = $"{unit.Loads}";
        Entry(30, RunEntryKind.Begin, ("from", "3.8"), ("to", "3.10"), ("image", "a.img"), ("bytes", "3"), ("sha256", new string('a', 64)), ("loads", loads), ("order", $"{unit.Order}"), ("transcript", $"/nights/{unit.Switch}.20261201T220000.1.transcript.txt"));
        int at = 31;
        foreach ((string stage, int seconds) in new[] { ("Transfer", 60), ("Erase", 10), ("Program", 90), ("Reset", 20), ("Verify", 5), ("Recover", 120) })
        {
            Entry(at, RunEntryKind.StageBegan, ("stage", stage));
            Entry(at += seconds, RunEntryKind.StageEnded, ("stage", stage), ("seconds", $"{seconds}.125"));
        }

        Entry(at, RunEntryKind.LoadsBack, [.. unit.DarkLoads.Select(load => (load.Port, $"14{load.Port.PadLeft(2, '0')[..1]}.5"))]);
        Entry(at + 1, RunEntryKind.End, ("outcome", "Done"), ("reason", "It runs 3.10, and everything is back."), ("firmware", "3.10"), ("loads", loads), ("loadsBack", loads), ("darkSeconds", "142.5"));

        void Entry(int seconds, RunEntryKind kind, params (string Name, string Value)[] facts) => entries.Add(new JournalEntry
        {
            Line = entries.Count + 1,
            Utc = unit.StartUtc.AddSeconds(seconds),
            Kind = kind,
            Unit = unit.UnitId.ToString(),
            Facts = facts.ToDictionary(fact => fact.Name, fact => fact.Value),
        });
    }
}
