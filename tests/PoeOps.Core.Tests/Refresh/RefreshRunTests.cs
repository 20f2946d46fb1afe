using System.Net;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A unit from its gates to its end, as the journal tells it.</summary>
public sealed class RefreshRunTests : IDisposable
{
    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_refresh_that_goes_well_is_told_step_by_step()
    {
        _night.GoesWell();
        _night.Link.OnRead.Enqueue(() => { });
        _night.Link.OnRead.Enqueue(() => { });
        _night.Link.OnRead.Enqueue(() => _night.Link.Units = [_night.Link.Units[0].Dark()]);
        _night.Link.OnRead.Enqueue(() => _night.Link.Units = [Sample.Unit("3.0")]);

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Done, null, "3.0", 3, 3, 1), (result.Outcome, result.ProblemId, result.FirmwareNow, result.Loads, result.LoadsBack, result.LifeSafetyLoads));
        Assert.Equal("It runs 3.0, and everything is back.", result.Reason);
        Assert.Equal(180, result.DarkSeconds);
        Assert.Equal(
            """
               0 RunBegan host=*; user=*; process=*; plan=harbour; fingerprint=f00d; units=1; speed=1; attended=false; whatIf=false
               0 Gate gate=Stop; passed=true
               0 Gate gate=Window; passed=true
               0 Gate gate=Coverage; passed=true
               0 Gate gate=Disk; passed=true
               0 Gate gate=Image; passed=true; sha256=*
               0 Gate gate=Lock; passed=true
               0 Gate gate=Busy; passed=true
               0 Gate gate=Reading; passed=true; model=BR-4; serial=S2; firmware=2.1; release=7.2
               0 Gate gate=Healthy; passed=true
               0 Gate gate=Budget; passed=true
               0 Gate gate=LifeSafety; passed=true; loads=1; acceptedBy=the night's lead
               0 Begin from=2.1; to=3.0; model=BR-4; image=br-3.0.img; bytes=3000; sha256=*; server=*; needSeconds=1620; windowCloses=2026-12-02T03:30:00Z; loads=3; lifeSafety=1; order=1; ports=*
               0 StageBegan stage=Transfer; text=the unit fetches its image
              50 StageEnded stage=Transfer; seconds=50
              50 StageBegan stage=Erase; text=erasing
              80 StageEnded stage=Erase; seconds=30
              80 StageBegan stage=Program; text=writing
             140 Progress stage=Program; percent=55
             200 Progress stage=Program; percent=100
             200 StageEnded stage=Program; seconds=120
             200 StageBegan stage=Reset; text=restarting
             220 Served client=*; file=br-3.0.img; bytes=3000; blocks=3; retransmissions=0; complete=true; outcome=Whole.
             220 StageEnded stage=Reset; seconds=20
             220 StageBegan stage=Verify; text=The device said 'all done'.
             220 StageEnded stage=Verify; seconds=0
             220 StageBegan stage=Recover; text=waiting for the loads
             230 Progress stage=Recover; percent=100
             290 StageEnded stage=Recover; seconds=70
             290 LoadsBack 1=180; 2=180; 4=180
             290 End outcome=Done; reason=It runs 3.0, and everything is back.; firmware=3.0; loads=3; loadsBack=3; darkSeconds=180; ownSeconds=*; waitedSeconds=*
             290 RunEnded because=the plan is through
            """,
            _night.Journal());
        Assert.Equal(["br-3.0.img", "night.journal.jsonl"], _night.Files);
    }

    [Fact]
    public void The_image_is_offered_to_the_unit_alone()
    {
        Problem? told = null;
        _night.GoesWell();
        _night.Link.OnStart = order =>
        {
            told = Assert.Throws<PoeOpsException>(() => OneNight.Fetch(order, IPAddress.Parse("127.0.0.2"))).Problem;
            _night.Fetch(order);
        };

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Equal(ProblemId.TftpRefused, told!.Id);
    }

    [Fact]
    public void Begin_is_on_disk_before_the_command_is_sent()
    {
        string seen = "";
        _night.GoesWell();
        _night.Link.OnStart = _ => seen = _night.Kinds();

        _night.Run();

        Assert.Equal("RunBegan Begin StageBegan", seen);
    }

    [Fact]
    public void One_call_takes_one_unit_and_the_next_begins_after_its_end()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Link.Units = [Sample.Unit(), Sample.Unit(unit: "3")];
        _night.GoesWell();
        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        RefreshRun run = new(_night.Options(journal));

        Assert.Equal("north-1/2", run.Next()!.UnitId.ToString());
        Assert.Equal("Begin End", string.Join(" ", JournalReplay.Read(_night.JournalPath).Entries.Select(entry => entry.Kind).Where(kind => kind is RunEntryKind.Begin or RunEntryKind.End)));
        Assert.Equal("north-1/3", Assert.Single(run.Remaining).UnitId.ToString());
        // Both units of the switch run the new firmware now, so the second has nothing left to do.
        UnitResult second = run.Next()!;
        Assert.Equal((StageOutcome.Skipped, ProblemId.NothingToDo, "It runs 3.0 already; there is nothing to do."), (second.Outcome, second.ProblemId, second.Reason));
        Assert.Null(run.Next());
        Assert.Null(run.Next());
    }

    [Fact]
    public void Progress_is_told_with_the_units_place_in_the_plan()
    {
        List<string> told = [];
        _night.Watcher = progress => told.Add($"{progress.Index}/{progress.Total} {progress.Unit} {progress.Stage} {progress.Percent}".TrimEnd());
        _night.GoesWell();

        _night.Run();

        Assert.Equal(
            [
                "1/1 north-1/2 Gate", "1/1 north-1/2 Transfer", "1/1 north-1/2 Erase", "1/1 north-1/2 Program", "1/1 north-1/2 Program 55", "1/1 north-1/2 Program 57",
                "1/1 north-1/2 Program 100", "1/1 north-1/2 Reset", "1/1 north-1/2 Verify", "1/1 north-1/2 Recover", "1/1 north-1/2 Recover 100",
            ],
            told.Distinct());
    }

    [Fact]
    public void Loads_that_have_power_are_waited_for_with_the_time_until_they_serve()
    {
        List<string> told = [];
        _night.Watcher = progress => told.Add($"{progress.Text}: {progress.InStage.TotalSeconds}, {progress.StageLeft?.TotalSeconds}");
        _night.GoesWell();

        _night.Run();

        // The phone takes longest, 60 s; the last look is at the end.
        Assert.Equal(
            [
                "waiting for the loads: 0, ", "3 of 3 loads have power: 0, ",
                .. new[] { 60, 50, 40, 30, 20, 10 }.Select(left => $"3 of 3 loads have power, and are given the time to serve again: {60 - left}, {left}"),
                "3 of 3 loads have power: 60, 0",
            ],
            told.SkipWhile(line => !line.StartsWith("waiting for the loads", StringComparison.Ordinal)).Distinct());
    }

    [Fact]
    public void A_watcher_that_fails_does_not_keep_a_unit_from_being_watched()
    {
        _night.GoesWell();
        _night.Watcher = progress => _ = progress.Stage == Stage.Erase ? throw new InvalidOperationException("the screen is gone") : 0;

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Contains("Note text=Progress is no longer shown: InvalidOperationException: the screen is gone", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void The_question_names_the_loads_and_the_cautions()
    {
        _night.GoesWell();

        _night.Run();

        GateReport report = Assert.Single(_night.Asked);
        Assert.Equal(["Stop", "Window", "Coverage", "Disk", "Image", "Lock", "Busy", "Reading", "Healthy", "Budget", "LifeSafety"], report.Gates);
        Assert.Equal(
            "north-1/2: Refresh the controller from 2.1 to 3.0: 3 loads go dark for about 3 min, 1 of them life-safety: help point A on north-1/2/2. 1 life-safety load goes dark. "
            + "Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide. Go on?",
            report.Question);
    }

    [Fact]
    public void A_question_that_is_answered_with_no_leaves_the_unit_as_it_is()
    {
        _night.Answer = _ => false;

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Skipped, ProblemId.NotConfirmed), (result.Outcome, result.ProblemId));
        Assert.Equal(["Busy?", "Read", "Dispose"], _night.Link.Calls);
        Assert.Equal("RunBegan Passed RunEnded", _night.Kinds());
    }

    [Fact]
    public void A_stop_is_obeyed_between_units_and_the_one_in_progress_goes_to_its_end()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        string file = Path.Combine(_night.Folder, "stop");
        _night.Stop = new StopRequest(file);
        _night.GoesWell();
        _night.Link.OnStart = _ => File.WriteAllText(file, "");

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Equal(["north-1/3"], _night.Remaining);
        Assert.Equal($"the stop file '{file}' is there", _night.StoppedBecause);
        Assert.EndsWith("Recover; seconds=60", _night.Journal().Split('\n')[^5], StringComparison.Ordinal);
        Assert.EndsWith(" LoadsBack End StopAsked RunEnded", _night.Kinds(), StringComparison.Ordinal);
    }

    [Fact]
    public void The_second_image_is_not_sent_to_a_unit_whose_first_left_loads_in_the_dark()
    {
        _night.Units[0] = _night.Units[0] with { ToFirmware = "2.5", Hop = 1, Hops = 2 };
        // Waiting for loads that never come takes this clock through many nights.
        _night.Units.Add(OneNight.Planned(2) with { FromFirmware = "2.5", Hop = 2, Hops = 2, WindowClosesUtc = HandClock.Start.AddYears(9) });
        _night.Link.Say(LinkEventKind.Succeeded, "all done", before: () =>
        {
            _night.Becomes("2.5");
            _night.Clock.Patience = TimeSpan.FromMilliseconds(200);
            _night.Link.Units = [.. _night.Link.Units.Select(unit => unit.Dark("2"))];
        });

        IReadOnlyList<UnitResult> results = _night.Run();

        Assert.Equal(
            [
                (StageOutcome.Degraded, ProblemId.LoadsNotBack, "It runs 2.5, but not everything is back: help point A on north-1/2/2 (life-safety) has no power."),
                (StageOutcome.Refused, ProblemId.LoadsNotBack, "The image before it, 2.5, ended Degraded on this unit."),
            ],
            results.Select(result => (result.Outcome, result.ProblemId!.Value, result.Reason)));
        Assert.Single(_night.Link.Calls, call => call.StartsWith("Start", StringComparison.Ordinal));
    }

    [Fact]
    public void A_no_to_the_first_image_is_a_no_to_the_second()
    {
        _night.Units[0] = _night.Units[0] with { ToFirmware = "2.5", Hop = 1, Hops = 2 };
        _night.Units.Add(OneNight.Planned(2) with { FromFirmware = "2.5", Hop = 2, Hops = 2 });
        _night.Answer = _ => false;

        Assert.Equal([(StageOutcome.Skipped, ProblemId.NotConfirmed), (StageOutcome.Skipped, ProblemId.NotConfirmed)], _night.Run().Select(result => (result.Outcome, result.ProblemId!.Value)));
        Assert.Single(_night.Asked);
    }

    [Fact]
    public void A_stop_during_the_last_unit_is_written_down()
    {
        _night.GoesWell();
        _night.Link.OnStart = _ => _night.Stop.Ask();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        string[] last = [.. _night.Journal().Split('\n').TakeLast(2)];
        Assert.Contains("StopAsked reason=a stop was asked for", last[0], StringComparison.Ordinal);
        Assert.Contains("RunEnded because=the plan is through", last[1], StringComparison.Ordinal);
    }

    [Fact]
    public void A_stop_that_is_asked_for_during_the_question_keeps_the_unit_from_starting()
    {
        _night.Answer = _ =>
        {
            _night.Stop.Ask();
            return true;
        };

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Skipped, "It was not begun because a stop was asked for."), (result.Outcome, result.Reason));
        Assert.DoesNotContain("Begin", _night.Kinds().Replace("RunBegan", "", StringComparison.Ordinal), StringComparison.Ordinal);
    }
}
