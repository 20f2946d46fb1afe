using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Asks the unit what it runs, over a new session where the old one died. A success message is never proof, nor is a failure. Target version and
/// healthy: verified. Old version, healthy and not at work: failed. Anything else: uncertain. It decides by what it has just read, never by what it
/// read before.
/// </summary>
internal sealed class Verification
{
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(5);

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly IUnitLink _link;
    private readonly WatchEnd _end;
    private readonly ControllerVersion? _from;
    private readonly ControllerVersion? _to;
    private Problem? _lastTrouble;

    /// <summary>Prepares to ask.</summary>
    /// <param name="options">The run's.</param>
    /// <param name="unit">The planned unit.</param>
    /// <param name="link">A way to its switch, which may have died.</param>
    /// <param name="end">How the device left off.</param>
    public Verification(RunOptions options, PlannedUnit unit, IUnitLink link, WatchEnd end)
    {
        _options = options;
        _unit = unit;
        _link = link;
        _end = end;
        _from = options.ReadVersion(unit, unit.FromFirmware);
        _to = options.ReadVersion(unit, unit.ToFirmware);
    }

    // A connection that was lost says nothing once the unit has been asked over another.
    private ProblemId? EndId => _end.Kind == LinkEventKind.Lost ? null : _end.Id;

    /// <summary>The unit as it was last seen; null where it was not.</summary>
    public Controller? Seen { get; private set; }

    /// <summary>
    /// How long to go on asking. Verify has its worst case. Where the device said that all is done, the stages that it did not name have theirs;
    /// where it said nothing of an end, the unit may still have all of them before it, each with its deadline.
    /// </summary>
    /// <param name="at">The stage that it was last seen in.</param>
    public TimeSpan Patience(Stage at)
    {
        double seconds = _unit.StageTimes.Of(nameof(Stage.Verify))?.WorstSeconds ?? 60;
        bool open = _end.IsUncertain || _end.Kind == LinkEventKind.PromptBack;
        for (Stage stage = open ? at : at + 1; stage <= Stage.Reset && _end.Kind != LinkEventKind.Failed; stage++)
        {
            seconds += open ? StageWatch.Limit(_unit, _link, stage).TotalSeconds : _unit.StageTimes.Of(stage.ToString())?.WorstSeconds ?? 0;
        }

        return TimeSpan.FromSeconds(seconds);
    }

    /// <summary>Asks until there is an answer or the time is over.</summary>
    /// <param name="most">How long to go on asking.</param>
    /// <returns>Null where it runs the target; else the outcome with its reason.</returns>
    public GateRefusal? Run(TimeSpan most)
    {
        Deadline deadline = _options.Clock.DeadlineIn(most);
        bool alive = !_end.IsUncertain;
        while (true)
        {
            bool last = deadline.HasPassed;
            alive = Ask(alive, out Controller? now);
            Seen = now ?? Seen;
            if (now is not null && Decide(now, last, out GateRefusal? verdict))
            {
                return verdict;
            }

            if (last)
            {
                return Uncertain(now);
            }

            _ = _options.Clock.Wait(Asking.PauseAfter(alive ? null : _lastTrouble, Pause), CancellationToken.None);
        }
    }

    // True where the session lives and the switch was read, whether or not it listed the unit.
    private bool Ask(bool alive, out Controller? now)
    {
        now = null;
        try
        {
            if (!alive)
            {
                _link.Reopen();
            }

            SwitchReading reading = _options.Describe(_unit, _link.Read());
            now = reading.Controllers.FirstOrDefault(one => string.Equals(one.Unit, _unit.Unit, StringComparison.OrdinalIgnoreCase));
            return true;
        }
        catch (PoeOpsException exception)
        {
            _lastTrouble = exception.Problem;
            return false;
        }
    }

    private bool Decide(Controller now, bool last, out GateRefusal? verdict)
    {
        verdict = null;
        ControllerVersion? runs = _options.ReadVersion(_unit, now.Firmware);
        bool healthy = now.Condition == ControllerCondition.Healthy && runs is not null;
        if (healthy && runs == _to)
        {
            return true;
        }

        if (healthy && runs == _from && (last || _end.Kind == LinkEventKind.Failed) && !IsAtWork())
        {
            verdict = new GateRefusal(StageOutcome.Failed, EndId ?? ProblemId.VersionNotReached, $"{_end.Text} It still runs {now.Firmware} and is healthy.");
            return true;
        }

        return false;
    }

    private bool IsAtWork()
    {
        try
        {
            return _link.AskBusy() is not null;
        }
        catch (PoeOpsException exception)
        {
            _lastTrouble = exception.Problem;
            return true;
        }
    }

    private GateRefusal Uncertain(Controller? now)
    {
        string seen = Seen is { } last
            ? $"It was last seen to run '{last.Firmware ?? "nothing readable"}' and to be {last.Condition} ('{last.ConditionText ?? "no word"}')."
            : "It was not seen since.";
        string gone = Seen is not null && now is null ? " The last time it was asked, there was no answer about it." : string.Empty;
        string trouble = _lastTrouble is null ? string.Empty : $" The last attempt that failed: {_lastTrouble.Sentence}";
        bool other = now is { Condition: ControllerCondition.Healthy } && _options.ReadVersion(_unit, now.Firmware) is { } runs && runs != _from;
        ProblemId id = other ? ProblemId.VersionNotReached : (now is null ? _end.Id : EndId) ?? ProblemId.OutcomeUncertain;
        return new GateRefusal(StageOutcome.Uncertain, id, $"{_end.Text} {seen}{gone}{trouble} Look at the unit by hand before anything is sent to it again.");
    }
}
