using System.Globalization;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Report;

/// <summary>What a journal tells of one attempt at one unit, from its first gate to its end.</summary>
internal sealed class RefreshStory(string unit, int run, DateTime gatesUtc)
{
    private const string NoPower = " has no power";

    private readonly Dictionary<string, DateTime> _stageBegan = new(StringComparer.Ordinal);
    private readonly Dictionary<string, DateTime> _stageEnded = new(StringComparer.Ordinal);
    private readonly Dictionary<string, double> _stageSeconds = new(StringComparer.Ordinal);
    private readonly Dictionary<string, double?> _loadDark = new(StringComparer.OrdinalIgnoreCase);
    private readonly List<string> _notes = [];
    private JournalEntry? _begin;
    private JournalEntry? _end;
    private JournalEntry? _passed;
    private bool _brokeOff;
    private string _readFirmware = string.Empty;

    /// <summary>The unit as its id prints.</summary>
    public string Unit => unit;

    /// <summary>Which of the runs began it, counted over all journals.</summary>
    public int Run => run;

    /// <summary>When its gates began.</summary>
    public DateTime GatesUtc => gatesUtc;

    /// <summary>When it was begun; null where it was not.</summary>
    public DateTime? BeganUtc => _begin?.Utc;

    /// <summary>When it was left; null where it was not begun or no end is written.</summary>
    public DateTime? EndedUtc => _begin is null || State is UnitState.Open or UnitState.Detached ? null : _end?.Utc;

    /// <summary>True where it was begun.</summary>
    public bool HasBegun => _begin is not null;

    /// <summary>True where nothing more belongs to it but a late end.</summary>
    public bool IsClosed => _end is not null || _passed is not null;

    /// <summary>True where it was refused because the image before it had not ended well.</summary>
    public bool WaitsForImageBefore { get; private set; }

    /// <summary>True where a later run found out how it ended.</summary>
    public bool IsLate => _end is not null && Text(_end, "late") == "true";

    /// <summary>Its place in the plan as its Begin says it.</summary>
    public int? Order => _begin is null ? null : (int?)Number(_begin, "order");

    /// <summary>What it was to run; empty where it was not begun.</summary>
    public string To => Begun("to");

    /// <summary>What it ran before: as a gate read it, else as its Begin says.</summary>
    public string Before => _readFirmware.Length > 0 ? _readFirmware : Begun("from");

    /// <summary>What it was last seen to run.</summary>
    public string Now => HasBegun ? Text(_end, "firmware") : _readFirmware;

    /// <summary>Why it ended so.</summary>
    public string Reason => Text(_end ?? _passed, "reason");

    /// <summary>The kind of problem that it ended with.</summary>
    public string ProblemId => Text(_end ?? _passed, "problem");

    /// <summary>How it ended.</summary>
    public UnitState State => Enum.TryParse(Text(_end ?? _passed, "outcome"), out UnitState state) && Enum.IsDefined(typeof(UnitState), state) ? state
        : HasBegun ? UnitState.Open : UnitState.NotBegun;

    /// <summary>How many loads were powered before; null where it was not begun.</summary>
    public int? Loads => (int?)Number(_end, "loads") ?? (int?)Number(_begin, "loads");

    /// <summary>How many had power again in the end; null where nobody knows.</summary>
    public int? LoadsBack => State is UnitState.Open or UnitState.Detached || (State == UnitState.Uncertain && Now.Length == 0) ? null : (int?)Number(_end, "loadsBack");

    /// <summary>How many of them are life-safety.</summary>
    public int? LifeSafety => (int?)Number(_begin, "lifeSafety");

    /// <summary>From dark until the last load had power again, seconds.</summary>
    public double? DarkSeconds => Number(_end, "darkSeconds");

    /// <summary>Loads and settings that are not back, as they stand in the journal: the loads first, whose names may hold commas.</summary>
    public IReadOnlyList<string> NotBack
    {
        get
        {
            string all = Text(_end, "notBack");
            int loads = all.LastIndexOf(NoPower, StringComparison.Ordinal) is var at && at < 0 ? 0 : at + NoPower.Length;
            return
            [
                .. all.Substring(0, loads).Split([NoPower + ", ", NoPower], StringSplitOptions.RemoveEmptyEntries).Select(load => load + NoPower),
                .. all.Substring(loads).Split([", "], StringSplitOptions.RemoveEmptyEntries),
            ];
        }
    }

    /// <summary>The notes, settings that were put back among them.</summary>
    public IReadOnlyList<string> Notes => _notes;

    /// <summary>How long each load was dark, by its port; null for one without power.</summary>
    public IReadOnlyDictionary<string, double?> LoadDark => _loadDark;

    /// <summary>When the loads went dark, as the run counts it: from the first dark stage, or from the first stage where the device named none.</summary>
    public DateTime? DarkFromUtc => First(Stage.Erase, Stage.Program, Stage.Reset) ?? (_loadDark.Count > 0 ? First(Stage.Transfer, Stage.Verify) : null);

    /// <summary>Seconds from dark to the end of the reset; null where that cannot be told.</summary>
    public double? ResetAfterSeconds => DarkFromUtc is { } dark && (Ended(Stage.Reset) ?? First(Stage.Verify)) is { } reset && reset >= dark ? (reset - dark).TotalSeconds : null;

    /// <summary>The ports as they were before; empty where the journal does not say.</summary>
    public IReadOnlyList<Port> Ports { get; private set; } = [];

    /// <summary>A fact of its Begin; empty where there is none.</summary>
    public string Begun(string fact) => Text(_begin, fact);

    /// <summary>The size of its image; 0 where its Begin does not say.</summary>
    public long Bytes => (long)(Number(_begin, "bytes") ?? 0);

    /// <summary>How long a stage took while it was watched; null where it is not written.</summary>
    public double? SecondsOf(string stage) => _stageSeconds.TryGetValue(stage, out double seconds) ? seconds : null;

    /// <summary>When a stage began while it was watched; null where it is not written.</summary>
    public DateTime? BeganOf(string stage) => _stageBegan.TryGetValue(stage, out DateTime utc) ? utc : null;

    /// <summary>True where the journal names the load of a port among those that have no power.</summary>
    public bool Names(string portId, out bool lifeSafety)
    {
        string said = Text(_end, "notBack") + "\n" + Reason;
        lifeSafety = said.IndexOf($" on {portId} (life-safety){NoPower}", StringComparison.OrdinalIgnoreCase) >= 0;
        return lifeSafety || said.IndexOf($" on {portId}{NoPower}", StringComparison.OrdinalIgnoreCase) >= 0;
    }

    /// <summary>A later run begins: what is open now was left by the run that watched it.</summary>
    public void BreakOff() => _brokeOff |= !IsClosed;

    /// <summary>Takes an entry.</summary>
    public void Take(JournalEntry entry)
    {
        switch (entry.Kind)
        {
            case RunEntryKind.Begin:
                _begin = entry;
                Ports = Snapshot(entry);
                break;
            case RunEntryKind.End:
                _end = entry;
                break;
            case RunEntryKind.Passed:
                _passed = entry;
                break;
            case RunEntryKind.Gate when Text(entry, "gate") == "ImageBefore" && Text(entry, "passed") == "false":
                WaitsForImageBefore = true;
                break;
            case RunEntryKind.Gate when entry.Facts.TryGetValue("firmware", out string? firmware):
                _readFirmware = firmware;
                break;
            case RunEntryKind.LoadsBack:
                TakeLoads(entry);
                break;
            case RunEntryKind.Note or RunEntryKind.PutBack:
                _notes.Add(Note(entry));
                break;
            default:
                TakeStage(entry);
                break;
        }
    }

    private void TakeLoads(JournalEntry entry)
    {
        foreach (KeyValuePair<string, string> load in entry.Facts)
        {
            _loadDark[load.Key] = Number(load.Value);
        }
    }

    // What a later run writes while it asks says nothing of how long the device took.
    private void TakeStage(JournalEntry entry)
    {
        string stage = Text(entry, "stage");
        if (_brokeOff || _end is not null || stage.Length == 0)
        {
            return;
        }

        if (entry.Kind == RunEntryKind.StageBegan)
        {
            _stageBegan[stage] = entry.Utc;
        }
        else if (entry.Kind == RunEntryKind.StageEnded && Number(entry, "seconds") is { } seconds)
        {
            _stageSeconds[stage] = seconds;
            _stageEnded[stage] = entry.Utc;
        }
    }

    private DateTime? First(params Stage[] stages) => stages.Select(stage => BeganOf(stage.ToString())).Where(utc => utc is not null).OrderBy(utc => utc).FirstOrDefault();

    private DateTime? Ended(Stage stage) => _stageEnded.TryGetValue(stage.ToString(), out DateTime utc) ? utc : null;

    private static IReadOnlyList<Port> Snapshot(JournalEntry begin) =>
        Text(begin, "ports") is { Length: > 0 } ports
            ? PortSnapshot.Before(ports.Split([", "], StringSplitOptions.None), new Controller())?.Ports ?? []
            : [];

    private static string Note(JournalEntry entry) => entry.Kind == RunEntryKind.Note
        ? Text(entry, "text")
        : $"{Text(entry, "found")}: {(Text(entry, "done") == "true" ? "it was put back" : $"it could not be put back, {Text(entry, "trouble")}")}";

    private static string Text(JournalEntry? entry, string fact) => entry is not null && entry.Facts.TryGetValue(fact, out string? text) ? text : string.Empty;

    private static double? Number(JournalEntry? entry, string fact) => Number(Text(entry, fact));

    private static double? Number(string text) => double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) && !double.IsNaN(number) && !double.IsInfinity(number) ? number : null;
}
