using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Audit;

/// <summary>Takes one journal apart into its spans, and finds what breaks a rule by the mere order of its entries.</summary>
internal sealed class JournalWalk
{
    private readonly int _journal;
    private readonly List<JournalEntry> _gates = [];
    private readonly List<UnitSpan> _ofRun = [];
    private UnitSpan? _open;
    private int _run = -1;
    private bool _running;
    private bool _stopAsked;
    private bool _whatIf;

    private JournalWalk(int journal) => _journal = journal;

    /// <summary>The spans in order.</summary>
    public List<UnitSpan> Spans { get; } = [];

    /// <summary>Broken rules, each in a sentence that begins with its number.</summary>
    public List<string> Findings { get; } = [];

    /// <summary>Walks a journal.</summary>
    /// <param name="journal">Its number, for sentences.</param>
    /// <param name="entries">Its entries.</param>
    public static JournalWalk Through(int journal, IEnumerable<JournalEntry> entries)
    {
        var walk = new JournalWalk(journal);
        foreach (JournalEntry entry in entries)
        {
            walk.Take(entry);
        }

        return walk;
    }

    private void Take(JournalEntry entry)
    {
        if (_open is not null && entry.Unit.Length > 0 && entry.Unit != _open.Unit)
        {
            Break(1, $"line {entry.Line} is about {entry.Unit} while {_open} has no End");
        }

        switch (entry.Kind)
        {
            case RunEntryKind.RunBegan:
                BeginRun(entry);
                break;
            case RunEntryKind.Gate:
                _gates.Add(entry);
                break;
            case RunEntryKind.Begin:
                Begin(entry);
                break;
            case RunEntryKind.End:
                End(entry);
                break;
            case RunEntryKind.Passed:
                _gates.Clear();
                break;
            case RunEntryKind.StopAsked:
                _stopAsked = true;
                break;
            case RunEntryKind.RunEnded:
                EndRun(entry);
                break;
            default:
                Within(entry);
                break;
        }
    }

    private void BeginRun(JournalEntry entry)
    {
        // A run that was cut short leaves its unit open; what comes after is another run.
        if (_open is not null)
        {
            _open.Until = entry.Utc;
        }

        (_open, _stopAsked, _running) = (null, false, true);
        _whatIf = UnitSpan.Fact(entry, "whatIf") == "true";
        _gates.Clear();
        _ofRun.Clear();
        _run++;
    }

    private void EndRun(JournalEntry entry)
    {
        if (_open is not null)
        {
            Break(6, $"the run ends in line {entry.Line} while {_open} has no End");
        }

        _running = false;
    }

    private void Begin(JournalEntry entry)
    {
        var span = new UnitSpan(_journal, _run, entry) { Gates = [.. _gates.Where(gate => gate.Unit == entry.Unit)] };
        _gates.Clear();
        if (_open is not null)
        {
            Break(1, $"{span} begins while {_open} has no End");
        }

        if (_stopAsked || !_running)
        {
            Break(6, $"{span} begins after {(_running ? "a stop was asked for" : "the run had ended")}");
        }

        if (_whatIf)
        {
            Break(10, $"{span} begins although the run is only to look");
        }

        if (_ofRun.Find(before => before.Switch == span.Switch && before.Outcome is StageOutcome.Failed or StageOutcome.Uncertain) is { } bad)
        {
            Break(4, $"{span} begins at the switch where {bad} ended {bad.Outcome}");
        }

        _open = span;
        _ofRun.Add(span);
        Spans.Add(span);
    }

    private void End(JournalEntry entry)
    {
        if (_open is null && UnitSpan.Fact(entry, "late") == "true" && Unclear(entry.Unit) is { } asked)
        {
            (asked.End, asked.Until) = (entry, entry.Utc);
            return;
        }

        if (_open is null)
        {
            Break(1, $"line {entry.Line} ends {entry.Unit}, which was not begun");
            return;
        }

        (_open.End, _open.Until) = (entry, entry.Utc);
        _open = null;
        _gates.Clear();
    }

    private void Within(JournalEntry entry)
    {
        if (_open is not null)
        {
            _open.Within.Add(entry);
        }
        else if (Unclear(entry.Unit) is { } asked && (entry.Kind != RunEntryKind.StageBegan || UnitSpan.Fact(entry, "stage") is nameof(Stage.Verify) or nameof(Stage.Recover)))
        {
            asked.Within.Add(entry);
            asked.Until = entry.Utc;
        }
        else if (entry.Kind is RunEntryKind.StageBegan or RunEntryKind.PutBack)
        {
            Break(2, $"line {entry.Line} is work at {entry.Unit}, which was not begun");
        }
    }

    // What a run that goes on asks about a unit belongs to the span that left it in doubt, or with something in the dark.
    private UnitSpan? Unclear(string unit) => Spans.FindLast(span => span.Unit == unit) is { } last && last.Run < _run
        && last.Outcome is null or StageOutcome.Uncertain or StageOutcome.Detached or StageOutcome.Degraded ? last : null;

    private void Break(int rule, string what) => Findings.Add($"Rule {rule}: {what}.");
}
