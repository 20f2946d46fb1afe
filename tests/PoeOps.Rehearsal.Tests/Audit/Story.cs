using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Audit;

/// <summary>A night that went well, told by a journal and by the devices, to be spoilt.</summary>
internal sealed class Story
{
    public const string Secret = "low-tide-9";
    public static readonly DateTime Start = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);

    private const string Digest = "d1";

    public Story()
    {
        Add(Journal, 0, RunEntryKind.RunBegan, "", ("whatIf", "false"));
        Tell(Journal, 10, "north-1/1");
        Tell(Journal, 1000, "north-2/1");
        Add(Journal, 2000, RunEntryKind.RunEnded, "", ("because", "the plan is through"));
        Do(10, "north-1", "1");
        Do(1000, "north-2", "1");
    }

    /// <summary>What the journal says.</summary>
    public List<JournalEntry> Journal { get; } = [];

    /// <summary>What another journal says; there is none where it is empty.</summary>
    public List<JournalEntry> Other { get; } = [];

    /// <summary>What the devices did.</summary>
    public List<DeviceEntry> Log { get; } = [];

    public IReadOnlyList<Problem> Problems { get; set; } = [];

    /// <summary>Audits it.</summary>
    public IReadOnlyList<string> Audit()
    {
        JournalReading[] journals = [new(Number(Journal), Problems), .. Other.Count > 0 ? [new JournalReading(Number(Other), [])] : Array.Empty<JournalReading>()];
        return Auditor.Audit(journals, [.. Log.OrderBy(entry => entry.Utc)], TimeSpan.FromMilliseconds(100), Secret);
    }

    /// <summary>Adds an entry to a journal, at its place in time.</summary>
    public static void Add(List<JournalEntry> journal, double at, RunEntryKind kind, string unit, params (string Name, string Value)[] facts)
    {
        var entry = new JournalEntry
        {
            Utc = Start.AddSeconds(at),
            Kind = kind,
            Unit = unit,
            Text = string.Join("; ", facts.Select(fact => $"{fact.Name}={fact.Value}")),
            Facts = facts.ToDictionary(fact => fact.Name, fact => fact.Value, StringComparer.Ordinal),
        };
        int place = journal.FindLastIndex(other => other.Utc <= entry.Utc) + 1;
        journal.Insert(place, entry);
    }

    public void Add(double at, RunEntryKind kind, string unit, params (string Name, string Value)[] facts) => Add(Journal, at, kind, unit, facts);

    /// <summary>The devices do one more thing.</summary>
    public void Device(double at, DeviceEntryKind kind, string switchName, string unit, string text, Stage? stage = null) =>
        Log.Add(new DeviceEntry(Start.AddSeconds(at), switchName, unit, kind, text) { Stage = stage });

    /// <summary>Changes a fact of the entry of a unit.</summary>
    public void Change(RunEntryKind kind, string unit, string name, string value, string gate = "")
    {
        int index = Find(kind, unit, gate);
        Journal[index] = Journal[index] with { Facts = new Dictionary<string, string>(Journal[index].Facts, StringComparer.Ordinal) { [name] = value }, Text = $"{name}={value}" };
    }

    /// <summary>Takes the entry of a unit out.</summary>
    public void Remove(RunEntryKind kind, string unit, string gate = "") => Journal.RemoveAt(Find(kind, unit, gate));

    /// <summary>Takes what a device did out.</summary>
    public void Forget(DeviceEntryKind kind, string switchName) => Log.RemoveAt(Log.FindIndex(entry => entry.Kind == kind && entry.Switch == switchName));

    /// <summary>The journal of a unit that goes well, as long as it is.</summary>
    public static void Tell(List<JournalEntry> journal, double at, string unit)
    {
        foreach (string gate in new[] { "Stop", "Window", "Coverage", "Disk", "Image", "Lock", "Busy", "Reading", "Healthy", "Budget", "LifeSafety" })
        {
            string name = gate == "Image" ? "sha256" : "firmware";
            Add(journal, at, RunEntryKind.Gate, unit, ("gate", gate), ("passed", "true"), (name, gate == "Image" ? Digest : "3.8.0"));
        }

        Add(journal, at + 1, RunEntryKind.Begin, unit, ("from", "3.8.0"), ("to", "3.10.2"), ("sha256", Digest), ("needSeconds", "1440"), ("windowCloses", "2026-12-02T03:00:00Z"), ("transcript", "a.txt"));
        Add(journal, at + 2, RunEntryKind.StageBegan, unit, ("stage", "Transfer"));
        Add(journal, at + 300, RunEntryKind.StageBegan, unit, ("stage", "Verify"));
        Add(journal, at + 310, RunEntryKind.StageBegan, unit, ("stage", "Recover"));
        Add(journal, at + 320, RunEntryKind.PutBack, unit, ("port", unit + "/2"), ("done", "true"));
        Add(journal, at + 500, RunEntryKind.End, unit, ("outcome", "Done"), ("firmware", "kl_3_10_2"), ("loads", "2"), ("loadsBack", "2"), ("notBack", ""));
    }

    private void Do(double at, string switchName, string unit)
    {
        Device(at + 3, DeviceEntryKind.InstallAsked, switchName, unit, "load it");
        Device(at + 4, DeviceEntryKind.InstallBegan, switchName, unit, "a.img from 127.0.0.1:6900, running 3.8.0");
        Device(at + 30, DeviceEntryKind.ImageFetched, switchName, unit, $"a.img, 100 bytes, SHA-256 {Digest}", Stage.Transfer);
        Device(at + 60, DeviceEntryKind.PortDark, switchName, unit, "port 1, phone");
        Device(at + 60, DeviceEntryKind.PortDark, switchName, unit, "port 2, radio");
        Device(at + 280, DeviceEntryKind.SettingLost, switchName, unit, "port 2: priority and limit");
        Device(at + 290, DeviceEntryKind.InstallSucceeded, switchName, unit, "runs kl_3_10_2");
        Device(at + 292, DeviceEntryKind.PortGranted, switchName, unit, "port 1, phone");
        Device(at + 293, DeviceEntryKind.PortGranted, switchName, unit, "port 2, radio");
        Device(at + 319, DeviceEntryKind.SettingChanged, switchName, unit, "port 2: rank 1:2 high");
    }

    private int Find(RunEntryKind kind, string unit, string gate)
    {
        int index = Journal.FindIndex(entry => entry.Kind == kind && entry.Unit == unit && (gate.Length == 0 || entry.Facts["gate"] == gate));
        return index >= 0 ? index : throw new InvalidOperationException($"There is no {kind} of {unit}.");
    }

    private static IReadOnlyList<JournalEntry> Number(IEnumerable<JournalEntry> entries) => [.. entries.Select((entry, index) => entry with { Line = index + 1 })];
}
