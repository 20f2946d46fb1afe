using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Asks the unit what it runs, over a new session where the old one died. A success message is never proof, nor is a failure. Target version and
/// healthy: verified. Old version, healthy and not at work: failed. Anything else: uncertain.
/// </summary>
internal sealed class Verification
{
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(5);

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly IUnitLink _link;
    private readonly WatchEnd _end;
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
    }

    /// <summary>The unit as it was last seen; null where it was not.</summary>
    public Controller? Seen { get; private set; }

    /// <summary>Asks until there is an answer or the time is over.</summary>
    /// <param name="most">How long to go on asking.</param>
    /// <returns>Null where it runs the target; else the outcome with its reason.</returns>
    public GateRefusal? Run(TimeSpan most)
    {
        Deadline deadline = _options.Clock.DeadlineIn(most);
        bool alive = !_end.IsUncertain;
        while (true)
        {
            alive = Ask(alive);
            if (alive && Seen is { } seen && Decide(seen, deadline.HasPassed, out GateRefusal? verdict))
            {
                return verdict;
            }

            if (deadline.HasPassed)
            {
                return Uncertain();
            }

            _ = _options.Clock.Wait(Pause, CancellationToken.None);
        }
    }

    // True where the session lives and the unit was read.
    private bool Ask(bool alive)
    {
        try
        {
            if (!alive)
            {
                _link.Reopen();
            }

            SwitchReading reading = _options.Describe(_unit, _link.Read());
            Seen = reading.Controllers.FirstOrDefault(one => string.Equals(one.Unit, _unit.Unit, StringComparison.OrdinalIgnoreCase)) ?? Seen;
            return true;
        }
        catch (PoeOpsException exception)
        {
            _lastTrouble = exception.Problem;
            return false;
        }
    }

    private bool Decide(Controller seen, bool last, out GateRefusal? verdict)
    {
        verdict = null;
        ControllerVersion? now = _options.ReadVersion(_unit, seen.Firmware);
        bool healthy = seen.Condition == ControllerCondition.Healthy;
        if (healthy && now is not null && now == _options.ReadVersion(_unit, _unit.ToFirmware))
        {
            return true;
        }

        bool old = healthy && now is not null && now == _options.ReadVersion(_unit, _unit.FromFirmware);
        if (old && (last || _end.Kind == LinkEventKind.Failed) && !IsAtWork())
        {
            ProblemId id = _end.Id ?? ProblemId.VersionNotReached;
            verdict = new GateRefusal(StageOutcome.Failed, id, $"{_end.Text} It still runs {seen.Firmware} and is healthy.");
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

    private GateRefusal Uncertain()
    {
        string seen = Seen is { } last
            ? $"It was last seen to run '{last.Firmware ?? "nothing readable"}' and to be {last.Condition} ('{last.ConditionText ?? "no word"}')."
            : "It was not seen since.";
        string trouble = _lastTrouble is null ? string.Empty : $" The last attempt to ask it: {_lastTrouble.Sentence}";
        ProblemId id = Seen is { Condition: ControllerCondition.Healthy } ? ProblemId.VersionNotReached : _end.Id ?? ProblemId.OutcomeUncertain;
        return new GateRefusal(StageOutcome.Uncertain, id, $"{_end.Text} {seen}{trouble} Look at the unit by hand before anything is sent to it again.");
    }
}
