using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Writes down which gates of a unit are open. The first that is closed ends them; under WhatIf they all are looked at, so that one look shows
/// everything that stands in the way.
/// </summary>
internal sealed class GateBook
{
    private readonly UnitRecord _record;
    private readonly bool _whatIf;
    private readonly IReadOnlyList<string> _skip;
    private readonly List<string> _passed = [];
    private readonly List<(string Gate, GateRefusal Refusal)> _closed = [];

    /// <summary>Begins with no gate looked at.</summary>
    /// <param name="record">Where they are written down.</param>
    /// <param name="whatIf">True to look at all of them.</param>
    /// <param name="skip">Gates that hold nobody up; that one was closed is written down all the same.</param>
    public GateBook(UnitRecord record, bool whatIf, IReadOnlyList<string> skip)
    {
        _skip = skip;
        _record = record;
        _whatIf = whatIf;
    }

    /// <summary>The gates that are open, in the order in which they were looked at.</summary>
    public IReadOnlyList<string> Passed => _passed;

    /// <summary>What all closed gates together mean; null where none is.</summary>
    public GateRefusal? Verdict
    {
        get
        {
            if (_closed.Count == 0)
            {
                return null;
            }

            List<GateRefusal> all = [.. _closed.Select(one => one.Refusal)];
            GateRefusal first = all.Find(one => one.Id == ProblemId.NothingToDo) ?? all.Find(one => one.Outcome == StageOutcome.Refused) ?? all[0];
            IEnumerable<string> others = first.Id == ProblemId.NothingToDo ? [] : all.Where(one => one != first).Select(one => one.Reason);
            string rest = _whatIf && all.Count == 1 && first.Id == ProblemId.WindowClosed ? " Every other gate is open." : string.Empty;
            return first with { Reason = string.Join(" ", [first.Reason, .. others]) + rest };
        }
    }

    /// <summary>A gate is open.</summary>
    /// <returns>Null, for the next gate.</returns>
    public GateRefusal? Pass(string gate, params (string, object?)[] facts)
    {
        if (!IsClosed(gate) && !_passed.Contains(gate))
        {
            _passed.Add(gate);
            _record.Write(RunEntryKind.Gate, [("gate", gate), ("passed", true), .. facts]);
        }

        return null;
    }

    /// <summary>A gate is closed.</summary>
    /// <param name="gate">Its id.</param>
    /// <param name="outcome">Refused, or Skipped where nothing is wrong.</param>
    /// <param name="id">The kind of problem.</param>
    /// <param name="reason">Why, in a sentence.</param>
    /// <param name="last">True where the gates after it cannot be looked at.</param>
    /// <returns>The refusal; null where the next gate is to be looked at all the same.</returns>
    public GateRefusal? Close(string gate, StageOutcome outcome, ProblemId id, string reason, bool last = false)
    {
        if (_skip.Contains(gate, StringComparer.OrdinalIgnoreCase))
        {
            return Skip(gate, id, reason);
        }

        var refusal = new GateRefusal(outcome, id, reason);
        if (!IsClosed(gate))
        {
            _closed.Add((gate, refusal));
            _record.Write(RunEntryKind.Gate, ("gate", gate), ("passed", false), ("problem", id.ToString()), ("reason", reason));
        }

        return _whatIf && !last ? null : refusal;
    }

    private GateRefusal? Skip(string gate, ProblemId id, string reason)
    {
        string name = gate + " (skipped)";
        if (!_passed.Contains(name))
        {
            _passed.Add(name);
            _record.Write(RunEntryKind.Gate, ("gate", gate), ("passed", false), ("skipped", true), ("problem", id.ToString()), ("reason", reason));
        }

        return null;
    }

    private bool IsClosed(string gate) => _closed.Exists(one => one.Gate == gate);
}

/// <summary>Why a unit does not start, or how it ended.</summary>
/// <param name="Outcome">Refused, or Skipped where nothing is wrong; or how it ended.</param>
/// <param name="Id">The kind of problem.</param>
/// <param name="Reason">Why, in a sentence.</param>
internal sealed record GateRefusal(StageOutcome Outcome, ProblemId Id, string Reason)
{
    /// <summary>What the result of every unit says.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="options">The run's.</param>
    public UnitResult ResultOf(PlannedUnit unit, RunOptions options) => new()
    {
        Order = unit.Order,
        Site = unit.Site,
        Switch = unit.Switch,
        Unit = unit.Unit,
        Outcome = Outcome,
        Reason = Reason,
        ProblemId = Outcome == StageOutcome.Done ? null : Id,
        FromFirmware = unit.FromFirmware,
        ToFirmware = unit.ToFirmware,
        EndUtc = options.Clock.UtcNow,
        JournalPath = options.JournalPath,
    };
}
