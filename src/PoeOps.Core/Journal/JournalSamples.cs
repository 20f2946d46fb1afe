using System.Globalization;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Refresh;

namespace PoeOps.Journal;

/// <summary>What a journal tells of the refreshes in it.</summary>
public static class JournalSamples
{
    /// <summary>The refreshes that were begun and ended, in the order in which they ended.</summary>
    /// <param name="reading">The journal.</param>
    /// <returns>The refreshes; one that began and whose end is not written tells nothing.</returns>
    public static IReadOnlyList<RefreshSample> Of(JournalReading reading)
    {
        List<RefreshSample> samples = [];
        Dictionary<string, Open> open = new(StringComparer.OrdinalIgnoreCase);
        foreach (JournalEntry entry in reading.Entries)
        {
            if (entry.Kind == RunEntryKind.RunBegan)
            {
                foreach (Open left in open.Values)
                {
                    left.BreakOff();
                }
            }
            else if (entry.Kind == RunEntryKind.Begin)
            {
                open[entry.Unit] = new Open(entry);
            }
            else if (open.TryGetValue(entry.Unit, out Open? one))
            {
                one.Take(entry);
                if (entry.Kind == RunEntryKind.End && one.Ended(entry) is { } sample)
                {
                    samples.Add(sample);
                    _ = open.Remove(entry.Unit);
                }
            }
        }

        return samples;
    }

    /// <summary>What should be known before times are learned from a journal: that it is of a rehearsal, whose devices are simulated.</summary>
    /// <param name="reading">The journal.</param>
    /// <param name="path">How the caution names it.</param>
    /// <returns>A sentence; null for a real night.</returns>
    public static string? CautionOf(JournalReading reading, string path)
    {
        double speed = reading.Entries.Where(entry => entry.Kind == RunEntryKind.RunBegan).Select(entry => Number(entry, "speed") ?? 1).DefaultIfEmpty(1).Max();
        return speed == 1 ? null : FormattableString.Invariant($"'{path}' is the journal of a rehearsal at speed {speed}: the times that are learned from it are those of simulated devices.");
    }

    private static double? Number(JournalEntry entry, string fact) => Number(entry.Facts.TryGetValue(fact, out string? text) ? text : null);

    private static double? Number(string? text) => double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) ? number : null;

    private static string Text(JournalEntry entry, string fact) => entry.Facts.TryGetValue(fact, out string? text) ? text : string.Empty;

    private sealed class Open(JournalEntry begin)
    {
        private readonly Dictionary<string, double> _stages = new(StringComparer.Ordinal);
        private readonly Dictionary<string, double?> _loads = new(StringComparer.OrdinalIgnoreCase);

        private bool _watched = true;

        public void BreakOff() => _watched = false;

        public void Take(JournalEntry entry)
        {
            if (entry.Kind == RunEntryKind.StageEnded && Number(entry, "seconds") is { } seconds)
            {
                _stages[Text(entry, "stage")] = seconds;
            }
            else if (entry.Kind == RunEntryKind.LoadsBack)
            {
                foreach (KeyValuePair<string, string> load in entry.Facts)
                {
                    _loads[load.Key] = Number(load.Value);
                }
            }
        }

        public RefreshSample? Ended(JournalEntry end) => !UnitId.TryParse(end.Unit, out UnitId unit) ? null : new()
        {
            UnitId = unit,
            Id = end.Sha256,
            WasWatched = _watched,
            EndUtc = end.Utc,
            Model = Text(begin, "model"),
            ImageBytes = (long)(Number(begin, "bytes") ?? 0),
            ToFirmware = Text(begin, "to"),
            Outcome = Text(end, "outcome"),
            StageSeconds = _stages,
            DarkSeconds = Number(end, "darkSeconds"),
            LoadsBack = (int?)Number(end, "loadsBack"),
            LoadDarkSeconds = _loads,
        };
    }
}
