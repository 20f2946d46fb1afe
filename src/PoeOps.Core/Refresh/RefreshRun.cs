using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// One use of a plan. Pulled: each <see cref="Next"/> takes one planned unit from its gates to its end, so that at most one is in between. Nothing is
/// begun that is not written down before. The first unit that fails or whose state nobody knows ends the run, or its switch's part of it.
/// </summary>
public sealed class RefreshRun
{
    private static readonly TimeSpan SoakPause = TimeSpan.FromSeconds(5);

    private readonly RunOptions _options;
    private readonly List<PlannedUnit> _waiting;
    private readonly Queue<PlannedUnit> _toAsk;
    private readonly Dictionary<UnitId, UnitResult> _notWell = [];
    private readonly Dictionary<string, UnitResult> _leftAlone = new(StringComparer.OrdinalIgnoreCase);
    private readonly PilotWatch _pilots;
    private readonly RunTime _time;
    private readonly LastRecord _record;
    private volatile UnitRefresh? _current;
    private volatile bool _begun;
    private volatile bool _ended;
    private bool _hasBegunUnits;

    /// <summary>Prepares a run; nothing is written or sent yet.</summary>
    public RefreshRun(RunOptions options)
    {
        _record = new LastRecord(options.Record);
        _options = options with { Record = _record };
        _pilots = new PilotWatch(_options);
        _time = new RunTime(options.Clock);
        _waiting = [.. options.Plan.Units.Where(unit => options.Lane is null || unit.Lane == options.Lane).OrderBy(unit => unit.Order)];
        _toAsk = new Queue<PlannedUnit>(_waiting.Where(IsToAsk));
        _waiting.RemoveAll(unit => Past(unit) is { IsAtTarget: true } && !_toAsk.Contains(unit));
    }

    /// <summary>The planned units that were not looked at.</summary>
    public IReadOnlyList<PlannedUnit> Remaining => [.. _waiting];

    /// <summary>How many planned units this run has taken up: asked, or taken to their gates.</summary>
    public int TakenUp { get; private set; }

    /// <summary>The unit that was begun and has not come to its end; null where there is none. May be asked from any thread.</summary>
    public PlannedUnit? InProgress => _current is { HasBegun: true } current ? current.Unit : null;

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
        AwaitSoak();
        StoppedBecause ??= WindowsOver();
        if (_waiting.Count == 0 || _options.Stop.Reason is not null || StoppedBecause is not null)
        {
            End();
            return null;
        }

        TellJump();
        TakenUp++;
        return _toAsk.Count > 0 ? AskLate(_toAsk.Peek()) : Take(_waiting[0]);
    }

    /// <summary>
    /// Lets go of the run because its process is made to end: a unit in progress is not interrupted, its end is written as detached, and nothing more is
    /// written after it. May be called from any thread, and more than once.
    /// </summary>
    /// <param name="because">Why, in a few words.</param>
    /// <exception cref="PoeOpsException">The record cannot be written.</exception>
    public void Detach(string because)
    {
        if (!_begun || _ended)
        {
            return;
        }

        List<RunEntry> last = [];
        UnitRefresh? unit = _current;
        if (unit is { HasBegun: true, HasEnd: false })
        {
            string reason = $"The run was made to let go of it in {unit.Stage} because {because}. It was not interrupted and goes on by itself; -Resume asks what became of it.";
            last.Add(Entry(
                RunEntryKind.End, unit.Unit.UnitId.ToString(), ("outcome", nameof(StageOutcome.Detached)), ("problem", nameof(ProblemId.RunDetached)), ("reason", reason)));
        }

        last.Add(Entry(RunEntryKind.RunEnded, string.Empty, ("because", because), ("notBegun", NotBegun(unit))));
        _record.End(last);
    }

    // Read on another thread as well.
    private List<string> NotBegun(UnitRefresh? current) =>
        [.. _waiting.ToArray().Where(unit => current is not { HasBegun: true } || unit != current.Unit).Select(unit => unit.UnitId.ToString())];

    private UnitPast? Past(PlannedUnit unit) => _options.Past is { } past && past.Units.TryGetValue(unit.Order, out UnitPast? one) ? one : null;

    // After an uncertain end the unit is asked before anything is sent; and where loads were left in the dark, before its next image.
    private bool IsToAsk(PlannedUnit unit) => Past(unit) is { } past
        && (past.IsOpen || (past.Outcome == StageOutcome.Degraded && _options.Plan.Units.Any(next => next.UnitId == unit.UnitId && next.Order > unit.Order && Past(next) is null)));

    // A unit that still runs the old version is not at an end but left over: it is taken up again, through all its gates.
    private UnitResult AskLate(PlannedUnit unit)
    {
        StoppedBecause = $"{unit.UnitId} could not be asked";
        UnitResult result = new LateEnd(_options, unit, Past(unit)!).Run();
        bool isLost = result.Outcome == StageOutcome.Uncertain && !_options.WhatIf;
        StoppedBecause = isLost && !_options.ContinueOnFailure ? $"{result.UnitId} ended {result.Outcome}" : null;
        _ = _toAsk.Dequeue();
        bool isLeft = result.Outcome == StageOutcome.Failed || (_options.WhatIf && result.FirmwareNow is { } now && IsFrom(unit, now));
        if (!isLeft)
        {
            _waiting.Remove(unit);
            Remember(unit, result);
        }

        return result;
    }

    private bool IsFrom(PlannedUnit unit, string firmware) => _options.ReadVersion(unit, firmware) == _options.ReadVersion(unit, unit.FromFirmware);

    private UnitResult Take(PlannedUnit unit)
    {
        _notWell.TryGetValue(unit.UnitId, out UnitResult? before);
        _leftAlone.TryGetValue(unit.Switch, out UnitResult? atSwitch);
        var refresh = new UnitRefresh(_options, unit, _time, before ?? atSwitch, CoverOf(unit), _pilots);
        _current = refresh;
        StoppedBecause = $"{unit.UnitId} broke off";
        UnitResult result;
        try
        {
            result = refresh.Run();
            StoppedBecause = IsFailure(result) && !_options.ContinueOnFailure ? $"{result.UnitId} ended {result.Outcome}" : null;
            _waiting.RemoveAt(0);
        }
        catch (Exception exception)
        {
            // Whatever it was goes on to the caller; where the unit was begun, its end is written.
            StoppedBecause = $"{unit.UnitId} broke off: {Excerpt.Line(exception.Message)}";
            if (refresh.HasBegun)
            {
                _waiting.RemoveAt(0);
            }

            throw;
        }
        finally
        {
            _hasBegunUnits |= refresh.HasBegun;
            _current = null;
        }

        Remember(unit, result);

        if (refresh.RecordIsLost)
        {
            StoppedBecause = "the journal could not be written";
            EndIfWritable(refresh.HasEnd);
        }

        return result;
    }

    // A unit of the same group whose loads are not back, or of which nobody knows whether they are.
    private UnitResult? CoverOf(PlannedUnit unit) => unit.CoverageGroup.Length == 0 ? null : _notWell.Values.FirstOrDefault(result =>
        result.Outcome is StageOutcome.Degraded or StageOutcome.Failed or StageOutcome.Uncertain && result.UnitId != unit.UnitId
        && _options.Plan.Units.Any(other => other.UnitId == result.UnitId && other.Site == unit.Site && string.Equals(other.CoverageGroup, unit.CoverageGroup, StringComparison.OrdinalIgnoreCase)));

    // A run that has worked until its window's end is over, and can be taken up in the next one; a run that comes at a wrong time is told so unit by unit.
    private string? WindowsOver() => _hasBegunUnits && _waiting.Count > 0 && !_waiting.Any(unit => WindowRoom.Fits(unit, _time.Latest))
        ? "no window is open long enough for any unit that is left"
        : null;

    // The order is the plan's, and its times are those of the worst case: what goes faster may come to a fellow before its time.
    private void AwaitSoak()
    {
        bool mayWait = !_options.WhatIf && _toAsk.Count == 0 && !_options.SkipGates.Contains("Pilot", StringComparer.OrdinalIgnoreCase);
        if (!mayWait || _waiting.Count == 0 || _pilots.SoakEnds(_waiting[0]) is not { } until || !WindowRoom.Fits(_waiting[0], until))
        {
            return;
        }

        bool told = false;
        while (_time.Earliest is var now && now < until && _options.Stop.Reason is null && StoppedBecause is null)
        {
            if (!told)
            {
                Write(RunEntryKind.Note, ("text", $"{_waiting[0].UnitId} waits until the soak after its pilot is over."), ("untilUtc", until));
                told = true;
            }

            TimeSpan left = until - now;
            _ = _options.Clock.Wait(left < SoakPause ? left : SoakPause, CancellationToken.None);
        }
    }

    private void Remember(PlannedUnit unit, UnitResult result)
    {
        _pilots.Remember(unit, result);
        bool well = result.Outcome == StageOutcome.Done || result.ProblemId == ProblemId.NothingToDo || _options.WhatIf;
        if (!well)
        {
            _notWell[result.UnitId] = result;
        }

        if (IsFailure(result))
        {
            _leftAlone[result.Switch] = result;
        }
    }

    private static bool IsFailure(UnitResult result) => result.Outcome is StageOutcome.Failed or StageOutcome.Uncertain;

    private void Begin()
    {
        if (_begun)
        {
            return;
        }

        using var process = System.Diagnostics.Process.GetCurrentProcess();
        List<(string Name, object? Value)> facts =
        [
            ("host", Environment.MachineName), ("user", Environment.UserName), ("process", process.Id), ("plan", _options.Plan.Name), ("fingerprint", _options.Plan.Fingerprint),
            ("units", _options.Plan.Units.Count(unit => _options.Lane is null || unit.Lane == _options.Lane)), ("speed", _options.Clock.Speed), ("attended", _options.Attended), ("whatIf", _options.WhatIf),
        ];
        if (_options.Past is { } past)
        {
            facts.Add(("resumes", past.Line));
        }

        facts.AddRange(_options.Settings.Select(setting => (setting.Key, (object?)setting.Value)));
        Write(RunEntryKind.RunBegan, [.. facts]);
        _begun = true;
        foreach (string remark in _options.Remarks)
        {
            Write(RunEntryKind.Note, ("text", remark));
        }
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

        Write(RunEntryKind.RunEnded, ("because", StoppedBecause ?? "the plan is through"), ("notBegun", NotBegun(null)));
    }

    // There may be room again for the last entry; where there is not, the unit's result has said so. A run whose last unit has no end written has
    // none itself: whoever reads it sees that the unit is to be asked.
    private void EndIfWritable(bool unitHasEnd)
    {
        _ended = true;
        if (!unitHasEnd)
        {
            return;
        }

        try
        {
            End();
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.JournalNotWritable)
        {
            _ = exception;
        }
    }

    private void Write(RunEntryKind kind, params (string Name, object? Value)[] facts) =>
        _options.Record.Write(Entry(kind, string.Empty, facts));

    private RunEntry Entry(RunEntryKind kind, string unit, params (string Name, object? Value)[] facts) =>
        new(kind, _options.Clock.UtcNow, unit, [.. facts.Select(fact => new KeyValuePair<string, object?>(fact.Name, fact.Value))]);
}
