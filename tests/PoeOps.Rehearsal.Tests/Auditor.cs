using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests;

/// <summary>
/// Holds the journal of a run against what the simulated devices wrote themselves, and says which of the rules that nothing breaks was broken. It sees these
/// two alone and shares nothing with the engine.
/// </summary>
internal static class Auditor
{
    // Journal and devices read the same clock, each at its own moment; at 600-fold speed a tenth of a second of the machine is a minute.
    private static readonly TimeSpan Skew = TimeSpan.FromMinutes(5);
    private static readonly string[] Gates = ["Stop", "Window", "Coverage", "Disk", "Image", "Lock", "Busy", "Reading", "Healthy", "Budget", "LifeSafety"];

    /// <summary>What was broken, each with the number of the rule; empty where nothing was.</summary>
    public static IReadOnlyList<string> Audit(IReadOnlyList<JournalEntry> journal, IReadOnlyList<DeviceEntry> devices) =>
        [.. OneAtATime(journal), .. GatesBeforeBegin(journal), .. NothingAfterABadEnd(journal), .. NothingAfterAStop(journal), .. OfDevices(journal, devices), .. DoneIsDone(journal, devices)];

    // Rule 1: at most one unit of a run is between Begin and End, and what was begun ends.
    private static IEnumerable<string> OneAtATime(IReadOnlyList<JournalEntry> journal)
    {
        string open = string.Empty;
        foreach (JournalEntry entry in journal)
        {
            if (entry.Kind == RunEntryKind.Begin)
            {
                if (open.Length > 0)
                {
                    yield return $"1: line {entry.Line}: {entry.Unit} begins while {open} is at work.";
                }

                open = entry.Unit;
            }
            else if (entry.Kind == RunEntryKind.End)
            {
                if (open != entry.Unit)
                {
                    yield return $"1: line {entry.Line}: {entry.Unit} ends and was not at work.";
                }

                open = string.Empty;
            }
        }

        if (open.Length > 0)
        {
            yield return $"1: {open} was begun and its end is not written.";
        }
    }

    // Rules 3, 5 and 7: before a unit begins, every gate was passed for it since it was last begun or looked at, the fresh reading and the digest among them.
    private static IEnumerable<string> GatesBeforeBegin(IReadOnlyList<JournalEntry> journal)
    {
        Dictionary<string, HashSet<string>> passed = [];
        foreach (JournalEntry entry in journal)
        {
            if (entry.Kind == RunEntryKind.Gate && entry.Facts["passed"] == "true")
            {
                (passed.TryGetValue(entry.Unit, out HashSet<string>? gates) ? gates : passed[entry.Unit] = []).Add(entry.Facts["gate"]);
            }
            else if (entry.Kind == RunEntryKind.Begin)
            {
                string[] missing = [.. Gates.Where(gate => !passed.TryGetValue(entry.Unit, out HashSet<string>? gates) || !gates.Contains(gate))];
                if (missing.Length > 0)
                {
                    yield return $"3: line {entry.Line}: {entry.Unit} begins without {string.Join(", ", missing)}.";
                }

                _ = passed.Remove(entry.Unit);
            }
        }
    }

    // Rule 4, and the stop rule: after an end that is none, nothing more is begun in the run.
    private static IEnumerable<string> NothingAfterABadEnd(IReadOnlyList<JournalEntry> journal)
    {
        string bad = string.Empty;
        foreach (JournalEntry entry in journal)
        {
            if (entry.Kind == RunEntryKind.Begin && bad.Length > 0)
            {
                yield return $"4: line {entry.Line}: {entry.Unit} begins after {bad}.";
            }

            bad = entry.Kind == RunEntryKind.End && entry.Facts["outcome"] is "Failed" or "Uncertain" ? $"{entry.Unit} ended {entry.Facts["outcome"]}" : entry.Kind == RunEntryKind.RunBegan ? string.Empty : bad;
        }
    }

    // Rule 6.
    private static IEnumerable<string> NothingAfterAStop(IReadOnlyList<JournalEntry> journal)
    {
        bool stopped = false;
        foreach (JournalEntry entry in journal)
        {
            stopped = entry.Kind == RunEntryKind.StopAsked || (stopped && entry.Kind != RunEntryKind.RunBegan);
            if (stopped && entry.Kind == RunEntryKind.Begin)
            {
                yield return $"6: line {entry.Line}: {entry.Unit} begins after a stop was asked for.";
            }
        }
    }

    // Rule 2, and nothing twice: a device took a command only while the journal has its unit at work, and once for each Begin.
    private static IEnumerable<string> OfDevices(IReadOnlyList<JournalEntry> journal, IReadOnlyList<DeviceEntry> devices)
    {
        foreach (IGrouping<string, DeviceEntry> unit in devices.Where(entry => entry.Kind == DeviceEntryKind.InstallBegan).GroupBy(entry => entry.Target))
        {
            JournalEntry[] begins = [.. journal.Where(entry => entry.Kind == RunEntryKind.Begin && entry.Unit == unit.Key)];
            if (unit.Count() > begins.Length)
            {
                yield return $"2: {unit.Key} took {unit.Count()} commands, and the journal has {begins.Length} beginnings.";
            }

            foreach (DeviceEntry taken in unit)
            {
                bool covered = begins.Any(begin => taken.Utc >= begin.Utc - Skew && taken.Utc <= EndOf(journal, begin) + Skew);
                if (!covered)
                {
                    yield return $"2: {unit.Key} took a command at {taken.Utc:HH:mm:ss}, when the journal does not have it at work.";
                }
            }
        }
    }

    // Rule 8 and Verify: Done is said only of a unit whose device came through, and whose ports that went dark were all granted power again before.
    private static IEnumerable<string> DoneIsDone(IReadOnlyList<JournalEntry> journal, IReadOnlyList<DeviceEntry> devices)
    {
        foreach (JournalEntry end in journal.Where(entry => entry.Kind == RunEntryKind.End && entry.Facts["outcome"] == "Done"))
        {
            DeviceEntry[] ofUnit = [.. devices.Where(entry => entry.Target == end.Unit && entry.Utc <= end.Utc + Skew)];
            DeviceEntry? last = ofUnit.LastOrDefault(entry => entry.Kind is DeviceEntryKind.InstallSucceeded or DeviceEntryKind.InstallFailed or DeviceEntryKind.InstallBegan);
            if (last is not { Kind: DeviceEntryKind.InstallSucceeded })
            {
                yield return $"8: line {end.Line}: {end.Unit} is Done, and its device says {last?.Kind.ToString() ?? "nothing"}.";
            }

            string[] dark = [.. ofUnit.Where(entry => entry.Kind is DeviceEntryKind.PortDark or DeviceEntryKind.PortGranted).GroupBy(entry => entry.Text.Split(',')[0]).Where(port => port.Last().Kind == DeviceEntryKind.PortDark).Select(port => port.Key)];
            if (dark.Length > 0)
            {
                yield return $"8: line {end.Line}: {end.Unit} is Done, and {string.Join(", ", dark)} is dark.";
            }
        }
    }

    private static DateTime EndOf(IReadOnlyList<JournalEntry> journal, JournalEntry begin) =>
        journal.FirstOrDefault(entry => entry.Line > begin.Line && entry.Kind == RunEntryKind.End && entry.Unit == begin.Unit)?.Utc ?? DateTime.MaxValue - Skew;
}
