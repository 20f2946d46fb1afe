using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>What became of a unit while nobody watched it: it is asked for as long as it may still be at work, and nothing is sent to it before.</summary>
public sealed class LateEndTests : ResumeBench
{
    [Fact]
    public void A_unit_that_came_through_meanwhile_is_done_late_and_nothing_is_sent_to_it()
    {
        BreakOff(after: "StageBegan stage=Program");
        Night.Link.Units = [Sample.Unit("3.0")];

        UnitResult result = Assert.Single(Resume(out RefreshRun run));

        Assert.Equal((StageOutcome.Done, null, true, "3.0", 3, 3), (result.Outcome, result.ProblemId, result.Late, result.FirmwareNow, result.Loads, result.LoadsBack));
        Assert.Equal("It runs 3.0, and everything is back. The run had broken off in Program. This was found out late.", result.Reason);
        Assert.Null(run.StoppedBecause);
        Assert.Equal(["Read", "Read", "Read", "Dispose"], Night.Link.Calls);
        Assert.Equal(
            """
            RunBegan host=*; user=*; process=*; plan=harbour; fingerprint=f00d; units=1; speed=1; attended=false; whatIf=false; resumes=1
            Note text=The run had broken off in Program. The unit is asked what became of it.
            StageBegan stage=Verify; text=The run had broken off in Program.
            StageEnded stage=Verify; seconds=0
            StageBegan stage=Recover; text=waiting for the loads
            Progress stage=Recover; percent=100
            StageEnded stage=Recover; seconds=60
            End outcome=Done; reason=It runs 3.0, and everything is back. The run had broken off in Program. This was found out late.; firmware=3.0; loads=3; loadsBack=3; order=1; late=true
            RunEnded because=the plan is through
            """,
            Last("RunBegan"));
    }

    [Theory]
    [InlineData("2.7", "Healthy", ProblemId.VersionNotReached, "It was last seen to run '2.7' and to be Healthy ('well').")]
    [InlineData("3.0", "Faulted", ProblemId.OutcomeUncertain, "It was last seen to run '3.0' and to be Faulted ('well').")]
    [InlineData("2.1", "Refreshing", ProblemId.OutcomeUncertain, "It was last seen to run '2.1' and to be Refreshing ('well').")]
    [InlineData(null, "Healthy", ProblemId.OutcomeUncertain, "It was last seen to run 'nothing readable' and to be Healthy ('well').")]
    public void Anything_else_is_uncertain_and_the_run_stops(string? runs, string condition, ProblemId id, string seen)
    {
        Night.Units.Add(OneNight.Planned(2, "3"));
        BreakOff(after: "StageBegan stage=Program");
        Night.Link.Units = [Sample.Unit() with { Firmware = runs, Condition = Enum.Parse<ControllerCondition>(condition) }, Sample.Unit(unit: "3")];
        Night.Clock.Patience = TimeSpan.Zero;

        UnitResult result = Assert.Single(Resume(out RefreshRun run));

        Assert.Equal((StageOutcome.Uncertain, id), (result.Outcome, result.ProblemId));
        Assert.Equal($"The run had broken off in Program. {seen} Look at the unit by hand before anything is sent to it again.", result.Reason);
        Assert.Equal("north-1/2 ended Uncertain", run.StoppedBecause);
        Assert.Equal(["north-1/3"], run.Remaining.Select(unit => unit.UnitId.ToString()));
        Assert.Equal(0, Starts);
    }

    [Fact]
    public void A_unit_that_ended_uncertain_is_asked_again_by_every_run_that_goes_on()
    {
        Anything_else_is_uncertain_and_the_run_stops("2.7", "Healthy", ProblemId.VersionNotReached, "It was last seen to run '2.7' and to be Healthy ('well').");
        Night.Clock.Patience = TimeSpan.FromHours(1);
        Night.Link.Units = [Sample.Unit("3.0"), Sample.Unit("3.0", "3")];

        List<UnitResult> results = Resume(out _);

        Assert.Equal(
            ["north-1/2 Done It runs 3.0, and everything is back. It had ended Uncertain. This was found out late.", "north-1/3 Skipped It runs 3.0 already; there is nothing to do."],
            results.Select(result => $"{result.UnitId} {result.Outcome} {result.Reason}"));
    }

    [Fact]
    public void A_switch_that_cannot_be_reached_leaves_its_unit_uncertain()
    {
        BreakOff(after: "StageBegan stage=Program");

        using JournalFile journal = JournalFile.Open(Night.JournalPath);
        RefreshRun run = new(Night.Options(journal) with { Past = Past(), Open = _ => throw new PoeOpsException(new Problem(ProblemId.LogInRefused, "The device refused the log-in.", "Look at it.")) });
        UnitResult result = run.Next()!;

        Assert.Equal((StageOutcome.Uncertain, ProblemId.LogInRefused), (result.Outcome, result.ProblemId));
        Assert.Equal("The run had broken off in Program. It could not be asked: The device refused the log-in. Look at the unit by hand before anything is sent to it again.", result.Reason);
        Assert.Null(run.Next());
        Assert.Equal("north-1/2 ended Uncertain", run.StoppedBecause);
    }

    [Fact]
    public void A_console_that_is_out_of_reach_for_a_while_is_waited_for()
    {
        BreakOff(after: "StageBegan stage=Program");
        Night.Link.Units = [Sample.Unit("3.0")];
        int attempts = 0;

        using JournalFile journal = JournalFile.Open(Night.JournalPath);
        RefreshRun run = new(Night.Options(journal) with
        {
            Past = Past(),
            Open = _ => ++attempts < 4 ? throw new PoeOpsException(new Problem(ProblemId.ConnectFailed, "Nobody answers.", "Look at it.")) : Night.Link,
        });

        Assert.Equal((StageOutcome.Done, 4), (run.Next()!.Outcome, attempts));
    }

    [Fact]
    public void Loads_and_settings_are_held_against_what_they_were_before_the_unit_was_begun()
    {
        BreakOff(after: "StageBegan stage=Reset");
        Night.Link.Units = [Sample.Unit("3.0").Dark("2").With(port => port with { Priority = PortPriority.Low, LimitWatts = null }, "1", "4")];
        Night.Link.OnPutBack = (port, property) => Night.Link.Units = [.. Night.Link.Units.Select(unit => unit.With(now => property == "Priority" ? now with { Priority = port.Priority } : now with { LimitWatts = port.LimitWatts }, port.Name))];
        Night.Clock.Patience = TimeSpan.FromMilliseconds(50);

        UnitResult result = Assert.Single(Resume(out _));

        Assert.Equal((StageOutcome.Degraded, ProblemId.LoadsNotBack, 3, 2), (result.Outcome, result.ProblemId, result.Loads, result.LoadsBack));
        Assert.Equal("It runs 3.0, but not everything is back: help point A on north-1/2/2 (life-safety) has no power. The run had broken off in Reset. This was found out late.", result.Reason);
        Assert.Equal(["PutBack 1 LimitWatts", "PutBack 4 Priority"], Night.Link.Calls.Where(call => call.StartsWith("PutBack", StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_unit_is_waited_for_as_long_as_it_may_still_be_at_work_less_the_time_gone_by(bool detached)
    {
        BreakOff(after: "StageBegan stage=Program");
        if (detached)
        {
            LetGo();
        }

        List<TimeSpan> deadlines = [];
        Night.Link.Units = [Sample.Unit("3.0")];
        Night.Clock.Asked = deadlines.Add;
        DateTime last = Past().Units[1].LastUtc;
        Night.Clock.MoveOn((last.AddSeconds(100) - Night.Clock.UtcNow).TotalSeconds);

        Resume(out _);

        // The worst case of the whole (900 s) for the console; Program and Reset by the dialect's 300 s each and Verify's 60 s for the unit; a hundred are gone.
        Assert.Equal([800, 560], deadlines.Take(2).Select(span => span.TotalSeconds));
    }

    [Fact]
    public void A_unit_that_the_run_had_to_let_go_of_is_said_to_have_been()
    {
        BreakOff(after: "StageBegan stage=Program");
        LetGo();
        Night.Link.Units = [Sample.Unit("3.0")];

        Assert.Equal("It runs 3.0, and everything is back. The run had let go of it in Program. This was found out late.", Assert.Single(Resume(out _)).Reason);
    }

    // As the process's end writes it.
    private void LetGo()
    {
        DateTime last = Past().Units[1].LastUtc;
        using JournalFile journal = JournalFile.Open(Night.JournalPath);
        journal.Write(new RunEntry(RunEntryKind.End, last, "north-1/2", [new("outcome", nameof(StageOutcome.Detached)), new("problem", nameof(ProblemId.RunDetached))]));
    }
}
