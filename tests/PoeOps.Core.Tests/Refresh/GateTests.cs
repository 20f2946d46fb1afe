using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Something stands in the way of a unit, and nothing is sent to it.</summary>
public sealed class GateTests : GateBench
{
    [Fact]
    public void A_window_that_is_not_open_yet_is_not_gone_before()
    {
        Night.Units[0] = Night.Units[0] with { WindowOpensUtc = HandClock.Start.AddMinutes(1) };
        Refused(StageOutcome.Refused, ProblemId.WindowClosed, "Its window opens 2026-12-01 22:31 UTC, and it is 2026-12-01 22:30 UTC.");
        Assert.Empty(Night.Link.Calls);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_switch_that_must_not_be_reached_is_not_and_no_list_of_gates_to_skip_helps(bool whatIf)
    {
        Night.WhatIf = whatIf;
        Night.SkipGates = GateNames.Skippable;
        Night.LinkRefusal = new Problem(ProblemId.ClearTextRefused, "The link is Telnet.", "Use SSH.");

        Refused(StageOutcome.Refused, ProblemId.ClearTextRefused, "The link is Telnet.");
        Assert.Empty(Night.Link.Calls);
        Assert.Contains("   0 Gate gate=ClearText; passed=false; problem=ClearTextRefused; reason=The link is Telnet.", Night.Journal().Split('\n'));
        Assert.Equal(ProblemId.GateNotSkippable, GateNames.Check(["ClearText"])!.Id);
    }

    // One look shows everything that stands in the way.
    [Fact]
    public void Under_WhatIf_the_gates_before_the_link_are_looked_at_all_the_same()
    {
        Night.WhatIf = true;
        Night.LinkRefusal = new Problem(ProblemId.ClearTextRefused, "The link is Telnet.", "Use SSH.");
        Night.FreeBytes = 1_000_000;

        Refused(StageOutcome.Refused, ProblemId.ClearTextRefused, "The link is Telnet. 1 MB are left on disk for journal and transcripts, and 50 are wanted.");
        Assert.Empty(Night.Link.Calls);
        Assert.Equal(1, Night.Journal().Split('\n').Count(line => line.Contains("gate=ClearText", StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData(0, true)]
    [InlineData(1, false)]
    public void Worst_case_recovery_and_reserve_fit_into_the_window_to_the_second(int late, bool fits)
    {
        // 900 s + 120 s + 600 s
        Night.Units[0] = Night.Units[0] with { WindowClosesUtc = HandClock.Start.AddSeconds(1620) };
        Night.Clock.MoveOn(late);
        Night.GoesWell();
        if (fits)
        {
            Assert.Equal(StageOutcome.Done, Assert.Single(Night.Run()).Outcome);
            return;
        }

        Refused(StageOutcome.Refused, ProblemId.WindowClosed, "Its window closes 2026-12-01 22:57 UTC: 26 min are left, and the worst case with recovery and reserve needs 27.");
    }

    [Theory]
    [InlineData("model", "Its model is 'BR-8', and the plan was made for 'BR-4'.")]
    [InlineData("serial", "Its serial is 'T9', and the plan was made for 'S2'.")]
    [InlineData("no serial", "Its serial is 'not read', and the plan was made for 'S2'.")]
    [InlineData("release", "Its release is '7.3', and the plan was made for '7.2'.")]
    [InlineData("firmware", "Its firmware is '2.0', and the plan was made for '2.1'.")]
    [InlineData("no firmware", "Its firmware is 'not read', and the plan was made for '2.1'.")]
    [InlineData("unit", "The switch lists no unit '2' now; it lists 5.")]
    public void A_unit_that_is_not_what_the_plan_was_made_for_is_refused(string what, string reason)
    {
        Controller unit = Sample.Unit();
        Night.Link.Units =
        [
            what switch
            {
                "model" => unit with { Model = "BR-8" },
                "serial" => unit with { Serial = "T9" },
                "no serial" => unit with { Serial = null },
                "release" => unit with { Release = "7.3" },
                "firmware" => unit with { Firmware = "2.0" },
                "no firmware" => unit with { Firmware = null },
                _ => unit with { Unit = "5" },
            },
        ];

        Refused(StageOutcome.Refused, ProblemId.UnitChanged, reason);
    }

    [Fact]
    public void A_plan_whose_own_version_cannot_be_read_fits_nothing()
    {
        Night.Units[0] = Night.Units[0] with { FromFirmware = "unknown" };
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its firmware is '2.1', and the plan was made for 'unknown'.");
    }

    // Such a plan comes of versions that were compared without their dialect, or of somebody's hand.
    [Theory]
    [InlineData("2.0.4", "It runs 2.1, and the 2.0.4 that it is to get is not newer.")]
    [InlineData("v02.1.0", "It runs 2.1, and the v02.1.0 that it is to get is not newer.")]
    [InlineData("none", "The firmware 'none' that it is to get is no version in any spelling of its dialect.")]
    public void Nothing_is_loaded_that_is_not_newer_than_what_runs(string to, string reason)
    {
        Night.Units[0] = Night.Units[0] with { ToFirmware = to };
        Refused(StageOutcome.Refused, ProblemId.ImageNotNewer, reason);
    }

    [Fact]
    public void Two_spellings_of_one_version_are_one_version()
    {
        Night.Link.Units = [Sample.Unit("v02.1.0")];
        Night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(Night.Run()).Outcome);
    }

    [Fact]
    public void A_unit_that_is_at_its_target_is_left_alone()
    {
        Night.Link.Units = [Sample.Unit("3.0")];
        Refused(StageOutcome.Skipped, ProblemId.NothingToDo, "It runs 3.0 already; there is nothing to do.");
    }

    [Fact]
    public void A_unit_that_runs_what_nobody_approved_is_named()
    {
        Night.Link.Units = [Sample.Unit("3.1")];
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its firmware is '3.1', and the plan was made for '2.1'.");
    }

    // An earlier night may have left them so: nothing is to be loaded, and yet all is not well.
    [Theory]
    [InlineData("1", "It runs 3.0 already, but only 2 of the 3 loads that the plan counted have power. Look at them by hand, or plan again without them.")]
    [InlineData("2", "It runs 3.0 already, but only 2 of the 3 loads that the plan counted have power, and 0 of its 1 life-safety loads. Look at them by hand, or plan again without them.")]
    public void A_unit_that_is_at_its_target_with_loads_in_the_dark_is_named(string dark, string reason)
    {
        Night.Link.Units = [Sample.Unit("3.0").Dark(dark)];
        Refused(StageOutcome.Refused, ProblemId.LoadsNotBack, reason);
    }

    [Theory]
    [InlineData("2.5", "It runs 2.5 already; there is nothing to do.")]
    [InlineData("3.0", "It runs 3.0, which is newer than 2.5; there is nothing to do.")]
    public void The_first_image_has_nothing_to_do_where_it_or_the_second_runs(string firmware, string reason)
    {
        Night.Units[0] = Night.Units[0] with { ToFirmware = "2.5", Hop = 1, Hops = 2 };
        Night.Units.Add(OneNight.Planned(2) with { FromFirmware = "2.5", Hop = 2, Hops = 2 });
        Night.Link.Units = [Sample.Unit(firmware).Dark("1")];
        UnitResult first = new RefreshRun(Night.Options(new MemoryRecord())).Next()!;
        Assert.Equal((StageOutcome.Skipped, ProblemId.NothingToDo, reason), (first.Outcome, first.ProblemId, first.Reason));
    }

    [Fact]
    public void The_second_image_waits_until_the_first_one_runs()
    {
        Night.Units[0] = Night.Units[0] with { FromFirmware = "2.5", Hop = 2, Hops = 2 };
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its firmware is '2.1', and the plan was made for '2.5'.");
    }

    [Theory]
    [InlineData("2.1")]
    [InlineData("3.0")]
    public void A_controller_that_is_not_well_is_refused_even_at_its_target(string firmware)
    {
        Night.Link.Units = [Sample.Unit(firmware) with { Condition = ControllerCondition.Faulted, ConditionText = "brown smoke" }];
        Refused(StageOutcome.Refused, ProblemId.ControllerNotHealthy, "Its controller is Faulted; the device says 'brown smoke'.");
    }

    [Fact]
    public void A_reading_with_problems_is_refused_and_the_first_one_named()
    {
        Night.Link.Units = [Sample.Unit() with { ReadingProblems = 2 }];
        Night.Link.Problems.Add(new Problem(ProblemId.LineUnread, "Line 7 is somebody else's.", "Teach it.") { Target = "north-1/9" });
        Night.Link.Problems.Add(new Problem(ProblemId.LineUnread, "Line 9 is not read.", "Teach it.") { Target = "north-1/2" });
        Refused(StageOutcome.Refused, ProblemId.ReadingNotClean, "Its reading has 2 problems. The first thing that could not be read: Line 9 is not read.");
    }

    [Fact]
    public void A_reading_with_problems_that_the_plan_accepts_is_no_obstacle()
    {
        Night.Link.Units = [Sample.Unit() with { ReadingProblems = 2 }];
        Night.Units[0] = Night.Units[0] with { ReadingProblemsAccepted = true };
        Night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(Night.Run()).Outcome);
    }

    [Fact]
    public void A_device_that_stays_busy_is_refused()
    {
        Night.Clock.Patience = TimeSpan.Zero;
        Night.Link.Busy.Enqueue("a refit is under way");
        Refused(StageOutcome.Refused, ProblemId.UnitBusy, "A refresh is under way on the switch: it says 'a refit is under way'.");
    }

    [Fact]
    public void A_device_that_was_busy_is_read_again_before_anything_is_believed_of_it()
    {
        Night.Link.Busy.Enqueue("a refit is under way");
        Night.Link.OnRead.Enqueue(() => { });
        Night.Link.OnRead.Enqueue(() => Night.Link.Units = [Sample.Unit("3.0")]);

        Refused(StageOutcome.Skipped, ProblemId.NothingToDo, "It runs 3.0 already; there is nothing to do.");

        Assert.Equal(["Busy?", "Read", "Busy?", "Read", "Dispose"], Night.Link.Calls);
    }

    [Fact]
    public void A_unit_that_is_being_refreshed_by_somebody_else_counts_as_busy()
    {
        Night.Clock.Patience = TimeSpan.Zero;
        Night.Link.Units = [Sample.Unit() with { Condition = ControllerCondition.Refreshing, ConditionText = "refit", Firmware = null }];
        Refused(StageOutcome.Refused, ProblemId.UnitBusy, "A refresh is under way on the switch: it says of the unit 'refit'.");
    }

    [Theory]
    [InlineData("bytes", ProblemId.ImageWrongSize)]
    [InlineData("digest", ProblemId.ImageWrongDigest)]
    [InlineData("missing", ProblemId.ImageNotFound)]
    public void An_image_that_is_not_the_approved_one_is_never_offered(string what, ProblemId id)
    {
        byte[] image = File.ReadAllBytes(Night.ImagePath);
        switch (what)
        {
            case "bytes":
                File.WriteAllBytes(Night.ImagePath, image[..^1]);
                break;
            case "digest":
                image[1234] ^= 1;
                File.WriteAllBytes(Night.ImagePath, image);
                break;
            default:
                File.Delete(Night.ImagePath);
                break;
        }

        Refused(StageOutcome.Refused, id, null);
        Assert.Empty(Night.Link.Calls);
    }

    [Theory]
    [InlineData(false, "1 life-safety load goes dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide. This run asks nobody, and nobody accepted them in the plan: help point A on north-1/2/2.")]
    [InlineData(true, "2 life-safety loads go dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide. This run asks nobody, and the plan accepts 1: help point A on north-1/2/2, camera on north-1/2/4.")]
    public void Life_safety_loads_that_nobody_accepted_are_not_put_in_the_dark(bool appeared, string reason)
    {
        if (appeared)
        {
            Night.Link.Units = [Sample.Unit().With(port => port with { LifeSafety = true }, "4")];
        }
        else
        {
            Night.Units[0] = Night.Units[0] with { LifeSafetyAcceptedBy = null };
        }

        Refused(StageOutcome.Refused, ProblemId.LifeSafetyNotAccepted, reason);
    }

    [Fact]
    public void A_person_who_answers_the_question_accepts_its_life_safety_loads()
    {
        Night.Attended = true;
        Night.Units[0] = Night.Units[0] with { LifeSafetyAcceptedBy = null };
        Night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(Night.Run()).Outcome);
    }

    [Fact]
    public void A_switch_that_cannot_be_asked_is_refused_with_the_links_own_reason()
    {
        Night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LinkSilent));
        Refused(StageOutcome.Refused, ProblemId.LinkSilent, "The device does not answer (LinkSilent).");
        Assert.Contains("Gate gate=Link; passed=false; problem=LinkSilent", Night.Journal(), StringComparison.Ordinal);
    }
}
