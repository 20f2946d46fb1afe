using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A fellow is begun when its pilot is well and the soak after it is over, and not before.</summary>
public sealed class PilotGateTests : ResumeBench
{
    public PilotGateTests()
    {
        Night.Units[0] = Night.Units[0] with { Pilot = true };
        Night.Units.Add(OneNight.Planned(2, "3"));
        Night.Link.Units = [Sample.Unit(), Sample.Unit("2.1", "3")];
        Loads();
    }

    [Fact]
    public void After_a_pilot_that_is_well_its_fellow_goes()
    {
        Assert.Equal([StageOutcome.Done, StageOutcome.Done], Run().Select(one => one.Outcome));
        Assert.DoesNotContain("Pilot", Night.Journal(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void After_one_that_is_not_it_is_refused_unless_the_gate_is_skipped(bool skip)
    {
        Night.SkipGates = skip ? ["pilot"] : [];
        Night.Link.OnRead.Enqueue(() => { });
        Night.Link.OnRead.Enqueue(() =>
        {
            Night.Link.Units = [Night.Link.Units[0].Dark("4"), Night.Link.Units[1]];
            Night.Clock.Patience = TimeSpan.Zero;
        });
        List<UnitResult> results = Run();
        Assert.Equal(StageOutcome.Degraded, results[0].Outcome);
        Assert.Equal(skip ? null : ProblemId.PilotNotWell, results[1].ProblemId == ProblemId.PilotNotWell ? results[1].ProblemId : null);
        string reason = "Its pilot north-1/2 ended Degraded: It runs 3.0, but not everything is back: camera on north-1/2/4 has no power.";
        Assert.Equal(!skip, results[1].Reason == reason);
        Assert.Contains($"Gate gate=Pilot; passed=false; {(skip ? "skipped=true; " : string.Empty)}problem=PilotNotWell; reason={reason}", Night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_pilot_that_somebody_left_alone_keeps_its_fellows_back()
    {
        Night.Answer = report => report.Unit.Order == 2;
        List<UnitResult> results = Run();
        Assert.Equal((ProblemId.PilotNotWell, 0), (results[1].ProblemId, Starts));
        Assert.StartsWith("Its pilot north-1/2 ended Skipped: ", results[1].Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_pilot_that_runs_the_image_already_keeps_nobody_back()
    {
        Night.Link.Units = [Sample.Unit("3.0"), Sample.Unit("2.1", "3")];
        List<UnitResult> results = Run();
        Assert.Equal([ProblemId.NothingToDo, null], results.Select(one => one.ProblemId));
        Assert.Equal(StageOutcome.Done, results[1].Outcome);
    }

    [Fact]
    public void Another_model_or_image_has_nothing_to_do_with_it()
    {
        Night.Units[1] = Night.Units[1] with { ToFirmware = "3.00" };
        Night.Answer = report => report.Unit.Order == 2;
        Assert.Equal([StageOutcome.Skipped, StageOutcome.Done], Run().Select(one => one.Outcome));
    }

    [Fact]
    public void A_fellow_waits_for_the_soak_where_its_window_leaves_room()
    {
        List<UnitResult> results = Run(soak: 3600);
        Assert.Equal([StageOutcome.Done, StageOutcome.Done], results.Select(one => one.Outcome));
        Assert.InRange((results[1].StartUtc - results[0].EndUtc).TotalSeconds, 3600, 3605);
        Assert.Single(JournalReplay.Read(Night.JournalPath).Entries, entry => entry.Text.Contains("north-1/3 waits until the soak after its pilot is over.", StringComparison.Ordinal));
    }

    [Fact]
    public void Where_it_leaves_none_the_fellow_is_refused_with_the_time()
    {
        UnitResult[] results = [.. Run(soak: 86400)];
        Assert.Equal((StageOutcome.Refused, ProblemId.PilotNotWell), (results[1].Outcome, results[1].ProblemId));
        Assert.Equal($"Its pilot north-1/2 ended well, and the soak after it lasts until {results[0].EndUtc.AddDays(1):yyyy-MM-dd HH:mm} UTC.", results[1].Reason);
    }

    [Fact]
    public void A_wait_for_the_soak_ends_when_a_stop_is_asked_for()
    {
        int asked = 0;
        Night.Stop = new StopRequest(null, () => ++asked > 40 ? "somebody asked" : null);
        Assert.Equal(StageOutcome.Done, Assert.Single(Run(soak: 3600)).Outcome);
    }

    [Theory]
    [InlineData(StageOutcome.Done, null)]
    [InlineData(StageOutcome.Failed, "Its pilot north-1/2 ended Refused: Its firmware is '9.9', and the plan was made for '2.1'.")]
    public void A_run_that_goes_on_knows_what_became_of_the_pilot_before(StageOutcome before, string? reason)
    {
        Night.Link.Units = [Sample.Unit("9.9"), Sample.Unit("2.1", "3")];
        RunPast past = new(1, new Dictionary<int, UnitPast> { [1] = new() { Outcome = before, BeganUtc = HandClock.Start, LastUtc = HandClock.Start } });
        UnitResult fellow = Run(past: past)[^1];
        Assert.Equal(reason ?? fellow.Reason, fellow.Reason);
        Assert.Equal(reason is null ? StageOutcome.Done : StageOutcome.Refused, fellow.Outcome);
    }

    [Fact]
    public void The_pilot_of_another_lane_is_that_runs_matter()
    {
        Night.Units[0] = Night.Units[0] with { Lane = 2 };
        Assert.Equal(StageOutcome.Done, Assert.Single(Run(lane: 1)).Outcome);
    }

    [Theory]
    [InlineData("2.1", StageOutcome.Skipped)]
    [InlineData("9.9", StageOutcome.Refused)]
    public void Under_WhatIf_a_pilot_whose_gates_are_open_counts_as_well(string firmware, StageOutcome outcome)
    {
        Night.WhatIf = true;
        Night.Link.Units = [Sample.Unit(firmware), Sample.Unit("2.1", "3")];
        Assert.Equal([outcome, outcome], Run(soak: 86400).Select(one => one.Outcome));
    }

    private List<UnitResult> Run(double soak = 0, RunPast? past = null, int? lane = null)
    {
        using JournalFile journal = JournalFile.Open(Night.JournalPath);
        RunOptions options = Night.Options(journal);
        return All(new RefreshRun(options with { Plan = options.Plan with { SoakSeconds = soak }, Past = past, Lane = lane }));
    }
}
