using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// One use of a plan. Pulled: each <see cref="Next"/> takes one planned unit from its gates to its end, so that at most one is in between. Nothing is
/// begun that is not written down before. The first unit that fails or whose state nobody knows ends the run.
/// </summary>
public sealed class RefreshRun
{
    private readonly RunOptions _options;
    private readonly Queue<PlannedUnit> _waiting;
    private readonly Dictionary<UnitId, UnitResult> _notWell = [];
    private readonly RunTime _time;
    private bool _begun;
    private bool _ended;

    /// <summary>Prepares a run; nothing is written or sent yet.</summary>
    public RefreshRun(RunOptions options)
    {
        _options = options;
        _time = new RunTime(options.Clock);
        _waiting = new Queue<PlannedUnit>(options.Plan.Units.OrderBy(unit => unit.Order));
    }

    /// <summary>The planned units that were not looked at.</summary>
    public IReadOnlyList<PlannedUnit> Remaining => [.. _waiting];

    /// <summary>Why the run ended before its plan did; null where it did not.</summary>
    public string? StoppedBecause { get; private set; }

    /// <summary>Takes the next planned unit to its end.</summary>
    /// <returns>What became of it; null when there is none left, or the run has ended.</returns>
    /// <exception cref="PoeOpsException">The record cannot be written, and nothing was begun.</exception>
    /// <remarks>Any other exception is the caller's own, out of a callback: it ends the run as well, and the end of a unit that was begun is written.</remarks>
    public UnitResult? Next()
    {
        if (_ended)
        {
            return null;
        }

        Begin();
        if (_waiting.Count == 0 || _options.Stop.Reason is not null || StoppedBecause is not null)
        {
            End();
            return null;
        }

        TellJump();
        return Take(_waiting.Peek());
    }

    private UnitResult Take(PlannedUnit unit)
    {
        _notWell.TryGetValue(unit.UnitId, out UnitResult? before);
        var refresh = new UnitRefresh(_options, unit, _time, before);
        StoppedBecause = $"{unit.UnitId} broke off";
        UnitResult result;
        try
        {
            result = refresh.Run();
            StoppedBecause = result.Outcome is StageOutcome.Failed or StageOutcome.Uncertain ? $"{result.UnitId} ended {result.Outcome}" : null;
            _ = _waiting.Dequeue();
        }
        catch (Exception exception)
        {
            // Whatever it was goes on to the caller; where the unit was begun, its end is written.
            StoppedBecause = $"{unit.UnitId} broke off: {Excerpt.Line(exception.Message)}";
            _ = refresh.HasBegun ? _waiting.Dequeue() : null;
            throw;
        }

        Remember(result);

        if (refresh.RecordIsLost)
        {
            StoppedBecause = "the journal could not be written";
            EndIfWritable(refresh.HasEnd);
        }

        return result;
    }

    private void Remember(UnitResult result)
    {
        bool well = result.Outcome == StageOutcome.Done || result.ProblemId == ProblemId.NothingToDo || _options.WhatIf;
        if (!well)
        {
            _notWell[result.UnitId] = result;
        }
    }

    private void Begin()
    {
        if (_begun)
        {
            return;
        }

        using var process = System.Diagnostics.Process.GetCurrentProcess();
        Write(
            RunEntryKind.RunBegan, ("host", Environment.MachineName), ("user", Environment.UserName), ("process", process.Id), ("plan", _options.Plan.Name),
            ("fingerprint", _options.Plan.Fingerprint), ("units", _options.Plan.Units.Count), ("speed", _options.Clock.Speed), ("attended", _options.Attended),
            ("whatIf", _options.WhatIf));
        _begun = true;
    }

    private void TellJump()
    {
        if (_time.Jump() is { } jump)
        {
            Write(RunEntryKind.Note, ("text", "The clock of this machine was set while the run went on. Windows are held against both times."), ("seconds", Math.Round(jump.TotalSeconds)));
        }
    }

    private void End()
    {
        _ended = true;
        if (_options.Stop.Reason is { } stop)
        {
            StoppedBecause ??= _waiting.Count > 0 ? stop : null;
            Write(RunEntryKind.StopAsked, ("reason", stop));
        }

        Write(RunEntryKind.RunEnded, ("because", StoppedBecause ?? "the plan is through"), ("notBegun", _waiting.Select(unit => unit.UnitId.ToString()).ToList()));
    }

    // There may be room again for the last entry; where there is not, the unit's result has said so. A run whose last unit has no end written has
    // none itself: whoever reads it sees that the unit is to be asked.
    private void EndIfWritable(bool unitHasEnd)
    {
        _ended = true;
        try
        {
            if (unitHasEnd)
            {
                End();
            }
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.JournalNotWritable)
        {
            _ended = true;
        }
    }

    private void Write(RunEntryKind kind, params (string Name, object? Value)[] facts) =>
        _options.Record.Write(new RunEntry(kind, _options.Clock.UtcNow, string.Empty, [.. facts.Select(fact => new KeyValuePair<string, object?>(fact.Name, fact.Value))]));
}
