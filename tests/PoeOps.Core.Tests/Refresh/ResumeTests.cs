using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A run that broke off is gone on with: its journal says what is open, the unit says what became of it, and nothing is loaded twice.</summary>
public sealed class ResumeTests : ResumeBench
{
    [Fact]
    public void A_unit_that_still_runs_the_old_version_has_failed_and_is_taken_up_again()
    {
        BreakOff(after: "StageBegan stage=Transfer");
        Night.Clock.Patience = TimeSpan.Zero;
        Night.Link.OnRead.Enqueue(() => { });
        Night.Link.OnRead.Enqueue(() => Night.Clock.Patience = TimeSpan.FromHours(1));
        Night.GoesWell();

        List<UnitResult> results = Resume(out RefreshRun run);

        Assert.Equal(
            ["Failed VersionNotReached True The run had broken off in Transfer. It still runs 2.1 and is healthy.", "Done  False It runs 3.0, and everything is back."],
            results.Select(result => $"{result.Outcome} {result.ProblemId} {result.Late} {result.Reason}"));
        Assert.Null(run.StoppedBecause);
        Assert.Equal(1, Starts);

        // The fresh reading of the gates stands between the answer and the command.
        Assert.Equal(["Read", "Busy?", "Dispose", "Busy?", "Read", "Start 2 br-3.0.img"], Night.Link.Calls.Take(6));
    }

    [Fact]
    public void A_run_that_may_go_on_after_failures_leaves_the_switch_of_an_uncertain_unit_alone()
    {
        Night.Units.Add(OneNight.Planned(2, "3"));
        Night.Units.Add(OneNight.Planned(3, "2") with { Switch = "east-1" });
        BreakOff(after: "StageBegan stage=Program");
        Night.Link.Units = [Sample.Unit("2.7"), Sample.Unit(unit: "3")];
        Night.Clock.Patience = TimeSpan.Zero;
        var other = new ScriptedLink { Units = [Sample.Unit("3.0")] };

        using JournalFile journal = JournalFile.Open(Night.JournalPath);
        RefreshRun run = new(Night.Options(journal) with { Past = Past(), ContinueOnFailure = true, Open = unit => unit.Switch == "east-1" ? other : Night.Link });

        Assert.Equal(
            ["north-1/2 Uncertain VersionNotReached", "north-1/3 Refused VersionNotReached", "east-1/2 Skipped NothingToDo"],
            All(run).Select(result => $"{result.UnitId} {result.Outcome} {result.ProblemId}"));
    }

    // Nothing that waiting could mend: it is told at once, and asked again by the run that may reach the switch.
    [Fact]
    public void A_unit_whose_switch_must_not_be_reached_stays_to_be_asked()
    {
        BreakOff(after: "StageBegan stage=Program");
        Night.Clock.Patience = TimeSpan.Zero;
        int opened = 0;
        var refusal = new Problem(ProblemId.ClearTextRefused, "The link is Telnet.", "Use SSH.");

        using (JournalFile journal = JournalFile.Open(Night.JournalPath))
        {
            RefreshRun run = new(Night.Options(journal) with { Past = Past(), LinkRefusal = _ => refusal, Open = _ => ++opened > 0 ? throw new PoeOpsException(refusal) : Night.Link });
            Assert.Equal(
                ["Uncertain ClearTextRefused The run had broken off in Program. It could not be asked: The link is Telnet. Look at the unit by hand before anything is sent to it again."],
                All(run).Select(result => $"{result.Outcome} {result.ProblemId} {result.Reason}"));
        }

        Assert.Equal(1, opened);
        Assert.True(Past().Units[1].IsOpen);
    }

    [Fact]
    public void Wherever_the_journal_broke_off_every_unit_ends_at_its_target_and_none_is_loaded_twice()
    {
        // Waiting for a unit that does nothing takes this clock through many nights.
        Night.Units[0] = Night.Units[0] with { WindowClosesUtc = HandClock.Start.AddYears(90) };
        Night.Units.Add(OneNight.Planned(2, "3") with { WindowClosesUtc = HandClock.Start.AddYears(90) });
        Night.Link.Units = [Sample.Unit(), Sample.Unit(unit: "3")];
        Loads();
        Assert.Equal(["Done", "Done"], Night.Run().Select(result => result.Outcome.ToString()));
        string[] lines = File.ReadAllLines(Night.JournalPath);
        string[] kinds = [.. JournalReplay.Read(Night.JournalPath).Entries.Select(entry => $"{entry.Kind} {entry.Unit} {entry.Text}")];

        for (int left = 1; left <= lines.Length; left++)
        {
            File.WriteAllText(Night.JournalPath, string.Join("\n", lines[..left]) + "\n{\"line\":");
            string[] done = kinds[..left];
            int reached = done.Count(kind => kind.StartsWith("StageBegan", StringComparison.Ordinal) && kind.Contains("Verify", StringComparison.Ordinal));
            Night.Link.Units = [Sample.Unit(reached > 0 ? "3.0" : "2.1"), Sample.Unit(reached > 1 ? "3.0" : "2.1", "3")];
            Night.Link.Calls.Clear();
            Night.Clock.Patience = TimeSpan.FromMilliseconds(20);
            Loads();

            List<UnitResult> results = Resume(out RefreshRun run);

            Assert.Equal(["3.0", "3.0"], Night.Link.Units.Select(unit => unit.Firmware));
            Assert.Equal(2 - reached, Starts);
            Assert.Null(run.StoppedBecause);
            Assert.All(results.Where(result => !result.Late), result => Assert.Equal(StageOutcome.Done, result.Outcome));
            JournalReading reading = JournalReplay.Read(Night.JournalPath);
            Assert.True(reading.ChainHolds);
            Assert.Empty(reading.OpenUnits);
            Assert.Empty(Resume(out _));
        }
    }

    [Fact]
    public void A_unit_that_failed_is_left_and_one_that_is_done_is_not()
    {
        Night.Units.Add(OneNight.Planned(2, "3"));
        Night.Link.Units = [Sample.Unit(), Sample.Unit(unit: "3")];
        Loads();
        Night.Link.OnStart = order => Night.Link.Say(LinkEventKind.Failed, "no good");
        Assert.Equal(StageOutcome.Failed, Assert.Single(Night.Run()).Outcome);
        Night.Link.Calls.Clear();
        Loads();

        Assert.Equal(["north-1/2 Done False", "north-1/3 Done False"], Resume(out _).Select(result => $"{result.UnitId} {result.Outcome} {result.Late}"));
        Assert.Empty(Resume(out RefreshRun run));
        Assert.Equal(0, run.TakenUp);
        Assert.Equal(2, Starts);
    }

    [Fact]
    public void Before_the_next_image_of_a_unit_its_loads_are_looked_for_again()
    {
        Night.Units[0] = Night.Units[0] with { ToFirmware = "2.5", Hop = 1, Hops = 2 };
        Night.Units.Add(OneNight.Planned(2) with { FromFirmware = "2.5", Hop = 2, Hops = 2, WindowClosesUtc = HandClock.Start.AddYears(9) });
        Night.Link.Say(LinkEventKind.Succeeded, "all done", before: () =>
        {
            Night.Becomes("2.5");
            Night.Clock.Patience = TimeSpan.FromMilliseconds(50);
            Night.Link.Units = [.. Night.Link.Units.Select(unit => unit.Dark("2"))];
        });
        Assert.Equal([StageOutcome.Degraded, StageOutcome.Refused], Night.Run().Select(result => result.Outcome));

        Assert.Equal(
            [
                "Degraded It runs 2.5, but not everything is back: help point A on north-1/2/2 (life-safety) has no power. It had ended Degraded. This was found out late.",
                "Refused The image before it, 2.5, ended Degraded on this unit.",
            ],
            Resume(out _).Select(result => $"{result.Outcome} {result.Reason}"));

        Night.Link.Units = [Sample.Unit("2.5")];
        Night.Clock.Patience = TimeSpan.FromHours(1);
        Night.GoesWell();
        Assert.Equal(["1 Done", "2 Done"], Resume(out _).Select(result => $"{result.Order} {result.Outcome}"));
    }

    [Fact]
    public void WhatIf_asks_and_writes_nothing()
    {
        BreakOff(after: "StageBegan stage=Program");
        byte[] before = File.ReadAllBytes(Night.JournalPath);
        Night.Clock.Patience = TimeSpan.Zero;
        Night.Link.Units = [Sample.Unit("3.0").Dark("2")];
        RunOptions options = Night.Options(new MemoryRecord()) with { WhatIf = true, Past = Past() };

        UnitResult result = Assert.Single(All(new RefreshRun(options)));
        Assert.Equal("Skipped The run had broken off in Program. It runs 3.0 now; the run that goes on looks whether everything is back.", $"{result.Outcome} {result.Reason}");

        Night.Link.Units = [Sample.Unit()];
        Assert.Equal(
            ["Skipped The run had broken off in Program. It still runs 2.1 and is healthy. The run that goes on takes it up again.", "Skipped Every gate is open; nothing was done."],
            All(new RefreshRun(options)).Select(one => $"{one.Outcome} {one.Reason}"));
        Assert.Equal(before, File.ReadAllBytes(Night.JournalPath));
        Assert.Equal(0, Starts);
    }
}
