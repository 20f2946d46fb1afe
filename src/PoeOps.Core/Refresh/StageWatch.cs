using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Follows a unit from its command to where the device has no more to say. A stage may take the longer of the dialect's deadline and the plan's
/// worst case; its progress may stand still for the dialect's stall time. What it says at the end is proof of nothing: Verify asks.
/// </summary>
internal sealed class StageWatch
{
    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly IUnitLink _link;
    private readonly StageLog _log;
    private Deadline _end;
    private Deadline _stall;

    /// <summary>Prepares to follow.</summary>
    public StageWatch(RunOptions options, PlannedUnit unit, IUnitLink link, StageLog log)
    {
        _options = options;
        _unit = unit;
        _link = link;
        _log = log;
        _end = options.Clock.DeadlineIn(StageLimit(Stage.Transfer));
        _stall = options.Clock.DeadlineIn(link.Limits(Stage.Transfer).Stall);
    }

    /// <summary>Follows the unit.</summary>
    /// <returns>How the device left off.</returns>
    public WatchEnd Follow()
    {
        while (true)
        {
            LinkEvent said = _link.Next(_end.MachineTimeLeft < _stall.MachineTimeLeft ? _end : _stall);
            if (Take(said) is { } end)
            {
                return end;
            }
        }
    }

    private WatchEnd? Take(LinkEvent said)
    {
        switch (said.Kind)
        {
            case LinkEventKind.StageBegan when said.Stage is { } stage:
                Enter(stage, said.Text);
                return null;
            case LinkEventKind.Progress when said.Stage is { } stage:
                TakeProgress(stage, said);
                return null;
            case LinkEventKind.StageEnded when said.Stage is { } stage:
                Enter(stage, said.Text);
                Restart(Next(stage));
                return null;
            case LinkEventKind.Succeeded:
                return new WatchEnd(said.Kind, null, $"The device said '{said.Text}'.");
            case LinkEventKind.Failed:
                return new WatchEnd(said.Kind, ProblemId.RefreshFailed, $"The device said '{said.Text}', which means: {said.Because}.");
            case LinkEventKind.Busy:
                return new WatchEnd(said.Kind, ProblemId.UnitBusy, $"The device said '{said.Text}'.");
            case LinkEventKind.PromptBack:
                return new WatchEnd(said.Kind, null, "The prompt came back.");
            case LinkEventKind.Lost:
                return new WatchEnd(said.Kind, ProblemId.LinkClosed, $"The connection was lost in {_log.Current}.");
            case LinkEventKind.Silence:
                return Silent();
            default:
                return null;
        }
    }

    private WatchEnd? Silent()
    {
        if (_end.HasPassed)
        {
            return new WatchEnd(LinkEventKind.Silence, ProblemId.StageTimedOut, $"{_log.Current} did not end within {Seconds(_end.Span)} s.");
        }

        if (!_stall.HasPassed)
        {
            return null;
        }

        string at = _log.Percent is { } percent ? $" at {percent.ToString(CultureInfo.InvariantCulture)} %" : string.Empty;
        return new WatchEnd(LinkEventKind.Silence, ProblemId.StageStalled, $"{_log.Current} stood still{at} for {Seconds(_stall.Span)} s.");
    }

    private void TakeProgress(Stage stage, LinkEvent said)
    {
        Enter(stage, said.Text);
        if (stage == _log.Current && _log.Progress(said.Percent ?? 0, said.Text))
        {
            _stall = _options.Clock.DeadlineIn(_link.Limits(stage).Stall);
        }
    }

    private void Enter(Stage stage, string text)
    {
        if (_log.Begin(stage, text))
        {
            Restart(stage);
        }
    }

    private void Restart(Stage stage)
    {
        _end = _options.Clock.DeadlineIn(StageLimit(stage));
        _stall = _options.Clock.DeadlineIn(_link.Limits(stage).Stall);
    }

    /// <summary>How long a stage may take.</summary>
    public TimeSpan StageLimit(Stage stage)
    {
        TimeSpan dialect = _link.Limits(stage).Deadline;
        StageTime? planned = _unit.StageTimes.Of(stage.ToString());
        TimeSpan worst = TimeSpan.FromSeconds(planned?.WorstSeconds ?? 0);
        return dialect > worst ? dialect : worst;
    }

    private static Stage Next(Stage stage) => stage < Stage.Reset ? stage + 1 : Stage.Reset;

    private static string Seconds(TimeSpan span) => span.TotalSeconds.ToString("0", CultureInfo.InvariantCulture);
}

/// <summary>How a device left off.</summary>
/// <param name="Kind">What it said last, or that it fell silent or was lost.</param>
/// <param name="Id">The kind of problem, or null.</param>
/// <param name="Text">What was seen, in a sentence.</param>
internal sealed record WatchEnd(LinkEventKind Kind, ProblemId? Id, string Text)
{
    /// <summary>True where nobody can tell what the unit is doing.</summary>
    public bool IsUncertain => Kind is LinkEventKind.Lost or LinkEventKind.Silence;
}
