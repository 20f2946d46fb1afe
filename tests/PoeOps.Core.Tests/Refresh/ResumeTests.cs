using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A run that broke off is gone on with: its journal says what is open, the unit says what became of it, and nothing is loaded twice.</summary>
public sealed class ResumeTests : IDisposable
{
    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_unit_that_came_through_meanwhile_is_done_late_and_nothing_is_sent_to_it()
    {
        BreakOff(after: "StageBegan stage=Program");
        _night.Link.Units = [Sample.Unit("3.0")];

        UnitResult result = Assert.Single(Resume(out RefreshRun run));

        Assert.Equal((StageOutcome.Done, null, true, "3.0", 3, 3), (result.Outcome, result.ProblemId, result.Late, result.FirmwareNow, result.Loads, result.LoadsBack));
        Assert.Equal("It runs 3.0, and everything is back. The run had broken off in Program. This was found out late.", result.Reason);
        Assert.Null(run.StoppedBecause);
        Assert.Equal(["Read", "Read", "Read", "Dispose"], _night.Link.Calls);
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

    [Fact]
    public void A_unit_that_still_runs_the_old_version_has_failed_and_is_taken_up_again()
    {
        BreakOff(after: "StageBegan stage=Transfer");
        _night.Clock.Patience = TimeSpan.Zero;
        _night.Link.OnRead.Enqueue(() => { });
        _night.Link.OnRead.Enqueue(() => _night.Clock.Patience = TimeSpan.FromHours(1));
        _night.GoesWell();

        List<UnitResult> results = Resume(out RefreshRun run);

        Assert.Equal(
            ["Failed VersionNotReached True The run had broken off in Transfer. It still runs 2.1 and is healthy.", "Done  False It runs 3.0, and everything is back."],
            results.Select(result => $"{result.Outcome} {result.ProblemId} {result.Late} {result.Reason}"));
        Assert.Null(run.StoppedBecause);
        Assert.Equal(1, Starts);

        // The fresh reading of the gates stands between the answer and the command.
        Assert.Equal(["Read", "Busy?", "Dispose", "Busy?", "Read", "Start 2 br-3.0.img"], _night.Link.Calls.Take(6));
    }

    [Theory]
    [InlineData("2.7", "Healthy", ProblemId.VersionNotReached, "It was last seen to run '2.7' and to be Healthy ('well').")]
    [InlineData("3.0", "Faulted", ProblemId.OutcomeUncertain, "It was last seen to run '3.0' and to be Faulted ('well').")]
    [InlineData("2.1", "Refreshing", ProblemId.OutcomeUncertain, "It was last seen to run '2.1' and to be Refreshing ('well').")]
    [InlineData(null, "Healthy", ProblemId.OutcomeUncertain, "It was last seen to run 'nothing readable' and to be Healthy ('well').")]
    public void Anything_else_is_uncertain_and_the_run_stops(string? runs, string condition, ProblemId id, string seen)
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        BreakOff(after: "StageBegan stage=Program");
        _night.Link.Units = [Sample.Unit() with { Firmware = runs, Condition = Enum.Parse<ControllerCondition>(condition) }, Sample.Unit(unit: "3")];
        _night.Clock.Patience = TimeSpan.Zero;

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
        _night.Clock.Patience = TimeSpan.FromHours(1);
        _night.Link.Units = [Sample.Unit("3.0"), Sample.Unit("3.0", "3")];

        List<UnitResult> results = Resume(out _);

        Assert.Equal(
            ["north-1/2 Done It runs 3.0, and everything is back. It had ended Uncertain. This was found out late.", "north-1/3 Skipped It runs 3.0 already; there is nothing to do."],
            results.Select(result => $"{result.UnitId} {result.Outcome} {result.Reason}"));
    }

    [Fact]
    public void A_switch_that_cannot_be_reached_leaves_its_unit_uncertain()
    {
        BreakOff(after: "StageBegan stage=Program");

        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        RefreshRun run = new(_night.Options(journal) with { Past = Past(), Open = _ => throw new PoeOpsException(new Problem(ProblemId.LogInRefused, "The device refused the log-in.", "Look at it.")) });
        UnitResult result = run.Next()!;

        Assert.Equal((StageOutcome.Uncertain, ProblemId.LogInRefused), (result.Outcome, result.ProblemId));
        Assert.Equal("The run had broken off in Program. It could not be asked: The device refused the log-in. Look at the unit by hand before anything is sent to it again.", result.Reason);
        Assert.Null(run.Next());
        Assert.Equal("north-1/2 ended Uncertain", run.StoppedBecause);
    }

    [Fact]
    public void A_run_that_may_go_on_after_failures_leaves_the_switch_of_an_uncertain_unit_alone()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Units.Add(OneNight.Planned(3, "2") with { Switch = "east-1" });
        BreakOff(after: "StageBegan stage=Program");
        _night.Link.Units = [Sample.Unit("2.7"), Sample.Unit(unit: "3")];
        _night.Clock.Patience = TimeSpan.Zero;
        var other = new ScriptedLink { Units = [Sample.Unit("3.0")] };

        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        RefreshRun run = new(_night.Options(journal) with { Past = Past(), ContinueOnFailure = true, Open = unit => unit.Switch == "east-1" ? other : _night.Link });

        Assert.Equal(
            ["north-1/2 Uncertain VersionNotReached", "north-1/3 Refused VersionNotReached", "east-1/2 Skipped NothingToDo"],
            All(run).Select(result => $"{result.UnitId} {result.Outcome} {result.ProblemId}"));
    }

    [Fact]
    public void A_console_that_is_out_of_reach_for_a_while_is_waited_for()
    {
        BreakOff(after: "StageBegan stage=Program");
        _night.Link.Units = [Sample.Unit("3.0")];
        int attempts = 0;

        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        RefreshRun run = new(_night.Options(journal) with
        {
            Past = Past(),
            Open = _ => ++attempts < 4 ? throw new PoeOpsException(new Problem(ProblemId.ConnectFailed, "Nobody answers.", "Look at it.")) : _night.Link,
        });

        Assert.Equal((StageOutcome.Done, 4), (run.Next()!.Outcome, attempts));
    }

    [Fact]
    public void Loads_and_settings_are_held_against_what_they_were_before_the_unit_was_begun()
    {
        BreakOff(after: "StageBegan stage=Reset");
        _night.Link.Units = [Sample.Unit("3.0").Dark("2").With(port => port with { Priority = PortPriority.Low, LimitWatts = null }, "1", "4")];
        _night.Link.OnPutBack = (port, property) => _night.Link.Units = [.. _night.Link.Units.Select(unit => unit.With(now => property == "Priority" ? now with { Priority = port.Priority } : now with { LimitWatts = port.LimitWatts }, port.Name))];
        _night.Clock.Patience = TimeSpan.FromMilliseconds(50);

        UnitResult result = Assert.Single(Resume(out _));

        Assert.Equal((StageOutcome.Degraded, ProblemId.LoadsNotBack, 3, 2), (result.Outcome, result.ProblemId, result.Loads, result.LoadsBack));
        Assert.Equal("It runs 3.0, but not everything is back: help point A on north-1/2/2 (life-safety) has no power. The run had broken off in Reset. This was found out late.", result.Reason);
        Assert.Equal(["PutBack 1 LimitWatts", "PutBack 4 Priority"], _night.Link.Calls.Where(call => call.StartsWith("PutBack", StringComparison.Ordinal)));
    }

    [Fact]
    public void Wherever_the_journal_broke_off_every_unit_ends_at_its_target_and_none_is_loaded_twice()
    {
        // Waiting for a unit that does nothing takes this clock through many nights.
        _night.Units[0] = _night.Units[0] with { WindowClosesUtc = HandClock.Start.AddYears(90) };
        _night.Units.Add(OneNight.Planned(2, "3") with { WindowClosesUtc = HandClock.Start.AddYears(90) });
        _night.Link.Units = [Sample.Unit(), Sample.Unit(unit: "3")];
        Loads();
        Assert.Equal(["Done", "Done"], _night.Run().Select(result => result.Outcome.ToString()));
        string[] lines = File.ReadAllLines(_night.JournalPath);
        string[] kinds = [.. JournalReplay.Read(_night.JournalPath).Entries.Select(entry => $"{entry.Kind} {entry.Unit} {entry.Text}")];

        for (int left = 1; left <= lines.Length; left++)
        {
            File.WriteAllText(_night.JournalPath, string.Join("\n", lines[..left]) + "\n{\"line\":");
            string[] done = kinds[..left];
            int reached = done.Count(kind => kind.StartsWith("StageBegan", StringComparison.Ordinal) && kind.Contains("Verify", StringComparison.Ordinal));
            _night.Link.Units = [Sample.Unit(reached > 0 ? "3.0" : "2.1"), Sample.Unit(reached > 1 ? "3.0" : "2.1", "3")];
            _night.Link.Calls.Clear();
            _night.Clock.Patience = TimeSpan.FromMilliseconds(20);
            Loads();

            List<UnitResult> results = Resume(out RefreshRun run);

            Assert.Equal(["3.0", "3.0"], _night.Link.Units.Select(unit => unit.Firmware));
            Assert.Equal(2 - reached, Starts);
            Assert.Null(run.StoppedBecause);
            Assert.All(results.Where(result => !result.Late), result => Assert.Equal(StageOutcome.Done, result.Outcome));
            JournalReading reading = JournalReplay.Read(_night.JournalPath);
            Assert.True(reading.ChainHolds);
            Assert.Empty(reading.OpenUnits);
            Assert.Empty(Resume(out _));
        }
    }

    [Fact]
    public void A_unit_that_failed_is_left_and_one_that_is_done_is_not()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Link.Units = [Sample.Unit(), Sample.Unit(unit: "3")];
        Loads();
        _night.Link.OnStart = order => _night.Link.Say(LinkEventKind.Failed, "no good");
        Assert.Equal(StageOutcome.Failed, Assert.Single(_night.Run()).Outcome);
        _night.Link.Calls.Clear();
        Loads();

        Assert.Equal(["north-1/2 Done False", "north-1/3 Done False"], Resume(out _).Select(result => $"{result.UnitId} {result.Outcome} {result.Late}"));
        Assert.Empty(Resume(out RefreshRun run));
        Assert.Equal(0, run.TakenUp);
        Assert.Equal(2, Starts);
    }

    [Fact]
    public void Before_the_next_image_of_a_unit_its_loads_are_looked_for_again()
    {
        _night.Units[0] = _night.Units[0] with { ToFirmware = "2.5", Hop = 1, Hops = 2 };
        _night.Units.Add(OneNight.Planned(2) with { FromFirmware = "2.5", Hop = 2, Hops = 2, WindowClosesUtc = HandClock.Start.AddYears(9) });
        _night.Link.Say(LinkEventKind.Succeeded, "all done", before: () =>
        {
            _night.Becomes("2.5");
            _night.Clock.Patience = TimeSpan.FromMilliseconds(50);
            _night.Link.Units = [.. _night.Link.Units.Select(unit => unit.Dark("2"))];
        });
        Assert.Equal([StageOutcome.Degraded, StageOutcome.Refused], _night.Run().Select(result => result.Outcome));

        Assert.Equal(
            [
                "Degraded It runs 2.5, but not everything is back: help point A on north-1/2/2 (life-safety) has no power. It had ended Degraded. This was found out late.",
                "Refused The image before it, 2.5, ended Degraded on this unit.",
            ],
            Resume(out _).Select(result => $"{result.Outcome} {result.Reason}"));

        _night.Link.Units = [Sample.Unit("2.5")];
        _night.Clock.Patience = TimeSpan.FromHours(1);
        _night.GoesWell();
        Assert.Equal(["1 Done", "2 Done"], Resume(out _).Select(result => $"{result.Order} {result.Outcome}"));
    }

    [Fact]
    public void WhatIf_asks_and_writes_nothing()
    {
        BreakOff(after: "StageBegan stage=Program");
        byte[] before = File.ReadAllBytes(_night.JournalPath);
        _night.Clock.Patience = TimeSpan.Zero;
        _night.Link.Units = [Sample.Unit("3.0").Dark("2")];
        RunOptions options = _night.Options(new MemoryRecord()) with { WhatIf = true, Past = Past() };

        UnitResult result = Assert.Single(All(new RefreshRun(options)));
        Assert.Equal("Skipped The run had broken off in Program. It runs 3.0 now; the run that goes on looks whether everything is back.", $"{result.Outcome} {result.Reason}");

        _night.Link.Units = [Sample.Unit()];
        Assert.Equal(
            ["Skipped The run had broken off in Program. It still runs 2.1 and is healthy. The run that goes on takes it up again.", "Skipped Every gate is open; nothing was done."],
            All(new RefreshRun(options)).Select(one => $"{one.Outcome} {one.Reason}"));
        Assert.Equal(before, File.ReadAllBytes(_night.JournalPath));
        Assert.Equal(0, Starts);
    }

    [Fact]
    public void A_unit_is_waited_for_as_long_as_it_may_still_be_at_work_less_the_time_gone_by()
    {
        BreakOff(after: "StageBegan stage=Program");
        List<TimeSpan> deadlines = [];
        _night.Link.Units = [Sample.Unit("3.0")];
        _night.Clock.Asked = deadlines.Add;
        DateTime last = Past().Units[1].LastUtc;
        _night.Clock.MoveOn((last.AddSeconds(100) - _night.Clock.UtcNow).TotalSeconds);

        Resume(out _);

        // The worst case of the whole (900 s) for the console; Program and Reset by the dialect's 300 s each and Verify's 60 s for the unit; a hundred are gone.
        Assert.Equal([800, 560], deadlines.Take(2).Select(span => span.TotalSeconds));
    }

    private int Starts => _night.Link.Calls.Count(call => call.StartsWith("Start", StringComparison.Ordinal));

    // Every command that comes loads the unit that it names.
    private void Loads() => _night.Link.OnStart = order =>
    {
        _night.Fetch(order);
        _night.Link.Say(LinkEventKind.Succeeded, "all done", before: () => _night.Link.Units = [.. _night.Link.Units.Select(unit => unit.Unit == order.Unit ? unit with { Firmware = "3.0" } : unit)]);
    };

    // A run goes well to its end, and its journal is cut behind an entry, as a crash leaves it.
    private void BreakOff(string after)
    {
        _night.GoesWell();
        _night.Run();
        _night.Link.Calls.Clear();
        string[] texts = [.. JournalReplay.Read(_night.JournalPath).Entries.Select(entry => $"{entry.Kind} {entry.Text}")];
        int at = Array.FindIndex(texts, text => text.StartsWith(after, StringComparison.Ordinal));
        Assert.True(at > 0);
        File.WriteAllLines(_night.JournalPath, File.ReadAllLines(_night.JournalPath)[..(at + 1)]);
        _night.Link.Units = [Sample.Unit()];
    }

    private RunPast Past() => JournalResume.Past(JournalReplay.Read(_night.JournalPath), "f00d");

    private List<UnitResult> Resume(out RefreshRun run)
    {
        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        run = new RefreshRun(_night.Options(journal) with { Past = Past() });
        return All(run);
    }

    private static List<UnitResult> All(RefreshRun run)
    {
        List<UnitResult> results = [];
        while (run.Next() is { } result)
        {
            results.Add(result);
        }

        return results;
    }

    // What the journal says from the last entry of a kind on.
    private string Last(string kind)
    {
        string[] lines = [.. _night.Journal().Split('\n').Select(line => line.TrimStart().Split(' ', 2)[1])];
        return string.Join("\n", lines[Array.FindLastIndex(lines, line => line.StartsWith(kind, StringComparison.Ordinal))..]);
    }
}
