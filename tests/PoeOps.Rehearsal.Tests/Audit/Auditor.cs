using System.Globalization;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Audit;

/// <summary>
/// Holds the rules of a refresh against what journals and devices wrote, each by themselves, and nothing else. It knows nothing of the engine. What it
/// cannot see: which bytes of a device are in a transcript (only that there is one), and what a person was asked.
/// </summary>
internal sealed class Auditor
{
    private static readonly string[] Gates = ["Stop", "Window", "Coverage", "Disk", "Image", "Lock", "Busy", "Reading", "Healthy", "Budget", "LifeSafety"];

    private readonly IReadOnlyList<DeviceEntry> _log;
    private readonly TimeSpan _slack;
    private readonly List<UnitSpan> _spans = [];
    private readonly List<string> _findings = [];

    private Auditor(IReadOnlyList<DeviceEntry> log, TimeSpan slack)
    {
        _log = log;
        _slack = slack;
    }

    /// <summary>Audits.</summary>
    /// <param name="journals">The journals of all runs that met these devices.</param>
    /// <param name="log">What the devices did.</param>
    /// <param name="slack">By how much the two clocks may differ.</param>
    /// <param name="secrets">What must stand in no journal.</param>
    /// <returns>What is broken, each in a sentence that begins with its rule; empty where nothing is.</returns>
    public static IReadOnlyList<string> Audit(IReadOnlyList<JournalReading> journals, IReadOnlyList<DeviceEntry> log, TimeSpan slack, params string[] secrets)
    {
        var auditor = new Auditor(log, slack);
        for (int i = 0; i < journals.Count; i++)
        {
            auditor.Take(i, journals[i], secrets);
        }

        auditor.Judge();
        return auditor._findings;
    }

    private void Take(int number, JournalReading journal, string[] secrets)
    {
        _findings.AddRange(journal.Problems.Where(problem => problem.Id != ProblemId.JournalTorn).Select(problem => $"Rule 2: journal {number + 1} cannot be relied on: {problem.Sentence}"));
        var walk = JournalWalk.Through(number, journal.Entries);
        _findings.AddRange(walk.Findings);
        _spans.AddRange(walk.Spans);
        foreach (JournalEntry entry in journal.Entries.Where(entry => secrets.Any(secret => secret.Length > 0 && entry.Text.Contains(secret, StringComparison.Ordinal))))
        {
            Break(9, $"line {entry.Line} of journal {number + 1} holds a secret");
        }
    }

    private void Judge()
    {
        foreach (UnitSpan span in _spans)
        {
            Before(span);
            Meanwhile(span);
            new Aftermath(span, Of(span), Break).Judge();
        }

        NeverTwice();
        NothingElse();
    }

    private void Before(UnitSpan span)
    {
        foreach (string gate in Gates.Where(gate => span.Gate(gate) is null))
        {
            Break(gate == "Window" ? 5 : gate == "Stop" ? 6 : gate == "Lock" ? 7 : 3, $"{span} begins without the gate {gate}");
        }

        if (span.Gate("Image") is { } image && UnitSpan.Fact(image, "sha256") != UnitSpan.Fact(span.Begin, "sha256"))
        {
            Break(3, $"{span} begins with another image than was checked");
        }

        if (UnitSpan.Number(span.Begin, "needSeconds") is not { } need || !Utc(span.Begin, "windowCloses", out DateTime closes) || span.Begin.Utc.AddSeconds(need) > closes)
        {
            Break(5, $"{span} could outlast its window");
        }

        if (UnitSpan.Fact(span.Begin, "transcript").Length == 0)
        {
            Break(9, $"{span} has no transcript");
        }
    }

    // Begin is on disk before the first byte: the command comes after the entry that is written behind it, unless that one could not be written.
    private void Meanwhile(UnitSpan span)
    {
        IReadOnlyList<DeviceEntry> log = Of(span);
        JournalEntry? transfer = span.Within.Find(entry => entry.Kind == RunEntryKind.StageBegan && UnitSpan.Fact(entry, "stage") == nameof(Stage.Transfer));
        if (transfer is null && !span.HasGap && span.End is not null)
        {
            Break(2, $"{span} does not say when its work began");
        }

        DateTime ready = transfer?.Utc ?? span.Begin.Utc;
        if (log.FirstOrDefault(entry => entry.Kind == DeviceEntryKind.InstallAsked && entry.Utc < ready - _slack) is { } early)
        {
            Break(2, $"{span} was sent '{early.Text}' before its Begin was on disk");
        }

        string firmware = span.Gate("Reading") is { } reading ? UnitSpan.Fact(reading, "firmware") : string.Empty;
        DeviceEntry[] began = [.. log.Where(entry => entry.Kind == DeviceEntryKind.InstallBegan)];
        if (began.FirstOrDefault(entry => !entry.Text.EndsWith("running " + firmware, StringComparison.Ordinal)) is { } other)
        {
            Break(3, $"{span} was read to run '{firmware}', and the device says: {other.Text}");
        }

        if (began.Length > 1)
        {
            Break(4, $"{span} was told to load {began.Length} times");
        }

        string digest = UnitSpan.Fact(span.Begin, "sha256");
        if (log.FirstOrDefault(entry => entry.Kind == DeviceEntryKind.ImageFetched && !entry.Text.EndsWith("SHA-256 " + digest, StringComparison.Ordinal)) is { } fetched)
        {
            Break(3, $"{span} fetched another image than was checked: {fetched.Text}");
        }
    }

    // Whoever holds a switch holds it alone, whichever journal it writes.
    private void NeverTwice()
    {
        UnitSpan[] spans = [.. _spans.OrderBy(span => span.Begin.Utc)];
        for (int i = 0; i < spans.Length; i++)
        {
            UnitSpan? other = spans.Skip(i + 1).FirstOrDefault(later => later.Switch == spans[i].Switch && later.Journal != spans[i].Journal && later.Begin.Utc < spans[i].Until);
            if (other is not null)
            {
                Break(7, $"{spans[i]} and {other} hold one switch at the same time");
            }
        }
    }

    // Whatever changes a unit lies inside a span of that unit.
    private void NothingElse()
    {
        foreach (DeviceEntry entry in _log.Where(entry => entry.Kind is DeviceEntryKind.InstallAsked or DeviceEntryKind.InstallBegan or DeviceEntryKind.SettingChanged))
        {
            if (!_spans.Exists(span => IsWithin(span, entry)))
            {
                Break(2, $"{entry.Target} was sent '{entry.Text}' at {entry.Utc:HH:mm:ss}, when no journal says that it was begun");
            }
        }
    }

    private DeviceEntry[] Of(UnitSpan span) => [.. _log.Where(entry => IsWithin(span, entry))];

    private bool IsWithin(UnitSpan span, DeviceEntry entry) =>
        string.Equals(entry.Target, span.Unit, StringComparison.OrdinalIgnoreCase) && entry.Utc >= span.Begin.Utc - _slack && entry.Utc <= Later(span.Until);

    private DateTime Later(DateTime moment) => moment > DateTime.MaxValue - _slack ? moment : moment + _slack;

    private static bool Utc(JournalEntry entry, string name, out DateTime utc) =>
        DateTime.TryParse(UnitSpan.Fact(entry, name), CultureInfo.InvariantCulture, DateTimeStyles.AdjustToUniversal, out utc);

    private void Break(int rule, string what) => _findings.Add($"Rule {rule}: {what}.");
}
