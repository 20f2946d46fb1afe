using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Deadlines, stalls, chatter and refusals while a unit is at work.</summary>
public sealed class WatchingTests : IDisposable
{
    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_device_that_chatters_on_does_not_outlast_its_deadline()
    {
        _night.Link.Last = new LinkEvent(LinkEventKind.Other, "the tide is in");
        _night.Link.OnStart = _ => _night.Clock.Patience = TimeSpan.FromMilliseconds(200);

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Failed, ProblemId.StageTimedOut), (result.Outcome, result.ProblemId));
        Assert.Equal("Transfer did not end within 300 s. It still runs 2.1 and is healthy.", result.Reason);
    }

    [Fact]
    public void A_percentage_that_stands_still_is_a_stall()
    {
        _night.Link.Last = new LinkEvent(LinkEventKind.Silence, "");
        _night.Link.Say(LinkEventKind.StageBegan, "writing", Stage.Program);
        _night.Link.Say(LinkEventKind.Progress, "40 %", Stage.Program, 40, () => (_night.Clock.StallPatience, _night.Clock.Patience) = (TimeSpan.Zero, TimeSpan.FromMilliseconds(100)));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Failed, ProblemId.StageStalled), (result.Outcome, result.ProblemId));
        Assert.Equal("Program stood still at 40 % for 60 s. It still runs 2.1 and is healthy.", result.Reason);
    }

    [Fact]
    public void A_question_that_nobody_answers_is_quoted()
    {
        _night.Link.Last = new LinkEvent(LinkEventKind.Silence, "Go on, steward? ");
        _night.Link.Say(LinkEventKind.Other, "Eye 2 will go dark.", before: () => (_night.Clock.StallPatience, _night.Clock.Patience) = (TimeSpan.FromMilliseconds(50), TimeSpan.FromSeconds(1)));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Failed, ProblemId.StageStalled), (result.Outcome, result.ProblemId));
        Assert.Equal(
            "Transfer stood still for 60 s; the line ends at 'Go on, steward?', which no rule of the dialect reads: where that is a question, answer it in 'asks'. It still runs 2.1 and is healthy.",
            result.Reason);
    }

    [Fact]
    public void A_progress_line_that_stands_there_is_no_question()
    {
        _night.Link.Last = new LinkEvent(LinkEventKind.Silence, "40 %");
        _night.Link.Say(LinkEventKind.Progress, "40 % ", Stage.Program, 40, () => (_night.Clock.StallPatience, _night.Clock.Patience) = (TimeSpan.FromMilliseconds(50), TimeSpan.FromSeconds(1)));

        Assert.Equal("Program stood still at 40 % for 60 s. It still runs 2.1 and is healthy.", Assert.Single(_night.Run()).Reason);
    }

    [Fact]
    public void Stages_that_a_device_does_not_name_are_passed_over()
    {
        _night.Link.Say(LinkEventKind.Progress, "10 %", Stage.Program, 10).Say(LinkEventKind.Succeeded, "done", before: () => _night.Becomes("3.0"));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Equal(["Transfer", "Program", "Verify", "Recover"], result.StageSeconds.Keys);
    }

    [Fact]
    public void A_device_that_names_no_stage_is_dark_from_the_start()
    {
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => _night.Becomes("3.0"));

        Assert.Equal(20, Assert.Single(_night.Run()).DarkSeconds);
    }

    [Fact]
    public void A_stage_that_is_over_does_not_begin_again()
    {
        _night.Link.Say(LinkEventKind.StageBegan, "erasing", Stage.Erase).Say(LinkEventKind.Progress, "late", Stage.Transfer, 90).Say(LinkEventKind.StageBegan, "fetching", Stage.Transfer)
            .Say(LinkEventKind.Succeeded, "done", before: () => _night.Becomes("3.0"));

        Assert.Equal(["Transfer", "Erase", "Verify", "Recover"], Assert.Single(_night.Run()).StageSeconds.Keys);
        Assert.DoesNotContain("Progress stage=Transfer", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_device_that_is_busy_when_the_command_comes_is_read_and_asked_again()
    {
        _night.Link.OnStart = order =>
        {
            if (_night.Link.Calls.Count(call => call.StartsWith("Start", StringComparison.Ordinal)) == 2)
            {
                _night.Fetch(order);
            }
        };
        _night.Link.Say(LinkEventKind.Busy, "taken");
        _night.GoesWell();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Equal(["Busy?", "Read", "Start 2 br-3.0.img", "Busy?", "Read", "Start 2 br-3.0.img"], _night.Link.Calls.Take(6));
    }

    [Fact]
    public void A_device_that_stays_busy_is_refused_and_the_run_goes_on()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Link.Units.Add(Sample.Unit("3.0", "3"));
        _night.Link.OnStart = _ => _night.Clock.Patience = TimeSpan.Zero;
        _night.Link.Say(LinkEventKind.Busy, "taken").Say(LinkEventKind.Busy, "taken");
        _night.Answer = _ =>
        {
            _night.Clock.Patience = TimeSpan.Zero;
            return true;
        };

        IReadOnlyList<UnitResult> results = _night.Run();

        Assert.Equal([StageOutcome.Refused, StageOutcome.Skipped], results.Select(one => one.Outcome));
        Assert.Equal((ProblemId.UnitBusy, "The device said 'taken'. It was asked again until the time for that was over; nothing was loaded."), (results[0].ProblemId, results[0].Reason));
        Assert.Equal(3, results[0].LoadsBack);
    }

    [Fact]
    public void A_device_that_was_refreshed_by_somebody_else_meanwhile_is_not_loaded_again()
    {
        _night.Link.OnStart = _ => _night.Becomes("3.0");
        _night.Link.Say(LinkEventKind.Busy, "taken");

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Skipped, ProblemId.NothingToDo), (result.Outcome, result.ProblemId));
        Assert.Single(_night.Link.Calls, call => call.StartsWith("Start", StringComparison.Ordinal));
        Assert.EndsWith("End RunEnded", _night.Kinds(), StringComparison.Ordinal);
    }

    [Fact]
    public void Busy_in_the_middle_of_the_work_is_asked_after_and_never_called_refused()
    {
        _night.Link.Say(LinkEventKind.StageBegan, "erasing", Stage.Erase).Say(LinkEventKind.Busy, "taken", before: () => _night.Becomes("3.0"));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Contains("The device said 'taken' in the middle of Erase.", result.Reason, StringComparison.Ordinal);
        Assert.Contains("Reopen", _night.Link.Calls);
    }
}
