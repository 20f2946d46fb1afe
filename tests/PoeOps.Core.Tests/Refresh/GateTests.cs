using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Something stands in the way of a unit, and nothing is sent to it.</summary>
public sealed class GateTests : IDisposable
{
    private static readonly string[] Asking = ["Busy?", "Read", "Reopen", "Dispose"];

    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_window_that_is_not_open_yet_is_not_gone_before()
    {
        _night.Units[0] = _night.Units[0] with { WindowOpensUtc = HandClock.Start.AddMinutes(1) };
        Refused(StageOutcome.Refused, ProblemId.WindowClosed, "Its window opens 2026-12-01 22:31 UTC, and it is 2026-12-01 22:30 UTC.");
        Assert.Empty(_night.Link.Calls);
    }

    [Theory]
    [InlineData(0, true)]
    [InlineData(1, false)]
    public void Worst_case_recovery_and_reserve_fit_into_the_window_to_the_second(int late, bool fits)
    {
        // 900 s + 120 s + 600 s
        _night.Units[0] = _night.Units[0] with { WindowClosesUtc = HandClock.Start.AddSeconds(1620) };
        _night.Clock.MoveOn(late);
        _night.GoesWell();
        if (fits)
        {
            Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
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
        _night.Link.Units =
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
        _night.Units[0] = _night.Units[0] with { FromFirmware = "unknown" };
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its firmware is '2.1', and the plan was made for 'unknown'.");
    }

    [Fact]
    public void Two_spellings_of_one_version_are_one_version()
    {
        _night.Link.Units = [Sample.Unit("v02.1.0")];
        _night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public void A_unit_that_is_at_its_target_is_left_alone()
    {
        _night.Link.Units = [Sample.Unit("3.0")];
        Refused(StageOutcome.Skipped, ProblemId.NothingToDo, "It runs 3.0 already; there is nothing to do.");
    }

    [Fact]
    public void A_unit_that_runs_what_nobody_approved_is_named()
    {
        _night.Link.Units = [Sample.Unit("3.1")];
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its firmware is '3.1', and the plan was made for '2.1'.");
    }

    // An earlier night may have left them so: nothing is to be loaded, and yet all is not well.
    [Theory]
    [InlineData("1", "It runs 3.0 already, but only 2 of the 3 loads that the plan counted have power. Look at them by hand, or plan again without them.")]
    [InlineData("2", "It runs 3.0 already, but only 2 of the 3 loads that the plan counted have power, and 0 of its 1 life-safety loads. Look at them by hand, or plan again without them.")]
    public void A_unit_that_is_at_its_target_with_loads_in_the_dark_is_named(string dark, string reason)
    {
        _night.Link.Units = [Sample.Unit("3.0").Dark(dark)];
        Refused(StageOutcome.Refused, ProblemId.LoadsNotBack, reason);
    }

    [Theory]
    [InlineData("2.5", "It runs 2.5 already; there is nothing to do.")]
    [InlineData("3.0", "It runs 3.0, which is newer than 2.5; there is nothing to do.")]
    public void The_first_image_has_nothing_to_do_where_it_or_the_second_runs(string firmware, string reason)
    {
        _night.Units[0] = _night.Units[0] with { ToFirmware = "2.5", Hop = 1, Hops = 2 };
        _night.Units.Add(OneNight.Planned(2) with { FromFirmware = "2.5", Hop = 2, Hops = 2 });
        _night.Link.Units = [Sample.Unit(firmware).Dark("1")];
        UnitResult first = new RefreshRun(_night.Options(new MemoryRecord())).Next()!;
        Assert.Equal((StageOutcome.Skipped, ProblemId.NothingToDo, reason), (first.Outcome, first.ProblemId, first.Reason));
    }

    [Fact]
    public void The_second_image_waits_until_the_first_one_runs()
    {
        _night.Units[0] = _night.Units[0] with { FromFirmware = "2.5", Hop = 2, Hops = 2 };
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its firmware is '2.1', and the plan was made for '2.5'.");
    }

    [Theory]
    [InlineData("2.1")]
    [InlineData("3.0")]
    public void A_controller_that_is_not_well_is_refused_even_at_its_target(string firmware)
    {
        _night.Link.Units = [Sample.Unit(firmware) with { Condition = ControllerCondition.Faulted, ConditionText = "brown smoke" }];
        Refused(StageOutcome.Refused, ProblemId.ControllerNotHealthy, "Its controller is Faulted; the device says 'brown smoke'.");
    }

    [Fact]
    public void A_reading_with_problems_is_refused_and_the_first_one_named()
    {
        _night.Link.Units = [Sample.Unit() with { ReadingProblems = 2 }];
        _night.Link.Problems.Add(new Problem(ProblemId.LineUnread, "Line 7 is somebody else's.", "Teach it.") { Target = "north-1/9" });
        _night.Link.Problems.Add(new Problem(ProblemId.LineUnread, "Line 9 is not read.", "Teach it.") { Target = "north-1/2" });
        Refused(StageOutcome.Refused, ProblemId.ReadingNotClean, "Its reading has 2 problems. The first thing that could not be read: Line 9 is not read.");
    }

    [Fact]
    public void A_reading_with_problems_that_the_plan_accepts_is_no_obstacle()
    {
        _night.Link.Units = [Sample.Unit() with { ReadingProblems = 2 }];
        _night.Units[0] = _night.Units[0] with { ReadingProblemsAccepted = true };
        _night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public void A_device_that_stays_busy_is_refused()
    {
        _night.Clock.Patience = TimeSpan.Zero;
        _night.Link.Busy.Enqueue("a refit is under way");
        Refused(StageOutcome.Refused, ProblemId.UnitBusy, "A refresh is under way on the switch: it says 'a refit is under way'.");
    }

    [Fact]
    public void A_device_that_was_busy_is_read_again_before_anything_is_believed_of_it()
    {
        _night.Link.Busy.Enqueue("a refit is under way");
        _night.Link.OnRead.Enqueue(() => { });
        _night.Link.OnRead.Enqueue(() => _night.Link.Units = [Sample.Unit("3.0")]);

        Refused(StageOutcome.Skipped, ProblemId.NothingToDo, "It runs 3.0 already; there is nothing to do.");

        Assert.Equal(["Busy?", "Read", "Busy?", "Read", "Dispose"], _night.Link.Calls);
    }

    [Fact]
    public void A_unit_that_is_being_refreshed_by_somebody_else_counts_as_busy()
    {
        _night.Clock.Patience = TimeSpan.Zero;
        _night.Link.Units = [Sample.Unit() with { Condition = ControllerCondition.Refreshing, ConditionText = "refit", Firmware = null }];
        Refused(StageOutcome.Refused, ProblemId.UnitBusy, "A refresh is under way on the switch: it says of the unit 'refit'.");
    }

    [Theory]
    [InlineData("bytes", ProblemId.ImageWrongSize)]
    [InlineData("digest", ProblemId.ImageWrongDigest)]
    [InlineData("missing", ProblemId.ImageNotFound)]
    public void An_image_that_is_not_the_approved_one_is_never_offered(string what, ProblemId id)
    {
        byte[] image = File.ReadAllBytes(_night.ImagePath);
        switch (what)
        {
            case "bytes":
                File.WriteAllBytes(_night.ImagePath, image[..^1]);
                break;
            case "digest":
                image[1234] ^= 1;
                File.WriteAllBytes(_night.ImagePath, image);
                break;
            default:
                File.Delete(_night.ImagePath);
                break;
        }

        Refused(StageOutcome.Refused, id, null);
        Assert.Empty(_night.Link.Calls);
    }

    [Fact]
    public void An_image_that_is_changed_while_the_question_is_open_is_never_offered()
    {
        _night.Answer = _ =>
        {
            byte[] image = File.ReadAllBytes(_night.ImagePath);
            image[7] ^= 1;
            File.WriteAllBytes(_night.ImagePath, image);
            return true;
        };

        Refused(StageOutcome.Refused, ProblemId.ImageWrongDigest, null);
    }

    [Fact]
    public void A_question_that_is_answered_too_late_does_not_start_a_unit()
    {
        _night.Answer = _ =>
        {
            _night.Clock.MoveOn(5 * 3600);
            return true;
        };

        Refused(StageOutcome.Refused, ProblemId.WindowClosed, "Its window closes 2026-12-02 03:30 UTC: 0 min are left, and the worst case with recovery and reserve needs 27.");
    }

    [Fact]
    public void After_a_question_that_took_its_time_the_unit_is_read_again()
    {
        _night.Answer = _ =>
        {
            _night.Clock.MoveOn(600);
            _night.Link.Units = [Sample.Unit() with { Serial = "T9" }];
            return true;
        };

        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its serial is 'T9', and the plan was made for 'S2'.");
        Assert.Equal(["Busy?", "Read", "Reopen", "Busy?", "Read", "Dispose"], _night.Link.Calls);
    }

    [Fact]
    public void Life_safety_loads_that_appeared_during_the_question_were_not_answered_for()
    {
        _night.Attended = true;
        _night.Answer = _ =>
        {
            _night.Clock.MoveOn(600);
            _night.Link.Units = [Sample.Unit().With(port => port with { LifeSafety = true })];
            return true;
        };

        UnitResult result = Refused(StageOutcome.Refused, ProblemId.LifeSafetyNotAccepted, null);
        Assert.EndsWith("There were 1 when the question was asked.", result.Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false, "1 life-safety load goes dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide. This run asks nobody, and nobody accepted them in the plan: help point A on north-1/2/2.")]
    [InlineData(true, "2 life-safety loads go dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide. This run asks nobody, and the plan accepts 1: help point A on north-1/2/2, camera on north-1/2/4.")]
    public void Life_safety_loads_that_nobody_accepted_are_not_put_in_the_dark(bool appeared, string reason)
    {
        if (appeared)
        {
            _night.Link.Units = [Sample.Unit().With(port => port with { LifeSafety = true }, "4")];
        }
        else
        {
            _night.Units[0] = _night.Units[0] with { LifeSafetyAcceptedBy = null };
        }

        Refused(StageOutcome.Refused, ProblemId.LifeSafetyNotAccepted, reason);
    }

    [Fact]
    public void A_person_who_answers_the_question_accepts_its_life_safety_loads()
    {
        _night.Attended = true;
        _night.Units[0] = _night.Units[0] with { LifeSafetyAcceptedBy = null };
        _night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public void A_switch_that_cannot_be_asked_is_refused_with_the_links_own_reason()
    {
        _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LinkSilent));
        Refused(StageOutcome.Refused, ProblemId.LinkSilent, "The device does not answer (LinkSilent).");
        Assert.Contains("Gate gate=Link; passed=false; problem=LinkSilent", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void WhatIf_looks_at_every_gate_and_touches_nothing()
    {
        _night.WhatIf = true;
        IReadOnlyList<string> before = Listing();
        MemoryRecord record = new();
        RefreshRun run = new(_night.Options(record) with { Serving = new ImageServing(System.Net.IPAddress.Loopback, 0, "127.0.0.1", _ => throw new InvalidOperationException("nothing is served")) });

        UnitResult result = run.Next()!;

        Assert.Null(run.Next());
        Assert.Equal((StageOutcome.Skipped, ProblemId.NotConfirmed, "Every gate is open; nothing was done."), (result.Outcome, result.ProblemId, result.Reason));
        Assert.Single(_night.Asked);
        Assert.Equal(["Busy?", "Read", "Dispose"], _night.Link.Calls);
        Assert.Equal(before, Listing());
        Assert.Equal("RunBegan Gate Gate Gate Gate Gate Gate Gate Gate Gate Gate Gate Passed RunEnded", string.Join(" ", record.Entries.Select(entry => entry.Kind)));
    }

    [Fact]
    public void WhatIf_names_everything_that_stands_in_the_way()
    {
        _night.WhatIf = true;
        _night.Units[0] = _night.Units[0] with { WindowOpensUtc = HandClock.Start.AddMinutes(1), LifeSafetyAcceptedBy = null };
        _night.Link.Units = [Sample.Unit() with { Serial = "T9" }];

        UnitResult result = new RefreshRun(_night.Options(new MemoryRecord())).Next()!;

        Assert.Equal((StageOutcome.Refused, ProblemId.UnitChanged), (result.Outcome, result.ProblemId));
        Assert.StartsWith("Its serial is 'T9', and the plan was made for 'S2'. Its window opens 2026-12-01 22:31 UTC, and it is 2026-12-01 22:30 UTC. 1 life-safety load goes dark.", result.Reason, StringComparison.Ordinal);
        Assert.Empty(_night.Asked);
    }

    [Fact]
    public void WhatIf_in_the_afternoon_says_that_the_night_would_do()
    {
        _night.WhatIf = true;
        _night.Units[0] = _night.Units[0] with { WindowOpensUtc = HandClock.Start.AddMinutes(1) };

        UnitResult result = new RefreshRun(_night.Options(new MemoryRecord())).Next()!;

        Assert.Equal((StageOutcome.Skipped, ProblemId.WindowClosed), (result.Outcome, result.ProblemId));
        Assert.Equal("Its window opens 2026-12-01 22:31 UTC, and it is 2026-12-01 22:30 UTC. Every other gate is open.", result.Reason);
    }

    // 15.4 W claims each, as no class was read: 30 W bring back one of three, in the order of priority the help point.
    [Fact]
    public void A_unit_whose_loads_do_not_all_come_back_is_not_put_in_the_dark()
    {
        _night.Link.Units = [Sample.Unit() with { BudgetWatts = 30 }];
        Refused(StageOutcome.Refused, ProblemId.LoadsRefused, "2 of 3 loads (ports 1, 4) do not come back within the unit's budget after the controller restarts. Nobody accepted that in the plan.");
        Assert.Contains("Gate gate=Budget; passed=false; problem=LoadsRefused", _night.Journal(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(2, true)]
    [InlineData(1, false)]
    public void The_plan_accepts_so_many_loads_that_do_not_come_back(int accepted, bool starts)
    {
        _night.Link.Units = [Sample.Unit() with { BudgetWatts = 30 }];
        _night.Units[0] = _night.Units[0] with { RefusedLoadsAccepted = accepted };
        _night.GoesWell();
        UnitResult result = Assert.Single(_night.Run());
        Assert.Equal(starts ? StageOutcome.Done : StageOutcome.Refused, result.Outcome);
        if (starts)
        {
            Assert.Contains("3 loads go dark (2 for good, as the plan accepts) for about", Assert.Single(_night.Asked).Action, StringComparison.Ordinal);
        }
        else
        {
            Assert.EndsWith(" The plan accepts 1.", result.Reason, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_switch_with_another_number_of_units_is_not_the_one_that_was_planned()
    {
        _night.Units[0] = _night.Units[0] with { SwitchUnits = 4 };
        _night.Link.Units = [Sample.Unit() with { SwitchUnits = 3 }];
        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its switch lists 3 units, and the plan was made for 4.");
    }

    [Fact]
    public void A_full_disk_is_told_before_anything_is_begun()
    {
        _night.FreeBytes = 49_999_999;
        Refused(StageOutcome.Refused, ProblemId.DiskTooFull, "49 MB are left on disk for journal and transcripts, and 50 are wanted.");
        Assert.Empty(_night.Link.Calls);
    }

    // The first of two that cover for each other keeps a load in the dark; so the second is left alone, though the run goes on.
    [Theory]
    [InlineData("radios", "RADIOS", true)]
    [InlineData("radios", "", false)]
    public void A_unit_is_not_begun_while_one_that_covers_for_it_is_not_back(string group, string other, bool refused)
    {
        _night.Units[0] = _night.Units[0] with { CoverageGroup = group };
        _night.Units.Add(OneNight.Planned(2, "3") with { CoverageGroup = other });
        _night.Link.Units = [Sample.Unit(), Sample.Unit("2.1", "3")];
        _night.Answer = report => report.Unit.Order == 1;
        _night.GoesWell();
        _night.Link.OnRead.Enqueue(() => { });
        _night.Link.OnRead.Enqueue(() =>
        {
            _night.Link.Units = [_night.Link.Units[0].Dark("4"), Sample.Unit("2.1", "3")];
            _night.Clock.Patience = TimeSpan.Zero;
        });
        IReadOnlyList<UnitResult> results = _night.Run();
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
        _night.SkipGates = ["budget", "Disk"];
        _night.FreeBytes = 1;
        _night.Link.Units = [Sample.Unit() with { BudgetWatts = 30 }];
        _night.GoesWell();
        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Contains("Gate gate=Budget; passed=false; skipped=true; problem=LoadsRefused; reason=2 of 3 loads", _night.Journal(), StringComparison.Ordinal);
        Assert.Contains("Gate gate=Disk; passed=false; skipped=true; problem=DiskTooFull", _night.Journal(), StringComparison.Ordinal);
        Assert.Contains("Budget (skipped)", Assert.Single(_night.Asked).Gates);
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

    private UnitResult Refused(StageOutcome outcome, ProblemId id, string? reason)
    {
        UnitResult result = Assert.Single(_night.Run());
        Assert.Equal((outcome, id), (result.Outcome, result.ProblemId));
        Assert.Equal(reason ?? result.Reason, result.Reason);
        Assert.All(_night.Link.Calls, call => Assert.Contains(call, Asking));
        Assert.Equal("RunBegan Passed RunEnded", _night.Kinds());
        Assert.Equal([], Listing().Where(line => line.EndsWith(".lock", StringComparison.Ordinal)));
        return result;
    }

    private List<string> Listing() =>
        [.. new DirectoryInfo(_night.Folder).EnumerateFileSystemInfos("*", SearchOption.AllDirectories).Select(file => $"{file.LastWriteTimeUtc:O} {file.FullName}").Order(StringComparer.Ordinal)];
}
