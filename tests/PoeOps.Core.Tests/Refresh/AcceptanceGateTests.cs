using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>What does not come back, or covers for a unit, or fills the disk stands in its way, until somebody accepts it or skips the gate by name.</summary>
public sealed class AcceptanceGateTests : GateBench
{
    // 15.4 W claims each, as no class was read: 30 W bring back one of three, in the order of priority the help point.
    [Fact]
    public void A_unit_whose_loads_do_not_all_come_back_is_not_put_in_the_dark()
    {
        Night.Link.Units = [Sample.Unit() with { BudgetWatts = 30 }];
        Refused(StageOutcome.Refused, ProblemId.LoadsRefused, "2 of 3 loads (ports 1, 4) do not come back within the unit's budget after the controller restarts. Nobody accepted that in the plan.");
        Assert.Contains("Gate gate=Budget; passed=false; problem=LoadsRefused", Night.Journal(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(2, true)]
    [InlineData(1, false)]
    public void The_plan_accepts_so_many_loads_that_do_not_come_back(int accepted, bool starts)
    {
        Night.Link.Units = [Sample.Unit() with { BudgetWatts = 30 }];
        Night.Units[0] = Night.Units[0] with { RefusedLoadsAccepted = accepted };
        Night.GoesWell();
        UnitResult result = Assert.Single(Night.Run());
        Assert.Equal(starts ? StageOutcome.Done : StageOutcome.Refused, result.Outcome);
        if (starts)
        {
            Assert.Contains("3 loads go dark (2 for good, as the plan accepts) for about", Assert.Single(Night.Asked).Action, StringComparison.Ordinal);
        }
        else
        {
            Assert.EndsWith(" The plan accepts 1.", result.Reason, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_switch_with_another_number_of_units_is_not_the_one_that_was_planned()
    {
        Night.Units[0] = Night.Units[0] with { SwitchUnits = 4 };
        Night.Link.Units = [Sample.Unit() with { SwitchUnits = 3 }];
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its switch lists 3 units, and the plan was made for 4.");
    }

    [Fact]
    public void A_full_disk_is_told_before_anything_is_begun()
    {
        Night.FreeBytes = 49_999_999;
        Refused(StageOutcome.Refused, ProblemId.DiskTooFull, "49 MB are left on disk for journal and transcripts, and 50 are wanted.");
        Assert.Empty(Night.Link.Calls);
    }

    // The first of two that cover for each other keeps a load in the dark; so the second is left alone, though the run goes on.
    [Theory]
    [InlineData("radios", "RADIOS", true)]
    [InlineData("radios", "", false)]
    public void A_unit_is_not_begun_while_one_that_covers_for_it_is_not_back(string group, string other, bool refused)
    {
        Night.Units[0] = Night.Units[0] with { CoverageGroup = group };
        Night.Units.Add(OneNight.Planned(2, "3") with { CoverageGroup = other });
        Night.Link.Units = [Sample.Unit(), Sample.Unit("2.1", "3")];
        Night.Answer = report => report.Unit.Order == 1;
        Night.GoesWell();
        Night.Link.OnRead.Enqueue(() => { });
        Night.Link.OnRead.Enqueue(() =>
        {
            Night.Link.Units = [Night.Link.Units[0].Dark("4"), Sample.Unit("2.1", "3")];
            Night.Clock.Patience = TimeSpan.Zero;
        });
        IReadOnlyList<UnitResult> results = Night.Run();
        Assert.Equal(StageOutcome.Degraded, results[0].Outcome);
        Assert.Equal(refused, results[1].ProblemId == ProblemId.CoverageNotBack);
        if (refused)
        {
            Assert.Equal("north-1/2 covers for it (group 'RADIOS') and ended Degraded: It runs 3.0, but not everything is back: camera on north-1/2/4 has no power.", results[1].Reason);
        }
    }

    [Fact]
    public void A_gate_that_is_skipped_holds_nobody_up_and_is_written_down()
    {
        Night.SkipGates = ["budget", "Disk"];
        Night.FreeBytes = 1;
        Night.Link.Units = [Sample.Unit() with { BudgetWatts = 30 }];
        Night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(Night.Run()).Outcome);
        Assert.Contains("Gate gate=Budget; passed=false; skipped=true; problem=LoadsRefused; reason=2 of 3 loads", Night.Journal(), StringComparison.Ordinal);
        Assert.Contains("Gate gate=Disk; passed=false; skipped=true; problem=DiskTooFull", Night.Journal(), StringComparison.Ordinal);
        Assert.Contains("Budget (skipped)", Assert.Single(Night.Asked).Gates);
    }

    [Theory]
    [InlineData("Image")]
    [InlineData("Lock")]
    [InlineData("Reading")]
    [InlineData("journal")]
    public void Digest_reading_lock_and_journal_are_never_skipped(string gate)
    {
        Assert.Equal(
            $"'{gate}' is no gate that may be skipped",
            GateNames.Check(["window", gate])!.Sentence[..(gate.Length + 33)]);
        Assert.Equal(ProblemId.GateNotSkippable, GateNames.Check([gate])!.Id);
        Assert.Null(GateNames.Check([.. GateNames.Skippable]));
    }
}
