using System.Globalization;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Report;

/// <summary>All attempts that journals tell of, in the order of time, and the runs that made them. Runs under -WhatIf changed nothing and are left out.</summary>
internal sealed class RefreshStories
{
    private readonly List<RefreshStory> _all = [];
    private readonly Dictionary<string, RefreshStory> _last = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<JournalSource, IReadOnlyList<RunFacts>> _runs = [];
    private readonly Dictionary<int, string> _fingerprints = [];
    private int _run;

    /// <summary>Reads them.</summary>
    /// <param name="journals">The journals in the order of their first entries.</param>
    public RefreshStories(IReadOnlyList<JournalSource> journals)
    {
        foreach (JournalSource journal in journals)
        {
            _runs[journal] = Take(journal);
        }
    }

    /// <summary>The attempts that came to a Begin or to a refusal, by unit.</summary>
    public ILookup<string, RefreshStory> ByUnit => _all.Where(story => story.HasBegun || story.IsClosed).ToLookup(story => story.Unit, StringComparer.OrdinalIgnoreCase);

    /// <summary>The units in the order in which they first came up.</summary>
    public IEnumerable<string> Units => _all.Where(story => story.HasBegun || story.IsClosed).Select(story => story.Unit).Distinct(StringComparer.OrdinalIgnoreCase);

    /// <summary>The runs of a journal; none of one that was not read.</summary>
    public IReadOnlyList<RunFacts> RunsOf(JournalSource journal) => _runs.TryGetValue(journal, out IReadOnlyList<RunFacts>? runs) ? runs : [];

    /// <summary>The fingerprint of the plan that an attempt was made by; empty where its run does not say.</summary>
    public string FingerprintOf(RefreshStory story) => _fingerprints.TryGetValue(story.Run, out string? fingerprint) ? fingerprint : string.Empty;

    /// <summary>The last run of all; null where there is none.</summary>
    public RunFacts? LastRun { get; private set; }

    /// <summary>The units that the last run did not come to, as its last entry says them.</summary>
    public IReadOnlyList<string> NotBegun { get; private set; } = [];

    private List<RunFacts> Take(JournalSource journal)
    {
        List<RunFacts> runs = [];
        bool real = true;
        foreach (JournalEntry entry in journal.Reading.Entries)
        {
            if (entry.Kind == RunEntryKind.RunBegan)
            {
                real = Fact(entry, "whatIf") != "true";
                if (real)
                {
                    Begin(runs, entry);
                }
            }
            else if (real && entry.Kind == RunEntryKind.RunEnded && runs.Count > 0)
            {
                LastRun = runs[runs.Count - 1] = runs[runs.Count - 1] with { EndedUtc = entry.Utc, Because = Fact(entry, "because") };
                NotBegun = Fact(entry, "notBegun") is { Length: > 0 } units ? units.Split([", "], StringSplitOptions.None) : [];
            }
            else if (real && entry.Unit.Length > 0)
            {
                StoryOf(entry).Take(entry);
            }
        }

        return runs;
    }

    private void Begin(List<RunFacts> runs, JournalEntry entry)
    {
        _run++;
        foreach (RefreshStory story in _last.Values)
        {
            story.BreakOff();
        }

        LastRun = new RunFacts
        {
            Line = entry.Line,
            BeganUtc = entry.Utc,
            Host = Fact(entry, "host"),
            User = Fact(entry, "user"),
            PlanName = Fact(entry, "plan"),
            Fingerprint = Fact(entry, "fingerprint"),
            Attended = Fact(entry, "attended") == "true",
            Speed = double.TryParse(Fact(entry, "speed"), NumberStyles.Float, CultureInfo.InvariantCulture, out double speed) ? speed : 1,
        };
        _fingerprints[_run] = LastRun.Fingerprint;
        NotBegun = [];
        runs.Add(LastRun);
    }

    // A gate or a Begin after the end of an attempt is a new one; a late end belongs to the attempt that it tells of.
    private RefreshStory StoryOf(JournalEntry entry)
    {
        bool known = _last.TryGetValue(entry.Unit, out RefreshStory? story);
        bool late = entry.Kind == RunEntryKind.End && Fact(entry, "late") == "true";
        bool begins = entry.Kind is RunEntryKind.Gate or RunEntryKind.Begin or RunEntryKind.Passed;
        if (late && _all.LastOrDefault(one => one.HasBegun && string.Equals(one.Unit, entry.Unit, StringComparison.OrdinalIgnoreCase) && Same(one.Order, Fact(entry, "order"))) is { } asked)
        {
            return asked;
        }

        if (!known || (begins && (story!.IsClosed || story.Run != _run)))
        {
            story = new RefreshStory(entry.Unit, _run, entry.Utc);
            _all.Add(story);
            _last[entry.Unit] = story;
        }

        return story!;
    }

    private static bool Same(int? order, string text) => order is null || text.Length == 0 || text == order.Value.ToString(CultureInfo.InvariantCulture);

    private static string Fact(JournalEntry entry, string name) => entry.Facts.TryGetValue(name, out string? value) ? value : string.Empty;
}
