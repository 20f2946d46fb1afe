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
    private readonly UnitTime _time;
    private readonly DateTime _startUtc;
    private readonly UnitResult? _before;
    private IUnitLink? _link;
    private UnitWork? _work;
    private volatile bool _hasBegun;
    private bool _watcherFailed;

    /// <summary>Prepares a unit.</summary>
    /// <param name="options">The run's.</param>
    /// <param name="unit">The unit.</param>
    /// <param name="time">What time it is in the run.</param>
    /// <param name="before">
    /// How the image before this one ended on the same unit in this run, where it did not end well; else the unit of the same switch that failed or whose
    /// state nobody knows; else null.
    /// </param>
    /// <param name="cover">How a unit that covers for this one ended in this run, where it is not back; else null.</param>
    /// <param name="pilots">What became of pilots; null where nobody asks.</param>
    public UnitRefresh(RunOptions options, PlannedUnit unit, RunTime time, UnitResult? before, UnitResult? cover, PilotWatch? pilots = null)
    {
        _time = new UnitTime(options.Clock);
        _options = options with
        {
            Clock = _time,
            Approve = report => _time.Others(() => options.Approve(report)),
            ApprovePutBack = (port, text) => _time.Others(() => options.ApprovePutBack(port, text)),
        };
        _unit = unit;
        _before = before;
        _record = new UnitRecord(_options, unit);
        _gates = new Gates(_options, unit, time, _record, cover, pilots);
        _log = new StageLog(_time, _record, Tell);
        _startUtc = options.Clock.UtcNow;
    }

    /// <summary>The unit.</summary>
    public PlannedUnit Unit => _unit;

    /// <summary>True from the unit's Begin on. May be asked from any thread.</summary>
    public bool HasBegun => _hasBegun;

    /// <summary>The stage that the unit is in. May be asked from any thread.</summary>
    public Stage Stage => _log.Current;

    /// <summary>True where the record could not be kept: nothing more may be begun.</summary>
    public bool RecordIsLost => _record.Lost is not null;

    /// <summary>True where the unit's end is written down.</summary>
    public bool HasEnd => _record.HasEnd;

    /// <summary>Runs the unit.</summary>
    /// <exception cref="PoeOpsException">The record cannot be written before the unit has begun.</exception>
    public UnitResult Run()
    {
        Tell(Stage.Gate, null, "gates");
        RunLock? held = null;
        try
        {
            GateRefusal? refusal = Before() ?? _gates.BeforeLink() ?? Hold(ref held) ?? AtLink(Open);
            refusal = _gates.Book.Verdict ?? refusal;
            return refusal is null ? Ask() : Pass(refusal);
        }
        finally
        {
            _record.LetGo(_link, held);
        }
    }

    // The next image is for a unit that took the one before; what is dark or uncertain after that one is not made worse.
    private GateRefusal? Before()
    {
        if (_before is null)
        {
            return null;
        }

        if (_before.UnitId != _unit.UnitId)
        {
            return _gates.Book.Close(
                "SwitchBefore", StageOutcome.Refused, _before.ProblemId ?? ProblemId.OutcomeUncertain,
                $"{_before.UnitId} ended {_before.Outcome}, and nothing more is begun at its switch.", last: true);
        }

        bool refusedByPerson = _before.Outcome == StageOutcome.Skipped;
        return _gates.Book.Close(
            "ImageBefore", refusedByPerson ? StageOutcome.Skipped : StageOutcome.Refused, _before.ProblemId ?? ProblemId.OutcomeUncertain,
            $"The image before it, {_before.ToFirmware}, ended {_before.Outcome} on this unit.", last: true);
    }

    private GateRefusal? Hold(ref RunLock? held)
    {
        if (_options.WhatIf)
        {
            return SwitchLock.Check(_options, _unit) is { } problem ? _gates.Book.Close("Lock", StageOutcome.Refused, problem.Id, problem.Sentence) : _gates.Book.Pass("Lock");
        }

        try
        {
            held = SwitchLock.Take(_options, _unit);
            SwitchLock.TellTakeOver(_options, _unit, _record, held);
            return _gates.Book.Pass("Lock");
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.SwitchHeld)
        {
            return _gates.Book.Close("Lock", StageOutcome.Refused, exception.Problem.Id, exception.Problem.Sentence);
        }
    }

    private GateRefusal? Open()
    {
        if (_gates.BeforeOpen() is { } closed)
        {
            return closed;
        }

        _link = _options.Open(_unit);
        return _gates.AtLink(_link);
    }

    private GateRefusal? AtLink(Func<GateRefusal?> gates)
    {
        try
        {
            return gates();
        }
        catch (PoeOpsException exception) when (exception.Problem.Id != ProblemId.JournalNotWritable)
        {
            return _gates.Book.Close("Link", StageOutcome.Refused, exception.Problem.Id, exception.Problem.Sentence, last: true);
        }
    }

    private UnitResult Ask()
    {
        bool yes = _options.Approve(new GateReport(_unit, _gates.Fresh!, _gates.Book.Passed));
        if (_options.WhatIf || !yes)
        {
            return Pass(new GateRefusal(StageOutcome.Skipped, ProblemId.NotConfirmed, _options.WhatIf ? "Every gate is open; nothing was done." : "The question before it was answered with no."));
        }

        return AtLink(() => _gates.AfterQuestion(_link!)) is { } refusal ? Pass(refusal) : Offer();
    }

    private UnitResult Offer()
    {
        ImageOffer offer;
        try
        {
            offer = ImageOffer.Open(_options, _unit, _record);
        }
        catch (PoeOpsException exception)
        {
            // The image was whole at its gate; where it is not any more, this is that gate's second look.
            return Pass(_gates.Book.Close("Image", StageOutcome.Refused, exception.Problem.Id, exception.Problem.Sentence, last: true)!);
        }

        using (offer)
        {
            return Begin(offer);
        }
    }

    // From the entry on the unit has begun: whatever happens, its end is written.
    private UnitResult Begin(ImageOffer offer)
    {
        _record.Write(
            RunEntryKind.Begin, ("from", _unit.FromFirmware), ("to", _unit.ToFirmware), ("model", _unit.Model), ("image", _unit.ImageFile), ("bytes", _unit.ImageBytes), ("sha256", _unit.ImageSha256),
            ("server", $"{_options.Serving.Host}:{offer.Port}"), ("needSeconds", WindowRoom.NeedSeconds(_unit)), ("windowCloses", _unit.WindowClosesUtc),
            ("loads", _gates.Fresh!.PoweredPorts), ("lifeSafety", _gates.Fresh.LifeSafetyLoads), ("transcript", _link!.TranscriptPath), ("order", _unit.Order),
            ("ports", PortSnapshot.Write(_gates.Fresh.Ports)));
        _hasBegun = true;
        var end = new GateRefusal(StageOutcome.Uncertain, ProblemId.OutcomeUncertain, "The run broke off while the unit was at work. Look at it by hand before anything is sent to it again.");
        UnitResult? result = null;
        try
        {
            _work = new UnitWork(_options, _unit, _link!, _gates, _log, _record);
            end = _work.Run(offer);
        }
        catch (PoeOpsException exception)
        {
            end = new GateRefusal(StageOutcome.Uncertain, exception.Problem.Id, $"{exception.Problem.Sentence} {end.Reason}");
        }
        finally
        {
            offer.Note();
            result = Finish(end);
        }

        return result;
    }

    private UnitResult Pass(GateRefusal refusal)
    {
        _record.Write(RunEntryKind.Passed, ("outcome", refusal.Outcome.ToString()), ("problem", refusal.Id.ToString()), ("reason", refusal.Reason));
        return Result(refusal);
    }

    private UnitResult Finish(GateRefusal end)
    {
        _log.End();
        UnitResult result = Result(end);
        if (DarkFrom() is { } dark && _work?.BackAt is { } backAt)
        {
            _record.Write(RunEntryKind.LoadsBack, [.. backAt.Select(load => (load.Port, load.At is { } at ? Math.Round((at - dark).TotalSeconds, 1) : (object?)null))]);
        }

        (double own, double waited) = _time.Sum(_link);
        _record.Write(
            RunEntryKind.End, ("outcome", result.Outcome.ToString()), ("problem", result.ProblemId?.ToString()), ("reason", result.Reason), ("firmware", result.FirmwareNow),
            ("loads", result.Loads), ("loadsBack", result.LoadsBack), ("darkSeconds", result.DarkSeconds), ("notBack", result.NotBack),
            ("ownSeconds", own), ("waitedSeconds", waited));
        return _record.Lost is { } lost ? result with { ProblemId = ProblemId.JournalNotWritable, Reason = $"{result.Reason} From some point on the journal could not be written: {lost.Sentence}" } : result;
    }

    private UnitResult Result(GateRefusal end) => end.ResultOf(_unit, _options) with
    {
        FirmwareNow = HasBegun ? _work?.Seen?.Firmware : _gates.Fresh?.Firmware,
        StartUtc = _startUtc,
        DarkSeconds = DarkSeconds(),
        Loads = _gates.Fresh?.PoweredPorts ?? _unit.Loads,
        LoadsBack = HasBegun ? _work?.LoadsBack ?? 0 : _gates.Fresh?.PoweredPorts ?? 0,
        LifeSafetyLoads = _gates.Fresh?.LifeSafetyLoads ?? _unit.LifeSafetyLoads,
        NotBack = _work?.NotBack ?? [],
        TranscriptPath = _link?.TranscriptPath,
        StageSeconds = _log.Seconds,
    };

    // Where not all loads are back they are still in the dark: so far.
    private double? DarkSeconds() => DarkFrom() is { } since ? Math.Round(((_work?.PoweredAt ?? _options.Clock.Elapsed) - since).TotalSeconds, 1) : null;

    private TimeSpan? DarkFrom() => _log.DarkSince ?? (_work?.PoweredAt is null ? null : _log.Since);

    private void Tell(Stage stage, int? percent, string text)
    {
        var progress = new RunProgress(_unit.Order, _options.Plan.Units.Count, _unit.UnitId.ToString(), stage, percent, text) { Planned = _unit, InStage = _log.InStage, StageLeft = _log.Left };
        if (!HasBegun)
        {
            _options.Watcher(progress);
            return;
        }

        if (_watcherFailed)
        {
            return;
        }

#pragma warning disable CA1031 // A unit in progress is watched to its end, whatever becomes of those who look on.
        try
        {
            _options.Watcher(progress);
        }
        catch (Exception exception)
        {
            _watcherFailed = true;
            _record.Note($"Progress is no longer shown: {exception.GetType().Name}: {exception.Message}");
        }
#pragma warning restore CA1031
    }
}
