using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>Takes one planned unit from its gates to its end.</summary>
internal sealed class UnitRefresh
{
    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly UnitRecord _record;
    private readonly Gates _gates;
    private readonly StageLog _log;
    private readonly DateTime _startUtc;
    private IUnitLink? _link;
    private Recovery? _recovery;
    private Controller? _seen;
    private IReadOnlyList<string> _notBack = [];
    private bool _begun;

    /// <summary>Prepares a unit.</summary>
    public UnitRefresh(RunOptions options, PlannedUnit unit)
    {
        _options = options;
        _unit = unit;
        _record = new UnitRecord(options, unit);
        _gates = new Gates(options, unit, _record);
        _log = new StageLog(options.Clock, _record, Tell);
        _startUtc = options.Clock.UtcNow;
    }

    /// <summary>True where the record could not be kept: nothing more may be begun.</summary>
    public bool RecordIsLost => _record.Lost is not null;

    /// <summary>Runs the unit.</summary>
    /// <exception cref="PoeOpsException">The record cannot be written before the unit has begun.</exception>
    public UnitResult Run()
    {
        Tell(Stage.Gate, null, "gates");
        SwitchLock? held = null;
        try
        {
            GateRefusal? refusal = _gates.BeforeLink() ?? Hold(ref held) ?? OpenLink();
            return refusal is null ? Refresh() : Pass(refusal);
        }
        finally
        {
            _link?.Dispose();
            held?.Dispose();
        }
    }

    private GateRefusal? Hold(ref SwitchLock? held)
    {
        if (_options.WhatIf)
        {
            return SwitchLock.Check(_options.LockFolder, _unit.Switch) is { } problem ? new GateRefusal(StageOutcome.Refused, problem.Id, problem.Sentence) : null;
        }

        try
        {
            held = SwitchLock.Take(_options.LockFolder, _unit.Switch, _options.Clock);
            if (held.TakenOverFrom is { } gone)
            {
                _record.Write(RunEntryKind.Note, ("text", $"The lock of the switch was taken over from {gone}, which is gone."));
            }

            return null;
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.SwitchHeld)
        {
            return new GateRefusal(StageOutcome.Refused, exception.Problem.Id, exception.Problem.Sentence);
        }
    }

    private GateRefusal? OpenLink()
    {
        try
        {
            _link = _options.Open(_unit);
            return _gates.OnLink(_link);
        }
        catch (PoeOpsException exception) when (exception.Problem.Id != ProblemId.JournalNotWritable)
        {
            return new GateRefusal(StageOutcome.Refused, exception.Problem.Id, exception.Problem.Sentence);
        }
    }

    private UnitResult Refresh()
    {
        _seen = _gates.Fresh;
        if (!_options.Approve(new GateReport(_unit, _gates.Fresh!)) || _options.WhatIf)
        {
            return Pass(new GateRefusal(StageOutcome.Skipped, ProblemId.NotConfirmed, _options.WhatIf ? "Every gate is open; nothing was done." : "The question before it was answered with no."));
        }

        if (_options.Stop.Reason is { } stop)
        {
            return Pass(new GateRefusal(StageOutcome.Skipped, ProblemId.NotConfirmed, $"It was not begun because {stop}."));
        }

        using TftpServer? server = Serve(out GateRefusal? cannot);
        if (server is null)
        {
            return Pass(cannot!);
        }

        _record.Write(
            RunEntryKind.Begin, ("from", _unit.FromFirmware), ("to", _unit.ToFirmware), ("image", _unit.ImageFile), ("sha256", _unit.ImageSha256),
            ("server", $"{_options.Serving.Host}:{server.Endpoint!.Port}"), ("loads", _gates.Fresh!.PoweredPorts), ("lifeSafety", _gates.Fresh.LifeSafetyLoads),
            ("transcript", _link!.TranscriptPath));
        _begun = true;
        return Begun(server);
    }

    // From here on the unit has begun: whatever happens, its end is written.
    private UnitResult Begun(TftpServer server)
    {
        GateRefusal? end = new(StageOutcome.Uncertain, ProblemId.OutcomeUncertain, "The run broke off while the unit was at work. Look at it by hand before anything is sent to it again.");
        UnitResult? result = null;
        try
        {
            end = Work(server);
        }
        finally
        {
            result = Finish(end);
        }

        return result;
    }

    private GateRefusal? Work(TftpServer server)
    {
        WatchEnd left = Watch(server);
        if (left.Kind == LinkEventKind.Busy)
        {
            return new GateRefusal(StageOutcome.Refused, ProblemId.UnitBusy, left.Text);
        }

        TimeSpan most = VerifyTime(left, _log.Current);
        _log.Begin(Stage.Verify, left.Text);
        var verification = new Verification(_options, _unit, _link!, left);
        GateRefusal? refusal = verification.Run(most);
        _seen = verification.Seen ?? _seen;
        if (refusal is not null)
        {
            return refusal;
        }

        _log.Begin(Stage.Recover, "waiting for the loads");
        _recovery = new Recovery(_options, _unit, _link!, _gates.Fresh!, _record);
        _notBack = _recovery.Run((percent, text) => _log.Progress(percent, text));
        _seen = _recovery.After ?? _seen;
        return Outcome(left);
    }

    private WatchEnd Watch(TftpServer server)
    {
        _log.Begin(Stage.Transfer, "the unit fetches its image");
        var watch = new StageWatch(_options, _unit, _link!, _log);
        try
        {
            _link!.Start(new RefreshOrder(_unit.Unit, "tftp", _options.Serving.Host, server.Endpoint!.Port, _unit.ImageFile));
            return watch.Follow();
        }
        catch (PoeOpsException exception)
        {
            // A command that was not sent at all leaves the unit as it was; any other trouble leaves it unknown.
            bool unsent = exception.Problem.Id is ProblemId.CommandRefused or ProblemId.ValueNotSafe;
            return new WatchEnd(unsent ? LinkEventKind.Failed : LinkEventKind.Lost, exception.Problem.Id, exception.Problem.Sentence);
        }
        finally
        {
            foreach (TftpTransfer transfer in server.Transfers)
            {
                _record.Write(
                    RunEntryKind.Served, ("client", transfer.Client), ("file", transfer.File), ("bytes", transfer.Bytes), ("blocks", transfer.Blocks),
                    ("retransmissions", transfer.Retransmissions), ("complete", transfer.Complete), ("outcome", transfer.Outcome));
            }
        }
    }

    // Where nobody said the end, the unit may still have the rest of its stages before it; otherwise the time of Verify is enough.
    private TimeSpan VerifyTime(WatchEnd left, Stage at)
    {
        double seconds = _unit.StageTimes.Of("Verify")?.WorstSeconds ?? 60;
        bool open = left.IsUncertain || (left.Kind == LinkEventKind.PromptBack && at > Stage.Transfer);
        for (Stage stage = at; open && stage <= Stage.Reset; stage++)
        {
            seconds += _link!.Limits(stage).Deadline.TotalSeconds;
        }

        return TimeSpan.FromSeconds(seconds);
    }

    private GateRefusal Outcome(WatchEnd left)
    {
        string late = left.Id is not null ? $" {left.Text} It was asked afterwards and had come through." : string.Empty;
        if (_notBack.Count == 0)
        {
            return new GateRefusal(StageOutcome.Done, ProblemId.NothingToDo, $"It runs {_seen!.Firmware}, and everything is back.{late}");
        }

        ProblemId id = _recovery!.LoadsBack < _gates.Fresh!.PoweredPorts ? ProblemId.LoadsNotBack : ProblemId.SettingsDiffer;
        return new GateRefusal(StageOutcome.Degraded, id, $"It runs {_seen!.Firmware}, but not everything is back: {string.Join("; ", _notBack)}.{late}");
    }

    private TftpServer? Serve(out GateRefusal? cannot)
    {
        TftpServer server = new(new TftpServerOptions { Bind = _options.Serving.Bind, Port = _options.Serving.Port });
        try
        {
            server.Start();
            _ = server.Serve(_unit.ImageFile, Path.Combine(_options.ImageFolder, _unit.ImageFile), _options.Serving.Only(_unit));
            cannot = null;
            return server;
        }
        catch (PoeOpsException exception)
        {
            server.Dispose();
            cannot = new GateRefusal(StageOutcome.Refused, exception.Problem.Id, exception.Problem.Sentence);
            return null;
        }
    }

    private UnitResult Pass(GateRefusal refusal)
    {
        _record.Write(RunEntryKind.Passed, ("outcome", refusal.Outcome.ToString()), ("problem", refusal.Id.ToString()), ("reason", refusal.Reason));
        return Result(refusal);
    }

    private UnitResult Finish(GateRefusal? end)
    {
        _log.End();
        UnitResult result = Result(end!);
        _record.Write(
            RunEntryKind.End, ("outcome", result.Outcome.ToString()), ("problem", result.ProblemId?.ToString()), ("reason", result.Reason), ("firmware", result.FirmwareNow),
            ("loads", result.Loads), ("loadsBack", result.LoadsBack), ("darkSeconds", result.DarkSeconds), ("notBack", result.NotBack));
        return _record.Lost is { } lost ? result with { Reason = $"{result.Reason} From some point on the journal could not be written: {lost.Sentence}" } : result;
    }

    private UnitResult Result(GateRefusal end)
    {
        bool dark = _begun && _log.DarkSince is not null && _recovery?.PoweredAt is not null;
        return new UnitResult
        {
            Order = _unit.Order,
            Site = _unit.Site,
            Switch = _unit.Switch,
            Unit = _unit.Unit,
            Outcome = end.Outcome,
            Reason = end.Reason,
            ProblemId = end.Outcome == StageOutcome.Done ? null : end.Id,
            FromFirmware = _unit.FromFirmware,
            ToFirmware = _unit.ToFirmware,
            FirmwareNow = (_seen ?? _gates.Fresh)?.Firmware,
            StartUtc = _startUtc,
            EndUtc = _options.Clock.UtcNow,
            DarkSeconds = dark ? Math.Round((_recovery!.PoweredAt!.Value - _log.DarkSince!.Value).TotalSeconds, 1) : null,
            Loads = _gates.Fresh?.PoweredPorts ?? _unit.Loads,
            LoadsBack = _recovery?.LoadsBack ?? (_begun ? 0 : _gates.Fresh?.PoweredPorts ?? 0),
            LifeSafetyLoads = _gates.Fresh?.LifeSafetyLoads ?? _unit.LifeSafetyLoads,
            NotBack = _notBack,
            JournalPath = _options.JournalPath,
            TranscriptPath = _link?.TranscriptPath,
            StageSeconds = _log.Seconds,
        };
    }

    private void Tell(Stage stage, int? percent, string text) =>
        _options.Watcher(new RunProgress(_unit.Order, _options.Plan.Units.Count, _unit.UnitId.ToString(), stage, percent, text));
}
