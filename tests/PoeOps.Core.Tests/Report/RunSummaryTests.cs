using PoeOps.Core.Tests.Files;
using PoeOps.Journal;
using PoeOps.Outages;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>What a plan and journals come to, on nights that can be reckoned on paper (<see cref="SampleNight"/>).</summary>
public sealed class RunSummaryTests : IDisposable
{
    private readonly SampleNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void The_three_answers_of_a_night()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        Assert.Equal("1 load ||desk, left on quay-1/2/3", Told(summary.StillDark));
        Assert.Equal("Yes, 1 of 2 |1 life-safety load was dark longer than typical, within the plan's worst case.|help point on quay-1/2/1: 240.5 s, planned 231 s at worst", Told(summary.LifeSafety));
        Assert.Equal("3 units |1 unit was not begun and can be run in a later window.|quay-1/2: degraded; islet-1/1: failed; rock-1/A: not planned. It is too long.", Told(summary.ByHand));
        Assert.Empty(summary.Problems);
        Assert.Equal((SampleNight.Night.AddSeconds(2502), 4, "harbour"), (summary.AsOfUtc, summary.NothingToDo, summary.PlanName));
    }

    [Fact]
    public void Each_unit_is_held_against_its_plan()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        Assert.Equal(
            ["quay-1/2 Degraded 3.8.0>3.10 3/2 dark 123 233 509", "quay-1/3 Done 3.8.0>3.10 1/1 dark 121 231 125", "islet-1/1 Failed 3.8.0>3.8 2/2 dark 122 232 ", "islet-1/2 NotBegun 3.8> 2/ dark 122 232 "],
            summary.Units.Select(unit => FormattableString.Invariant($"{unit.UnitId} {unit.State} {unit.FirmwareBefore}>{unit.FirmwareNow} {unit.Loads}/{unit.LoadsBack} dark {unit.PlannedDarkSecondsTypical} {unit.PlannedDarkSecondsWorst} {unit.RealDarkSeconds}")));
        Assert.Equal("The run ended before it: islet-1/1 ended Failed.", summary.Units[3].Reason);
        Assert.Equal(
            ["Gate 20 40 ", "Transfer 60 120 60", "Erase 10 20 12", "Program 90 180 100", "Reset 20 30 22", "Verify 5 10 15", "Recover  63 200"],
            summary.Units[0].Stages.Select(stage => FormattableString.Invariant($"{stage.Stage} {stage.TypicalSeconds} {stage.WorstSeconds} {stage.RealSeconds}")));
        Assert.Equal((SampleNight.Night.AddSeconds(5), SampleNight.Night.AddSeconds(30), SampleNight.Night.AddSeconds(91), SampleNight.Night.AddSeconds(601)), (summary.Units[0].GatesUtc, summary.Units[0].BeganUtc, summary.Units[0].DarkFromUtc, summary.Units[0].EndedUtc));
        Assert.Equal(["camera on quay-1/2/2 draws something else than before"], summary.Units[0].Notes);
        Assert.Contains("Priority of quay-1/2/2 is Low and was High", summary.Units[0].NotBack);
        Assert.Equal(["Done 1", "Degraded 1", "Failed 1", "NotBegun 1"], summary.States.OrderByDescending(state => state.State == UnitState.Done).ThenBy(state => state.State.ToString(), StringComparer.Ordinal).Select(state => $"{state.State} {state.Units}"));
    }

    // The start at 22:00 and 80 s until dark; really from 22:01:31 on.
    [Fact]
    public void Each_load_says_from_when_to_when()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        Assert.Equal(
            [
                "quay-1/2/1 Back 22:01:20-22:03:21 121 231 | 22:01:31-22:05:31 240.5 True True", "quay-1/2/2 Back 22:01:20-22:03:22 122 232 | 22:01:31-22:04:01 150 False True", "quay-1/2/3 Dark 22:01:20-22:03:23 123 233 | 22:01:31-  True True",
                "quay-1/3/1 Back 22:21:20-22:23:21 121 231 | 22:21:31-22:23:36 125 False True", "islet-1/1/1 NotDark 22:41:20-22:43:21 121 231 | -  False False", "islet-1/1/2 NotDark 22:41:20-22:43:22 122 232 | -  False False",
                "islet-1/2/1 NotDark 23:01:20-23:03:21 121 231 | -  False False", "islet-1/2/2 NotDark 23:01:20-23:03:22 122 232 | -  False False",
            ],
            summary.Loads.Select(load => FormattableString.Invariant($"{load.PortId} {load.State} {load.PlannedDarkFromUtc:HH:mm:ss}-{load.PlannedDarkUntilUtc:HH:mm:ss} {load.PlannedDarkSecondsTypical} {load.PlannedDarkSecondsWorst} | {load.RealDarkFromUtc:HH:mm:ss}-{load.RealDarkUntilUtc:HH:mm:ss} {load.RealDarkSeconds} {load.LongerThanWorst} {load.LongerThanTypical}")));
        Assert.Equal((240.5 + 150 + 125) / 60, summary.RealDarkLoadMinutes!.Value, 9);
    }

    // What Measure-PseOutage says of the same plan and journal.
    [Fact]
    public void Its_figures_are_those_of_the_outages()
    {
        JournalSource journal = _night.WholeNight().Write();
        RunSummary summary = RunSummary.Of(SampleNight.Plan, [journal]);
        IReadOnlyList<Outage> outages = PlanOutage.Of(SampleNight.Plan, new EarlierRuns(JournalSamples.Of(journal.Reading)));
        Assert.Equal(
            outages.SelectMany(outage => outage.LoadOutages).Select(load => (load.PortId.ToString(), load.DarkFromUtc, load.DarkUntilUtc, load.DarkSecondsTypical, load.DarkSecondsWorst, load.RealDarkSeconds)),
            summary.Loads.Select(load => (load.PortId, load.PlannedDarkFromUtc, load.PlannedDarkUntilUtc, load.PlannedDarkSecondsTypical, load.PlannedDarkSecondsWorst, load.RealDarkSeconds)));
        Assert.Equal(outages.Select(outage => (outage.RealDarkSeconds, outage.RealLoadsBack)), summary.Units.Select(unit => (unit.RealDarkSeconds, unit.LoadsBack)));
        Assert.Equal(outages.Sum(outage => outage.DarkLoadMinutes)!.Value, summary.PlannedDarkLoadMinutes!.Value, 9);
    }

    // Loads of 8.25, 9.25 and 10.25 W a second after the other; really the second 16 s after the reset (150 - 134) and the first 106.5 s.
    [Fact]
    public void The_restart_curve_is_planned_and_real()
    {
        RestartCurve curve = _night.WholeNight().Summary(SampleNight.Plan).Curves[0];
        Assert.Equal((60m, 46.2m, 27.75m, 0), (curve.BudgetWatts, curve.DemandWatts, curve.PlannedWatts, curve.RefusedLoads));
        Assert.Equal(["1 1 8.25", "2 2 17.5", "3 3 27.75"], curve.Planned.Select(step => FormattableString.Invariant($"{step.Seconds} {step.Port} {step.SumWatts:0.##}")));
        Assert.Equal(["16 2 9.25", "106.5 1 17.5"], curve.Real.Select(step => FormattableString.Invariant($"{step.Seconds} {step.Port} {step.SumWatts:0.##}")));
    }

    [Fact]
    public void A_plan_alone_says_what_is_to_be_done()
    {
        var plan = SampleNight.Plan with { Units = [.. SampleNight.Plan.Units.Select(unit => unit.Order != 1 ? unit : unit with { DarkLoads = [.. unit.DarkLoads.Take(2), unit.DarkLoads[2] with { Restart = RestartOutcome.Refused, BackSeconds = null, GrantedWatts = 0 }] })] };
        var summary = RunSummary.Of(plan, []);
        Assert.Equal(
            "8 loads, 2 windows |The longest is without power for 122 s, 232 s at worst, and out of service until it has started: 182 s, 292 s at worst (4 and 5 minutes in notices), each time. 1 of them is refused by the budget and stays dark."
            + "|stays dark: desk, left on quay-1/2/3; islet, Tue 2026-12-01 21:00 to Wed 2026-12-02 01:00 (UTC): 4 loads; quay, Tue 2026-12-01 21:00 to Wed 2026-12-02 01:00 (UTC): 4 loads",
            Told(summary.StillDark));
        Assert.Equal("2 life-safety loads |The longest is without power for 121 s, 231 s at worst. 2 loads: accepted by the harbour master.|help point on quay-1/2/1: 121 s, 231 s at worst; help point on quay-1/3/1: 121 s, 231 s at worst", Told(summary.LifeSafety));
        Assert.Equal("1 unit ||rock-1/A: It is too long.", Told(summary.ByHand));
        Assert.Equal((false, false, false, "rock-1/A"), (summary.StillDark.IsGood, summary.LifeSafety.IsGood, summary.ByHand.IsGood, Assert.Single(summary.ByHand.Units)));
        Assert.Equal((SampleNight.Night.AddHours(-10), 1, 17.5m), (summary.AsOfUtc, summary.Curves[0].RefusedLoads, summary.Curves[0].PlannedWatts));
        Assert.All(summary.Units, unit => Assert.Equal(UnitState.Planned, unit.State));
        Assert.All(summary.Loads, load => Assert.Equal((LoadState.Planned, null), (load.State, load.LongerThanWorst)));
        Assert.Contains("2 life-safety loads go dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.", summary.Cautions);
    }

    // A unit with two images, the second a week after the first: its load is dark twice, and not for a week. By hand: 80 s to dark, 120 s, 1 s.
    [Fact]
    public void A_load_that_is_dark_twice_says_so_with_both_times()
    {
        PlannedUnit first = SampleNight.Unit(1, "quay-1", "2", 1) with { Hops = 2, ToFirmware = "3.9" };
        PlannedUnit second = first with { Order = 2, Hop = 2, FromFirmware = "3.9", ToFirmware = "3.10", StartUtc = first.StartUtc.AddDays(7), EndUtc = first.EndUtc.AddDays(7), WindowOpensUtc = first.WindowOpensUtc.AddDays(7), WindowClosesUtc = first.WindowClosesUtc.AddDays(7) };
        var summary = RunSummary.Of(SampleNight.Plan with { Units = [first, second] }, []);
        LoadSummary load = Assert.Single(summary.Loads);
        Assert.Equal(["1 12-01 22:01:20-22:03:21 121 231", "2 12-08 22:01:20-22:03:21 121 231"], load.Times.Select(time => FormattableString.Invariant($"{time.Number} {time.PlannedFromUtc:MM-dd HH:mm:ss}-{time.PlannedUntilUtc:HH:mm:ss} {time.PlannedSecondsTypical} {time.PlannedSecondsWorst}")));
        Assert.Equal(242, load.PlannedDarkSecondsTypical);
        Assert.Equal(["2026-12-01 22:01:20 (1 of 2)|2026-12-01 22:03:21|121|231", "2026-12-08 22:01:20 (2 of 2)|2026-12-08 22:03:21|121|231"], new AngleSharp.Html.Parser.HtmlParser().ParseDocument(ReportHtml.Of(summary)).QuerySelectorAll("#loads tbody tr").Select(row => string.Join("|", row.Children.Skip(5).Select(cell => cell.TextContent))));
        Assert.Equal(2, ReportCsv.Of(summary).Split("\r\n").Count(row => row.StartsWith("LoadTime,", StringComparison.Ordinal)));
        Assert.All(RunSummary.Of(SampleNight.Plan, []).Loads, one => Assert.Empty(one.Times));
    }

    [Fact]
    public void A_journal_alone_says_what_it_knows()
    {
        RunSummary summary = _night.WholeNight().Summary(null);
        Assert.Equal("1 load ||load on quay-1/2/3", Told(summary.StillDark));
        Assert.Equal("Not known |2 life-safety loads went dark, and without the plan nobody knows how long was planned.|", Told(summary.LifeSafety));
        Assert.Equal("2 units |1 unit was not begun and can be run in a later window.|quay-1/2: degraded; islet-1/1: failed", Told(summary.ByHand));
        Assert.Equal(["quay-1/2", "quay-1/3", "islet-1/1", "islet-1/2"], summary.Units.Select(unit => unit.UnitId));
        Assert.Equal(("16 2 6.5", false), (FormattableString.Invariant($"{summary.Curves[0].Real[0].Seconds} {summary.Curves[0].Real[0].Port} {summary.Curves[0].Real[0].SumWatts}"), summary.Curves[0].WattsAreGranted));
        Assert.Equal((false, 3), (Assert.Single(summary.Windows).IsPlanned, summary.Windows[0].Units.Count));
    }

    [Theory]
    [InlineData(nameof(StageOutcome.Detached), UnitState.Detached)]
    [InlineData(nameof(StageOutcome.Uncertain), UnitState.Uncertain)]
    [InlineData(null, UnitState.Open)]
    public void Of_a_unit_whose_end_nobody_knows_nothing_is_said_to_be_back(string? outcome, UnitState state)
    {
        _night.Run().Begin("quay-1/2", 0, 1, 3).Add(91, RunEntryKind.StageBegan, "quay-1/2", ("stage", "Erase"));
        if (outcome is not null)
        {
            _night.Add(300, RunEntryKind.End, "quay-1/2", ("outcome", outcome), ("problem", "RunDetached"), ("reason", "It is at work."), ("loads", 3), ("loadsBack", 0));
        }

        RunSummary summary = _night.Summary(SampleNight.Plan);
        Assert.Equal((state, (int?)null), (summary.Units[0].State, summary.Units[0].LoadsBack));
        Assert.Equal("Not known |Nobody knows of the 3 loads of 1 unit.|not known: 3 loads of quay-1/2", Told(summary.StillDark));
        Assert.Equal("Not known |Of 1 life-safety load nobody knows how long.|", Told(summary.LifeSafety));
        Assert.StartsWith("2 units |3 units were not begun and can be run in a later window.|quay-1/2: ", Told(summary.ByHand), StringComparison.Ordinal);
        Assert.Equal("The run has not come to it.", summary.Units[1].Reason);
    }

    // The second run asks and finds everything back but the third load; how long the others were dark nobody knows.
    [Fact]
    public void A_late_end_says_how_it_came_out_and_not_how_long_it_took()
    {
        _night.Run().Begin("quay-1/2", 0, 1, 3).Add(91, RunEntryKind.StageBegan, "quay-1/2", ("stage", "Erase"));
        _night.Run(at: 40_000).Add(40_010, RunEntryKind.Note, "quay-1/2", ("text", "The unit is asked what became of it."))
            .Add(40_020, RunEntryKind.StageBegan, "quay-1/2", ("stage", "Verify")).Add(40_030, RunEntryKind.StageEnded, "quay-1/2", ("stage", "Verify"), ("seconds", 10))
            .Add(40_040, RunEntryKind.End, "quay-1/2", ("outcome", "Degraded"), ("problem", "LoadsNotBack"), ("reason", "Late."), ("firmware", "3.10"), ("loads", 3), ("loadsBack", 2), ("notBack", new[] { "desk, left on quay-1/2/3 has no power" }), ("order", 1), ("late", true));
        RunSummary summary = _night.Summary(SampleNight.Plan);
        Assert.Equal((UnitState.Degraded, true, "3.10"), (summary.Units[0].State, summary.Units[0].Late, summary.Units[0].FirmwareNow));
        Assert.Null(summary.Units[0].Stages[5].RealSeconds);
        Assert.Equal(["NotKnown ", "NotKnown ", "Dark "], summary.Loads.Take(3).Select(load => $"{load.State} {load.RealDarkSeconds}"));
        Assert.Equal("1 load ||desk, left on quay-1/2/3", Told(summary.StillDark));
        Assert.Equal(2, summary.Journals[0].Runs.Count);
    }

    [Fact]
    public void A_unit_that_was_begun_again_tells_of_its_last_attempt_and_says_so()
    {
        _night.Run().Refresh("quay-1/3", 0, 2, 1, 120, ("1", null))
            .Add(400, RunEntryKind.End, "quay-1/3", ("outcome", "Failed"), ("reason", "It failed."), ("firmware", "3.8"), ("loads", 1), ("loadsBack", 0));
        _night.Run(at: 4000).Refresh("quay-1/3", 4010, 2, 1, 120, ("1", 130))
            .Add(4500, RunEntryKind.End, "quay-1/3", ("outcome", "Done"), ("reason", "It runs 3.10."), ("firmware", "3.10"), ("loads", 1), ("loadsBack", 1), ("darkSeconds", 130));
        UnitSummary unit = _night.Summary(SampleNight.Plan).Units[1];
        Assert.Equal((UnitState.Done, 2, "It runs 3.10. It was begun 2 times; times are those of the last."), (unit.State, unit.Attempts, unit.Reason));
    }

    // Two images: the first fails, so that the second is refused; a refusal does not say of which image it was.
    [Fact]
    public void A_refusal_after_a_failed_image_is_that_of_the_next_image()
    {
        var plan = SampleNight.Plan with { Units = [SampleNight.Unit(1, "quay-1", "2", 1) with { Hops = 2, ToFirmware = "3.9" }, SampleNight.Unit(2, "quay-1", "2", 1) with { Hop = 2, Hops = 2, FromFirmware = "3.9" }] };
        _night.Run().Add(30, RunEntryKind.Begin, "quay-1/2", ("from", "3.8"), ("to", "3.9"), ("loads", 1), ("order", 1))
            .Add(90, RunEntryKind.End, "quay-1/2", ("outcome", "Failed"), ("reason", "No."), ("firmware", "3.8"), ("loads", 1), ("loadsBack", 1))
            .Add(95, RunEntryKind.Gate, "quay-1/2", ("gate", "ImageBefore"), ("passed", false)).Add(96, RunEntryKind.Passed, "quay-1/2", ("outcome", "Refused"), ("problem", "RefreshFailed"), ("reason", "The image before it, 3.9, ended Failed on this unit."));
        RunSummary summary = _night.Summary(plan);
        Assert.Equal(["3.9 Failed No.", "3.10 Refused The image before it, 3.9, ended Failed on this unit."], summary.Units.Select(unit => $"{unit.ToFirmware} {unit.State} {unit.Reason}"));
        Assert.Equal("2 units ||quay-1/2: failed; rock-1/A: not planned. It is too long.", Told(summary.ByHand));
    }

    [Fact]
    public void A_run_under_WhatIf_did_nothing()
    {
        _night.Run(whatIf: true).Add(5, RunEntryKind.Passed, "quay-1/2", ("outcome", "Skipped"), ("problem", "NotConfirmed"), ("reason", "Every gate is open; nothing was done."));
        RunSummary summary = _night.Summary(SampleNight.Plan);
        Assert.All(summary.Units, unit => Assert.Equal(UnitState.NotBegun, unit.State));
        Assert.Empty(summary.Journals[0].Runs);
    }

    [Fact]
    public void A_run_of_another_plan_is_told_for_one()
    {
        RunSummary summary = _night.Run("cafe").Summary(SampleNight.Plan);
        Problem problem = Assert.Single(summary.Problems);
        Assert.Equal(ProblemId.ReportPlanDiffers, problem.Id);
        Assert.Equal($"The run that began in line 1 of '{_night.Path}' was made from a plan with the fingerprint 'cafe', and the plan of this report has 'f00d'.", problem.Sentence);
    }

    [Fact]
    public void A_journal_that_was_changed_cut_or_is_being_written_says_so()
    {
        JournalSource whole = _night.WholeNight().Write();
        Assert.Equal((true, "The chain holds: every line is there, unchanged and in order.", whole.Reading.Entries[^1].Sha256), (Evidence().ChainHolds, Evidence().ChainState, Evidence().LastDigest));

        string[] lines = File.ReadAllLines(_night.Path);
        Rewrite([.. lines.Take(lines.Length - 1)]);
        Assert.Equal("The chain holds as far as it goes, and the run that began in line 1 has not ended: it is under way, it broke off, or lines at the end were taken away.", Evidence().ChainState);

        Rewrite([.. lines.Select((line, at) => at == 3 ? line.Replace("Transfer", "Erase", StringComparison.Ordinal) : line)]);
        Assert.Equal("The chain does not hold: Line 4 was changed after it was written: its digest does not fit it.", Evidence().ChainState);
        Assert.Equal([ProblemId.JournalChainBroken], RunSummary.Of(SampleNight.Plan, [JournalSource.Read(_night.Path)]).Problems.Select(problem => problem.Id));

        File.WriteAllText(_night.Path, string.Join("\n", lines.Take(5)) + "\n" + lines[5][..40]);
        Assert.Equal("The chain does not hold: The last line was not written to its end.", Evidence().ChainState);
        Assert.Equal([ProblemId.JournalTorn], RunSummary.Of(null, [JournalSource.Read(_night.Path)]).Problems.Select(problem => problem.Id));
    }

    // A transcript is taken from beside the journal, wherever the journal says that it lay; SHA-256 of "abc" is that of FIPS 180-2, appendix B.1.
    [Fact]
    public void Evidence_names_images_and_transcripts_by_their_digests()
    {
        File.WriteAllText(Path.Combine(_night.Folder, "quay-1.2.transcript.txt"), "abc");
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        Assert.Equal(["/elsewhere/quay-1.2.transcript.txt 3 ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "/elsewhere/quay-1.3.transcript.txt  ", "/elsewhere/islet-1.1.transcript.txt  "], summary.Transcripts.Select(file => $"{file.Path} {file.Bytes} {file.Sha256}"));
        Assert.Equal(("a.img", 3L, 3, false), (summary.Images[0].File, summary.Images[0].Bytes, summary.Images[0].Units, summary.Images[0].Differs));
        var other = SampleNight.Plan with { Units = [.. SampleNight.Plan.Units.Select(unit => unit with { ImageSha256 = new string('b', 64) })] };
        Assert.True(RunSummary.Of(other, [JournalSource.Read(_night.Path)]).Images[0].Differs);
    }

    [Fact]
    public void A_rehearsal_and_the_limits_of_a_report_are_among_the_cautions()
    {
        _night.Add(0, RunEntryKind.RunBegan, "", ("fingerprint", "f00d"), ("speed", 120));
        RunSummary summary = _night.Summary(SampleNight.Plan);
        Assert.Contains("'night.journal.jsonl' is the journal of a rehearsal at speed 120: the times that are learned from it are those of simulated devices.", summary.Cautions);
        Assert.Contains(summary.Cautions, caution => caution.Contains("takes the place of no inspection, permit or record that local codes ask for", StringComparison.Ordinal));
    }

    // A journal that was written by hand may say any time and any number.
    [Fact]
    public void Times_and_numbers_without_measure_do_no_harm()
    {
        _night.Run().Refresh("quay-1/2", 0, 1, 3, 134, ("1", 1e300), ("2", -5), ("3", 1e14)).Add(200_000_000_000, RunEntryKind.End, "quay-1/2", ("outcome", "Done"), ("loads", 3), ("loadsBack", 3), ("darkSeconds", 1e300));
        RunSummary summary = _night.Summary(SampleNight.Plan);
        Assert.All(Enum.GetValues<ReportFormat>(), format => Assert.NotEmpty(ReportFile.Text(summary, format)));
    }

    private static string Told(Answer answer) => $"{answer.Verdict} |{answer.Sentence}|{string.Join("; ", answer.Items)}";

    private JournalSummary Evidence() => RunSummary.Of(SampleNight.Plan, [JournalSource.Read(_night.Path)]).Journals[0];

    private void Rewrite(string[] lines) => File.WriteAllText(_night.Path, string.Join("\n", lines) + "\n");
}
