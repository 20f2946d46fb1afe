using System.Globalization;
using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Finds out what became of a unit whose run broke off, or whose end nobody knew. It is read over the line for as long as it may still be at work, and
/// no image is sent to it. Target version and healthy: done, once its loads and settings are back. Old version and healthy: failed, and so still to do.
/// Anything else: uncertain.
/// </summary>
internal sealed class LateEnd
{
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(10);

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly UnitPast _past;
    private readonly UnitRecord _record;
    private readonly StageLog _log;
    private IUnitLink? _link;
    private Controller? _seen;
    private Controller? _before;
    private IReadOnlyList<string> _notBack = [];

    /// <summary>Prepares to ask.</summary>
    public LateEnd(RunOptions options, PlannedUnit unit, UnitPast past)
    {
        _options = options;
        _unit = unit;
        _past = past;
        _record = new UnitRecord(options, unit);
        _log = new StageLog(options.Clock, _record, Tell);
    }

    private string How => _past.Outcome switch
    {
        null => $"The run had broken off in {_past.Stage}.",
        StageOutcome.Detached => $"The run had let go of it in {_past.Stage}.",
        { } outcome => $"It had ended {outcome}.",
    };

    // The run's clock went on while nobody looked; one that was set back in between counts for nothing.
    private TimeSpan Gone => _options.Clock.UtcNow > _past.LastUtc ? _options.Clock.UtcNow - _past.LastUtc : TimeSpan.Zero;

    /// <summary>Asks the unit and writes down its end.</summary>
    /// <exception cref="PoeOpsException">The record or the switch's lock cannot be written.</exception>
    public UnitResult Run()
    {
        Tell(Stage.Gate, null, "asking what became of it");
        _record.Write(RunEntryKind.Note, ("text", $"{How} The unit is asked what became of it."));
        RunLock? held = null;
        GateRefusal end;
        try
        {
            held = Hold();
            _link = Open();
            end = Ask();
        }
        catch (PoeOpsException exception) when (exception.Problem.Id != ProblemId.JournalNotWritable)
        {
            end = Uncertain(exception.Problem);
        }
        finally
        {
            _record.LetGo(_link, held);
        }

        return Finish(end);
    }

    private RunLock? Hold()
    {
        if (_options.WhatIf)
        {
            return SwitchLock.Check(_options, _unit) is { } problem ? throw new PoeOpsException(problem) : null;
        }

        RunLock held = SwitchLock.Take(_options, _unit);
        SwitchLock.TellTakeOver(_options, _unit, _record, held);
        return held;
    }

    // A console may be out of reach while the unit is at work; what somebody must mend first is told at once.
    private IUnitLink Open()
    {
        TimeSpan most = _options.WhatIf ? TimeSpan.Zero : Left(TimeSpan.FromSeconds(_unit.WorstSeconds));
        Deadline deadline = _options.Clock.DeadlineIn(most);
        while (true)
        {
            try
            {
                return _options.Open(_unit);
            }
            catch (PoeOpsException exception) when (!deadline.HasPassed && exception.Problem.Id is ProblemId.ConnectFailed or ProblemId.SessionsFull or ProblemId.SessionEnded or ProblemId.LinkClosed or ProblemId.LinkSilent or ProblemId.LinkBlocked or ProblemId.PromptNotSeen)
            {
                _ = _options.Clock.Wait(Pause, CancellationToken.None);
            }
        }
    }

    private GateRefusal Ask()
    {
        // Of a device that nobody listened to, an end is as unknown as where only the prompt came back.
        var left = new WatchEnd(LinkEventKind.PromptBack, null, How);
        var verification = new Verification(_options, _unit, _link!, left);
        TimeSpan most = verification.Patience(_past.Outcome is null or StageOutcome.Detached ? _past.Stage : Stage.Verify);
        _log.Begin(Stage.Verify, How);
        GateRefusal? end = verification.Run(_options.WhatIf ? TimeSpan.Zero : Left(most));
        _seen = verification.Seen;
        if (_seen is not null)
        {
            _before = PortSnapshot.Before(_past.Ports, _seen);
        }

        return _options.WhatIf ? LookedAt(end) : end ?? Recover();
    }

    private GateRefusal LookedAt(GateRefusal? end) => end is { Outcome: StageOutcome.Uncertain }
        ? end
        : new GateRefusal(StageOutcome.Skipped, ProblemId.NotConfirmed, end is null
            ? $"{How} It runs {_seen!.Firmware} now; the run that goes on looks whether everything is back."
            : $"{end.Reason} The run that goes on takes it up again.");

    private GateRefusal Recover()
    {
        _log.Begin(Stage.Recover, "waiting for the loads");
        ProblemId id = ProblemId.LoadsNotBack;
        if (_before is null)
        {
            int loads = _past.Loads ?? _unit.Loads;
            _notBack = _seen!.PoweredPorts >= loads ? [] : [$"{Text(loads - _seen.PoweredPorts)} of {Text(loads)} loads have no power"];
        }
        else
        {
            var recovery = new Recovery(_options, _unit, _link!, _before, _record);
            _notBack = recovery.Run(_log);
            _seen = recovery.After ?? _seen;
            id = recovery.LoadsBack < _before.PoweredPorts ? id : recovery.Trouble?.Id ?? ProblemId.SettingsDiffer;
        }

        string late = $"{How} This was found out late.";
        return _notBack.Count == 0
            ? new GateRefusal(StageOutcome.Done, ProblemId.NothingToDo, $"It runs {_seen!.Firmware}, and everything is back. {late}")
            : new GateRefusal(StageOutcome.Degraded, id, $"It runs {_seen!.Firmware}, but not everything is back: {string.Join("; ", _notBack)}. {late}");
    }

    private GateRefusal Uncertain(Problem problem) =>
        new(StageOutcome.Uncertain, problem.Id, $"{How} It could not be asked: {problem.Sentence} Look at the unit by hand before anything is sent to it again.");

    private TimeSpan Left(TimeSpan most) => most > Gone ? most - Gone : TimeSpan.Zero;

    private UnitResult Finish(GateRefusal end)
    {
        _log.End();
        UnitResult result = end.ResultOf(_unit, _options) with
        {
            FirmwareNow = _seen?.Firmware,
            StartUtc = _past.BeganUtc,
            Loads = _before?.PoweredPorts ?? _past.Loads ?? _unit.Loads,
            LoadsBack = LoadsBack(),
            LifeSafetyLoads = _before?.LifeSafetyLoads ?? _unit.LifeSafetyLoads,
            NotBack = _notBack,
            TranscriptPath = _link?.TranscriptPath,
            StageSeconds = _log.Seconds,
            Late = true,
        };
        _record.Write(
            RunEntryKind.End, ("outcome", result.Outcome.ToString()), ("problem", result.ProblemId?.ToString()), ("reason", result.Reason), ("firmware", result.FirmwareNow),
            ("loads", result.Loads), ("loadsBack", result.LoadsBack), ("notBack", result.NotBack), ("order", result.Order), ("late", true));
        return result;
    }

    private int LoadsBack() => _before is null ? _seen?.PoweredPorts ?? 0 : PowerBack.Count(_before, _seen);

    private void Tell(Stage stage, int? percent, string text) =>
        _options.Watcher(new RunProgress(_unit.Order, _options.Plan.Units.Count, _unit.UnitId.ToString(), stage, percent, text) { Planned = _unit, InStage = _log.InStage, StageLeft = _log.Left });

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
