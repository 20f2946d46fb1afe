namespace PoeOps.Report;

/// <summary>Sorts units into the windows of a plan; those that no plan knows into the runs of the journals.</summary>
internal static class WindowRows
{
    /// <summary>The windows in order, behind them the runs.</summary>
    public static IReadOnlyList<WindowSummary> Of(IReadOnlyList<UnitRow> rows, RefreshStories stories, IReadOnlyList<JournalSource> journals)
    {
        (UnitRow Row, int At)[] all = [.. rows.Select((row, at) => (row, at))];
        IEnumerable<WindowSummary> windows = all.Where(one => one.Row.Planned is not null)
            .GroupBy(one => (one.Row.Planned!.Site, one.Row.Planned.WindowOpensUtc, one.Row.Planned.WindowClosesUtc))
            .OrderBy(window => window.Key.WindowOpensUtc).ThenBy(window => window.Key.Site, StringComparer.Ordinal)
            .Select(window => new WindowSummary
            {
                Site = window.Key.Site,
                OpensUtc = window.Key.WindowOpensUtc,
                ClosesUtc = window.Key.WindowClosesUtc,
                Attended = window.Any(one => one.Row.Planned!.WindowAttended),
                IsPlanned = true,
                Units = [.. window.Select(one => one.At)],
            });
        List<WindowSummary> runs = [];
        foreach ((RunFacts run, DateTime last) in journals.SelectMany(journal => Spans(stories.RunsOf(journal), journal)))
        {
            int[] own = [.. all.Where(one => one.Row is { Planned: null, Story: { } story } && story.GatesUtc >= run.BeganUtc && story.GatesUtc <= last).Select(one => one.At)];
            if (own.Length > 0)
            {
                runs.Add(new WindowSummary { OpensUtc = run.BeganUtc, ClosesUtc = last, Attended = run.Attended, Units = own });
            }
        }

        return [.. windows, .. runs];
    }

    private static IEnumerable<(RunFacts Run, DateTime Last)> Spans(IReadOnlyList<RunFacts> runs, JournalSource journal)
    {
        for (int i = 0; i < runs.Count; i++)
        {
            int next = i + 1 < runs.Count ? runs[i + 1].Line : int.MaxValue;
            yield return (runs[i], journal.Reading.Entries.Where(entry => entry.Line >= runs[i].Line && entry.Line < next).Select(entry => entry.Utc).DefaultIfEmpty(runs[i].BeganUtc).Max());
        }
    }
}
