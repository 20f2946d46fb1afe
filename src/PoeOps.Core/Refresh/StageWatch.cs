using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Follows a unit from its command to where the device has no more to say. A stage may take the longer of the dialect's deadline and the plan's
/// worst case. A percentage may stand still for the dialect's stall time, and so may a device that says no percentage and nothing else either.
/// Stages that the device does not name are passed over. What it says at the end is proof of nothing: Verify asks.
/// </summary>
internal sealed class StageWatch
{
    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly IUnitLink _link;
    private readonly StageLog _log;
    private Deadline _end;
    private Deadline _stall;
    private bool _atWork;
    private string _lastRead = string.Empty;
    private string _openLine = string.Empty;

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
            if ((Take(said) ?? Overdue()) is { } end)
            {
                return end;
            }
        }
    }

    private WatchEnd? Take(LinkEvent said)
    {
        _openLine = said.Kind == LinkEventKind.Silence && said.Text.Trim() is var open && open != _lastRead.Trim() ? open : string.Empty;
        _lastRead = said.Kind == LinkEventKind.Silence ? _lastRead : said.Text;
        _atWork |= said.Kind is LinkEventKind.StageBegan or LinkEventKind.Progress or LinkEventKind.StageEnded;
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
            case LinkEventKind.Silence:
                return null;
            case LinkEventKind.StageBegan or LinkEventKind.Progress or LinkEventKind.StageEnded or LinkEventKind.Other:
                Heard();
                return null;
            default:
                return End(said);
        }
    }

    private WatchEnd End(LinkEvent said) => said.Kind switch
    {
        LinkEventKind.Succeeded => new WatchEnd(said.Kind, null, $"The device said '{said.Text}'."),
        LinkEventKind.Failed => new WatchEnd(said.Kind, ProblemId.RefreshFailed, $"The device said '{said.Text}', which means: {said.Because}."),
        LinkEventKind.PromptBack => new WatchEnd(said.Kind, null, "The prompt came back."),
        LinkEventKind.Busy when _atWork => new WatchEnd(LinkEventKind.Lost, ProblemId.UnitBusy, $"The device said '{said.Text}' in the middle of {_log.Current}."),
        LinkEventKind.Busy => new WatchEnd(said.Kind, ProblemId.UnitBusy, $"The device said '{said.Text}'."),
        _ => new WatchEnd(LinkEventKind.Lost, ProblemId.LinkClosed, $"The connection was lost in {_log.Current}."),
    };

    // Asked after every word: a device that chatters on does not keep its deadline from passing.
    private WatchEnd? Overdue()
    {
        if (_end.HasPassed)
        {
            return new WatchEnd(LinkEventKind.Silence, ProblemId.StageTimedOut, $"{_log.Current} did not end within {Seconds(_end.Span)} s{Waiting}.");
        }

        if (!_stall.HasPassed)
        {
            return null;
        }

        string at = _log.Percent is { } percent ? $" at {percent.ToString(CultureInfo.InvariantCulture)} %" : string.Empty;
        return new WatchEnd(LinkEventKind.Silence, ProblemId.StageStalled, $"{_log.Current} stood still{at} for {Seconds(_stall.Span)} s{Waiting}.");
    }

    // A question that no dialect answers stands on the line without an end.
    private string Waiting => _openLine.Length == 0 ? string.Empty : $"; the line ends at '{Excerpt.Of(_openLine)}', which no rule of the dialect reads: where that is a question, answer it in 'asks'";

    private void Heard()
    {
        if (_log.Percent is null)
        {
            _stall = _options.Clock.DeadlineIn(_link.Limits(_log.Current).Stall);
        }
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

    private TimeSpan StageLimit(Stage stage) => Limit(_unit, _link, stage);

    /// <summary>How long a stage may take: the longer of the dialect's deadline and the plan's worst case.</summary>
    public static TimeSpan Limit(PlannedUnit unit, IUnitLink link, Stage stage)
    {
        TimeSpan dialect = link.Limits(stage).Deadline;
        StageTime? planned = unit.StageTimes.Of(stage.ToString());
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
