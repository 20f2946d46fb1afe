using System.Globalization;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Everything that must hold before a unit starts. Before the link: Stop, ClearText, Window, Coverage, Disk, Image, Server where it is not ours. At the link: Busy, Reading, Healthy, Budget, LifeSafety, Window, Pilot. After
/// the question, which may have taken its time: Stop, Window, the reading where it has grown old; and Image when the server has the file in hand.
/// </summary>
internal sealed class Gates
{
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan StaleAfter = TimeSpan.FromSeconds(60);

    // A night of journal and transcripts of one unit takes a few hundred kilobytes.
    private const long LeastFreeBytes = 50_000_000;

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly RunTime _time;
    private readonly ReadingGate _reading;
    private readonly UnitResult? _cover;
    private readonly PilotWatch? _pilots;
    private TimeSpan _readAt;

    /// <summary>Prepares the gates of a unit.</summary>
    /// <param name="options">The run's.</param>
    /// <param name="unit">The unit.</param>
    /// <param name="time">What time it is in the run.</param>
    /// <param name="record">Where they are written down.</param>
    /// <param name="cover">A unit that covers for this one and is not back; null where there is none.</param>
    /// <param name="pilots">What became of pilots; null where nobody asks.</param>
    public Gates(RunOptions options, PlannedUnit unit, RunTime time, UnitRecord record, UnitResult? cover, PilotWatch? pilots)
    {
        _pilots = pilots;
        _cover = cover;
        _time = time;
        _options = options;
        _unit = unit;
        Book = new GateBook(record, options.WhatIf, options.SkipGates);
        _reading = new ReadingGate(options, unit, Book);
    }

    /// <summary>Which gates are open.</summary>
    public GateBook Book { get; }

    /// <summary>What was read of the unit, once it was.</summary>
    public Controller? Fresh { get; private set; }

    /// <summary>The gates before a device is asked.</summary>
    /// <returns>What does not hold, or null.</returns>
    public GateRefusal? BeforeLink() => Stop() ?? ClearText() ?? Window() ?? Coverage() ?? Disk() ?? Image() ?? Server();

    /// <summary>Looks whether the unit's switch may be reached; what is written down of it is written once.</summary>
    /// <returns>What does not hold, or null; never null where it may not be reached, also under WhatIf.</returns>
    public GateRefusal? BeforeOpen() => _options.LinkRefusal(_unit) is { } problem ? Close(problem, last: true) : null;

    /// <summary>The gates that ask the device.</summary>
    /// <param name="link">A way to its switch.</param>
    /// <returns>What does not hold, or null.</returns>
    public GateRefusal? AtLink(IUnitLink link)
    {
        string? busy = ReadWhenIdle(link, out SwitchReading reading);
        GateRefusal? refusal = busy is null ? Book.Pass("Busy") : Book.Close("Busy", StageOutcome.Refused, ProblemId.UnitBusy, $"A refresh is under way on the switch: {busy}.");
        return refusal ?? _reading.Check(reading) ?? Healthy() ?? Budget() ?? LifeSafety() ?? Window() ?? Pilot();
    }

    /// <summary>The gates that may have closed while the question was being answered.</summary>
    /// <param name="link">A way to its switch.</param>
    /// <returns>What does not hold, or null.</returns>
    public GateRefusal? AfterQuestion(IUnitLink link)
    {
        GateRefusal? closed = Stop() ?? Window();
        if (closed is not null || _options.Clock.Elapsed - _readAt <= StaleAfter)
        {
            return closed;
        }

        int asked = Fresh!.LifeSafetyLoads;
        link.Reopen();
        closed = AtLink(link);
        return closed is null && Fresh!.LifeSafetyLoads > asked
            ? Book.Close("LifeSafety", StageOutcome.Refused, ProblemId.LifeSafetyNotAccepted, $"{PoeOps.Outages.LifeSafety.Caution(Fresh.LifeSafetyLoads)} There were {Text(asked)} when the question was asked.")
            : closed;
    }

    /// <summary>The image is the approved one, whole.</summary>
    public GateRefusal? Image()
    {
        ImageVerdict verdict = ImageCheck.Check(_options.ImageFolder, _unit.Image);
        return verdict.Problem is { } problem ? Book.Close("Image", StageOutcome.Refused, problem.Id, problem.Sentence) : Book.Pass("Image", ("sha256", verdict.Sha256));
    }

    // What the units would be given, not what lies in our folder.
    private GateRefusal? Server() => _options.Serving.External is not { } server ? null
        : server.Check(_unit.Image, CancellationToken.None) is { } problem ? Book.Close("Server", StageOutcome.Refused, problem.Id, problem.Sentence)
        : Book.Pass("Server", ("server", server.Endpoint.ToString()), ("sha256", _unit.ImageSha256));

    private GateRefusal? Stop() => _options.Stop.Reason is { } stop
        ? Book.Close("Stop", StageOutcome.Skipped, ProblemId.NotConfirmed, $"It was not begun because {stop}.")
        : Book.Pass("Stop");

    // Told only where it is closed: of a link that may be used in clear, the beginning of the run says so.
    private GateRefusal? ClearText() => _options.LinkRefusal(_unit) is { } problem ? Close(problem, last: false) : null;

    private GateRefusal? Close(Problem problem, bool last) => Book.Close("ClearText", StageOutcome.Refused, problem.Id, problem.Sentence, last);

    private GateRefusal? Coverage() => _cover is { } cover
        ? Book.Close("Coverage", StageOutcome.Refused, ProblemId.CoverageNotBack, $"{cover.UnitId} covers for it (group '{_unit.CoverageGroup}') and ended {cover.Outcome}: {cover.Reason}")
        : Book.Pass("Coverage");

    // The last, so that what is wrong with the unit itself is told first; and told only where it is closed: most units have no pilot, or one that is well.
    private GateRefusal? Pilot() => Book.Verdict is null && _pilots?.Trouble(_unit, _time.Earliest) is { } trouble ? Book.Close("Pilot", StageOutcome.Refused, ProblemId.PilotNotWell, trouble) : null;

    private GateRefusal? Disk()
    {
        long? free = _options.FreeBytes();
        return free < LeastFreeBytes
            ? Book.Close("Disk", StageOutcome.Refused, ProblemId.DiskTooFull, FormattableString.Invariant($"{free / 1_000_000} MB are left on disk for journal and transcripts, and {LeastFreeBytes / 1_000_000} are wanted."))
            : Book.Pass("Disk", ("freeMegabytes", free / 1_000_000));
    }

    // Simulated with what was just read: loads may have come since the plan was made.
    private GateRefusal? Budget()
    {
        Outage outage = OutageMeasure.MeasureRestart(Fresh!).Outage;
        return outage.RefusedLoads > (_unit.RefusedLoadsAccepted ?? 0)
            ? Book.Close("Budget", StageOutcome.Refused, ProblemId.LoadsRefused, $"{RestartCaution.Sentence(outage)} {(_unit.RefusedLoadsAccepted is { } accepted ? $"The plan accepts {Text(accepted)}." : "Nobody accepted that in the plan.")}")
            : Book.Pass("Budget", ("refusedLoads", outage.RefusedLoads), ("headroomWatts", outage.HeadroomWatts));
    }

    private GateRefusal? Window()
    {
        DateTime now = _time.Latest;
        DateTime early = _time.Earliest;
        if (early < _unit.WindowOpensUtc)
        {
            // Looking ahead in the afternoon is what WhatIf is for; a run that comes too early was refused.
            return Book.Close("Window", _options.WhatIf ? StageOutcome.Skipped : StageOutcome.Refused, ProblemId.WindowClosed, $"Its window opens {Text(_unit.WindowOpensUtc)}, and it is {Text(early)}.");
        }

        double need = WindowRoom.NeedSeconds(_unit);
        if (WindowRoom.Fits(_unit, now))
        {
            return Book.Pass("Window");
        }

        double left = Math.Floor(Math.Max(0, (_unit.WindowClosesUtc - now).TotalMinutes));
        return Book.Close(
            "Window", StageOutcome.Refused, ProblemId.WindowClosed,
            $"Its window closes {Text(_unit.WindowClosesUtc)}: {Text(left)} min are left, and the worst case with recovery and reserve needs {Text(Math.Ceiling(need / 60))}.");
    }

    // The reading counts from after the last word of being busy: who was at work may have been at work on this unit.
    private string? ReadWhenIdle(IUnitLink link, out SwitchReading reading)
    {
        Deadline deadline = _options.Clock.DeadlineIn(_options.BusyWait);
        while (true)
        {
            string? said = link.AskBusy();
            reading = _options.Describe(_unit, link.Read());
            _readAt = _options.Clock.Elapsed;
            Fresh = _reading.Find(reading);
            string? busy = said is not null ? $"it says '{said}'" : Fresh is { Condition: ControllerCondition.Refreshing } ? $"it says of the unit '{Fresh.ConditionText ?? "refreshing"}'" : null;
            if (busy is null || _options.WhatIf || deadline.HasPassed || !_options.Clock.Wait(Pause, CancellationToken.None))
            {
                return busy;
            }
        }
    }

    private GateRefusal? Healthy() => Fresh!.Condition == ControllerCondition.Healthy
        ? Book.Pass("Healthy")
        : Book.Close("Healthy", StageOutcome.Refused, ProblemId.ControllerNotHealthy, $"Its controller is {Fresh.Condition}; the device says '{Fresh.ConditionText ?? "nothing"}'.");

    private GateRefusal? LifeSafety()
    {
        int now = Fresh!.LifeSafetyLoads;
        bool accepted = _unit.LifeSafetyAcceptedBy is not null && now <= _unit.LifeSafetyLoads;
        if (now == 0 || accepted || _options.Attended)
        {
            return Book.Pass("LifeSafety", ("loads", now), ("acceptedBy", _unit.LifeSafetyAcceptedBy));
        }

        string planned = _unit.LifeSafetyAcceptedBy is null ? "nobody accepted them in the plan" : $"the plan accepts {Text(_unit.LifeSafetyLoads)}";
        return Book.Close(
            "LifeSafety", StageOutcome.Refused, ProblemId.LifeSafetyNotAccepted,
            $"{PoeOps.Outages.LifeSafety.Caution(now)} This run asks nobody, and {planned}: {string.Join(", ", new GateReport(_unit, Fresh, []).LifeSafetyLoads)}.");
    }

    private static string Text(DateTime utc) => utc.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) + " UTC";

    private static string Text(double number) => number.ToString("0", CultureInfo.InvariantCulture);
}
