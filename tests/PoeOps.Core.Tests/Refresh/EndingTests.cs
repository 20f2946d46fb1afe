using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>How a unit ends, whatever it says of itself.</summary>
public sealed class EndingTests : IDisposable
{
    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void After_an_uncertain_end_the_unit_is_asked_before_anything_else_is_sent()
    {
        _night.Link.Say(LinkEventKind.StageBegan, "fetching", Stage.Transfer).Say(LinkEventKind.Lost, "gone", before: () => _night.Becomes("3.0"));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(["Busy?", "Read", "Start 2 br-3.0.img", "Reopen", "Read", "Read", "Read", "Dispose"], _night.Link.Calls);
        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Equal("It runs 3.0, and everything is back. The connection was lost in Transfer. It was asked afterwards and had come through.", result.Reason);
    }

    [Fact]
    public void A_unit_that_cannot_be_asked_at_first_is_asked_until_it_answers()
    {
        _night.Link.Last = new LinkEvent(LinkEventKind.Lost, "gone");
        _night.Link.OnStart = _ =>
        {
            _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LinkClosed));
            _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LinkSilent));
            _night.Link.OnRead.Enqueue(() => _night.Link.Units = [Sample.Unit() with { Condition = ControllerCondition.Refreshing, Firmware = null }]);
            _night.Link.OnRead.Enqueue(() => _night.Link.Units = [Sample.Unit("3.0")]);
        };

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Equal(["Reopen", "Read", "Reopen", "Read", "Reopen", "Read", "Read"], _night.Link.Calls.SkipWhile(call => call != "Reopen").Take(7));
    }

    [Theory]
    [InlineData("2.1", StageOutcome.Failed, ProblemId.VersionNotReached, "The device said 'all done'. It still runs 2.1 and is healthy.")]
    [InlineData("2.1.0", StageOutcome.Failed, ProblemId.VersionNotReached, "The device said 'all done'. It still runs 2.1.0 and is healthy.")]
    [InlineData("2.7", StageOutcome.Uncertain, ProblemId.VersionNotReached, "The device said 'all done'. It was last seen to run '2.7' and to be Healthy ('well'). Look at the unit by hand before anything is sent to it again.")]
    [InlineData(null, StageOutcome.Uncertain, ProblemId.OutcomeUncertain, "The device said 'all done'. It was last seen to run 'nothing readable' and to be Healthy ('well'). Look at the unit by hand before anything is sent to it again.")]
    public void A_word_of_success_proves_nothing(string? runs, StageOutcome outcome, ProblemId id, string reason)
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Link.Say(LinkEventKind.Succeeded, "all done", before: () =>
        {
            _night.Link.Units = [Sample.Unit() with { Firmware = runs }];
            _night.Clock.Patience = TimeSpan.Zero;
        });

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((outcome, id, reason), (result.Outcome, result.ProblemId, result.Reason));
        Assert.Equal(runs, result.FirmwareNow);
        Assert.Equal(["north-1/3"], _night.Remaining);
        Assert.EndsWith($"RunEnded because=north-1/2 ended {outcome}; notBegun=north-1/3", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_word_of_failure_proves_nothing_either()
    {
        _night.Link.Say(LinkEventKind.Failed, "no good", before: () => _night.Becomes("3.0"));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Contains("The device said 'no good', which means: it was told to fail. It was asked afterwards and had come through.", result.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_unit_that_says_it_failed_and_runs_the_old_firmware_has_failed()
    {
        _night.Link.Say(LinkEventKind.Failed, "no good");

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Failed, ProblemId.RefreshFailed), (result.Outcome, result.ProblemId));
        Assert.Equal("The device said 'no good', which means: it was told to fail. It still runs 2.1 and is healthy.", result.Reason);
        Assert.Equal((3, 3), (result.Loads, result.LoadsBack));
    }

    [Fact]
    public void A_unit_that_failed_and_left_loads_in_the_dark_has_them_named()
    {
        _night.Link.Say(LinkEventKind.Failed, "no good", before: () => _night.Link.Units = [Sample.Unit().Dark("2")]);

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Failed, result.Outcome);
        Assert.Equal(["help point A on north-1/2/2 (life-safety) has no power"], result.NotBack);
    }

    [Fact]
    public void A_unit_that_failed_and_lost_its_settings_has_them_named()
    {
        _night.Link.Say(LinkEventKind.Failed, "no good", before: () => _night.Link.Units = [Sample.Unit().With(port => port with { Priority = PortPriority.Low }, "2")]);

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Failed, result.Outcome);
        Assert.Equal(["Priority of north-1/2/2 is Low and was Critical"], result.NotBack);
    }

    [Fact]
    public void A_device_that_refuses_the_log_in_is_not_asked_so_often_that_it_locks_the_user_out()
    {
        _night.Link.Last = new LinkEvent(LinkEventKind.Lost, "gone");
        _night.Link.OnStart = _ =>
        {
            _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LogInRefused));
            _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LogInRefused));
            _night.Link.OnRead.Enqueue(() => _night.Link.Units = [Sample.Unit("3.0")]);
        };

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Equal(120, result.StageSeconds["Verify"]);
    }

    [Fact]
    public void A_unit_that_is_no_longer_listed_is_not_taken_for_what_it_was()
    {
        // It is seen with its old firmware once, and then not at all.
        _night.Link.Say(LinkEventKind.Succeeded, "all done", before: () =>
        {
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => _night.Link.Units = []);
            _night.Clock.Patience = TimeSpan.FromMilliseconds(300);
        });

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Uncertain, ProblemId.OutcomeUncertain), (result.Outcome, result.ProblemId));
        Assert.Equal(
            "The device said 'all done'. It was last seen to run '2.1' and to be Healthy ('well'). The last time it was asked, there was no answer about it. "
            + "Look at the unit by hand before anything is sent to it again.",
            result.Reason);
    }

    [Fact]
    public void A_unit_that_is_still_at_work_has_not_failed()
    {
        _night.Link.Say(LinkEventKind.Failed, "no good", before: () =>
        {
            _night.Link.Busy.Enqueue("still writing");
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => _night.Becomes("3.0"));
        });

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public void A_prompt_that_comes_back_without_a_word_is_no_end()
    {
        _night.Link.Say(LinkEventKind.PromptBack, "north-1:", before: () =>
        {
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => _night.Becomes("3.0"));
        });

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public void A_controller_that_is_not_well_afterwards_is_uncertain()
    {
        _night.Link.Say(LinkEventKind.Succeeded, "all done", before: () =>
        {
            _night.Link.Units = [Sample.Unit("3.0") with { Condition = ControllerCondition.Faulted, ConditionText = "brown smoke" }];
            _night.Clock.Patience = TimeSpan.Zero;
        });

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Uncertain, ProblemId.OutcomeUncertain), (result.Outcome, result.ProblemId));
        Assert.Contains("It was last seen to run '3.0' and to be Faulted ('brown smoke').", result.Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(ProblemId.LinkClosed, StageOutcome.Done)]
    [InlineData(ProblemId.CommandRefused, StageOutcome.Failed)]
    public void A_command_that_may_have_been_sent_is_asked_after_and_one_that_was_not_has_failed(ProblemId id, StageOutcome outcome)
    {
        _night.Link.OnStart = _ =>
        {
            if (id == ProblemId.LinkClosed)
            {
                _night.Becomes("3.0");
            }

            ScriptedLink.Fail(id);
        };

        Assert.Equal(outcome, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public void An_exception_in_mid_unit_goes_on_to_the_caller_and_the_end_is_written_all_the_same()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Link.OnStart = _ => throw new FormatException("a flaw in the link");
        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        RefreshRun run = new(_night.Options(journal));

        Assert.Throws<FormatException>(run.Next);

        Assert.Null(run.Next());
        Assert.Equal("RunBegan Begin StageBegan StageEnded End RunEnded", _night.Kinds());
        Assert.Contains(
            "End outcome=Uncertain; problem=OutcomeUncertain; reason=The run broke off while the unit was at work. Look at it by hand before anything is sent to it again.",
            _night.Journal(), StringComparison.Ordinal);
        Assert.EndsWith("RunEnded because=north-1/2 broke off: a flaw in the link; notBegun=north-1/3", _night.Journal(), StringComparison.Ordinal);
        Assert.False(File.Exists(_night.LockPath));
        Assert.Equal("Dispose", _night.Link.Calls[^1]);
    }

    [Fact]
    public void An_exception_out_of_the_question_ends_the_run_with_nothing_begun()
    {
        _night.Answer = _ => throw new FormatException("no answer");
        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        RefreshRun run = new(_night.Options(journal));

        Assert.Throws<FormatException>(run.Next);

        Assert.Null(run.Next());
        Assert.EndsWith("RunEnded because=north-1/2 broke off: no answer; notBegun=north-1/2", _night.Journal(), StringComparison.Ordinal);
        Assert.DoesNotContain(_night.Link.Calls, call => call.StartsWith("Start", StringComparison.Ordinal));
    }
}
