using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>Something happens to the jump host, its clock, its disk or its files, or somebody else is at work there.</summary>
public sealed class HostSituations
{
    private const double Speed = 600;

    [Theory]
    [InlineData("clock-jumps-an-hour-forward", 1)]
    [InlineData("clock-jumps-an-hour-back", -1)]
    public void The_clock_is_set_in_mid_unit(string situation, int hours)
    {
        using var night = new RehearsedRun(Speed);
        PlanTwo(night);
        var clock = new JumpingClock(night.Clock);
        night.Clock = clock;
        Once(night, Stage.Program, () => clock.Jump(TimeSpan.FromHours(hours)));

        Assert.Equal([StageOutcome.Done, StageOutcome.Done], night.Run().Select(result => result.Outcome));
        Approved.Check(situation, night.Told());
    }

    [Fact]
    public void A_window_that_only_the_clock_that_was_set_back_shows_as_open_is_closed()
    {
        using var night = new RehearsedRun(Speed);
        PlanTwo(night);
        night.Units[1] = night.Units[1] with { WindowClosesUtc = night.Clock.UtcNow.AddMinutes(30) };
        var clock = new JumpingClock(night.Clock);
        night.Clock = clock;
        Once(night, Stage.Program, () => clock.Jump(TimeSpan.FromHours(-10)));

        IReadOnlyList<UnitResult> results = night.Run();

        Assert.Equal([(StageOutcome.Done, null), (StageOutcome.Refused, ProblemId.WindowClosed)], results.Select(result => (result.Outcome, result.ProblemId)));
    }

    [Fact]
    public void The_window_closes_in_mid_unit()
    {
        using var night = new RehearsedRun(200, "mole-1:Device:Slow");
        PlanTwo(night);
        DateTime closes = night.Clock.UtcNow.AddMinutes(25);
        for (int i = 0; i < night.Units.Count; i++)
        {
            night.Units[i] = night.Units[i] with { WindowClosesUtc = closes, WorstSeconds = 60, RecoverSeconds = 10, ReserveSeconds = 10 };
        }

        IReadOnlyList<UnitResult> results = night.Run();

        Assert.True(results[0].EndUtc > closes, "The window was still open.");
        Assert.Equal([(StageOutcome.Done, null), (StageOutcome.Refused, ProblemId.WindowClosed)], results.Select(result => (result.Outcome, result.ProblemId)));
        Approved.Check("window-closes-in-mid-unit", night.Told());
        Assert.Empty(night.Audit());
    }

    [Fact]
    public void The_disk_is_full_at_Begin()
    {
        using var night = new RehearsedRun(Speed);
        PlanTwo(night);
        night.Around = record => new FailingRecord(record, RunEntryKind.Begin);

        Assert.Equal(ProblemId.JournalNotWritable, Assert.Throws<PoeOpsException>(() => night.Run()).Problem.Id);

        Assert.DoesNotContain(night.Rehearsal.Log, entry => entry.Kind is DeviceEntryKind.InstallAsked or DeviceEntryKind.InstallBegan);
        Approved.Check("journal-disk-full-at-begin", night.Told());
        Assert.Empty(night.Audit());
    }

    [Fact]
    public void The_disk_is_full_at_End()
    {
        using var night = new RehearsedRun(Speed);
        PlanTwo(night);
        night.Around = record => new FailingRecord(record, RunEntryKind.End);

        UnitResult result = Assert.Single(night.Run());

        Assert.Equal((StageOutcome.Done, ProblemId.JournalNotWritable), (result.Outcome, result.ProblemId));
        Assert.Equal("mole-1/1", Assert.Single(JournalReplay.Read(night.JournalPath).OpenUnits));
        Approved.Check("journal-disk-full-at-end", night.Told());
        Assert.Empty(night.Audit());
    }

    [Theory]
    [InlineData("journal-folder-removed")]
    [InlineData("journal-folder-removed-and-link-lost", "mole-1/1:Program:LinkLost")]
    public void The_folder_of_the_journal_is_removed_in_mid_unit(string situation, params string[] mishaps)
    {
        using var night = new RehearsedRun(Speed, mishaps);
        PlanTwo(night);
        string folder = Path.Combine(night.Folder, "gone");
        string kept = Path.Combine(night.Folder, "kept.journal.jsonl");
        Once(night, Stage.Program, () =>
        {
            File.Copy(night.JournalPath, kept);
            Directory.Delete(folder, recursive: true);
        });

        UnitResult result = Assert.Single(night.Run(Path.Combine("gone", "night")));

        Assert.Equal((StageOutcome.Done, ProblemId.JournalNotWritable, "3.10.2"), (result.Outcome, result.ProblemId, result.FirmwareNow));
        Assert.Equal("the journal could not be written", night.StoppedBecause);
        Assert.False(Directory.Exists(folder));
        night.JournalPath = kept;
        night.RequirePlayed(mishaps);
        Approved.Check(situation, night.Told());
        Assert.Empty(night.Audit());
    }

    [Theory]
    [InlineData("plan-changed-under-the-run", false)]
    [InlineData("plan-taken-away-under-the-run", true)]
    public void The_plan_is_not_what_it_was(string situation, bool away)
    {
        using var night = new RehearsedRun(Speed);
        PlanTwo(night);
        string plan = Path.Combine(night.Folder, "night.plan.json");
        File.WriteAllText(plan, "{ }");
        var watch = new PlanWatch(plan);
        night.Stop = new StopRequest(null, () => watch.Changed);
        Once(night, Stage.Program, () => Spoil(plan, away));

        Assert.Equal(StageOutcome.Done, Assert.Single(night.Run()).Outcome);

        Approved.Check(situation, night.Told());
        Assert.Empty(night.Audit());
    }

    [Fact]
    public void Two_runs_are_under_way_at_once()
    {
        using var night = new RehearsedRun(Speed);
        PlanTwo(night);
        string second = Path.Combine(night.Folder, "second.journal.jsonl");
        List<UnitResult> ofSecond = [];
        Problem? ofSameJournal = null;
        Once(night, Stage.Program, () =>
        {
            ofSameJournal = Assert.Throws<PoeOpsException>(() => JournalFile.Open(night.JournalPath)).Problem;
            using JournalFile record = JournalFile.Open(second);
            RefreshRun other = new(night.Options(record) with { Watcher = _ => { } });
            while (other.Next() is { } result)
            {
                ofSecond.Add(result);
            }
        });

        Assert.Equal([StageOutcome.Done, StageOutcome.Done], night.Run().Select(result => result.Outcome));

        Assert.All(ofSecond, result => Assert.Equal((StageOutcome.Refused, ProblemId.SwitchHeld), (result.Outcome, result.ProblemId)));
        Assert.Equal(ProblemId.JournalNotWritable, ofSameJournal!.Id);
        Assert.Empty(night.Audit());
        night.JournalPath = second;
        Approved.Check("two-runs-at-once", night.Told());
    }

    private static void PlanTwo(RehearsedRun night)
    {
        night.Plan("mole-1", "1", "3.10.2");
        night.Plan("mole-1", "2", "3.11.0");
    }

    // Once, when the unit is first seen in a stage.
    private static void Once(RehearsedRun night, Stage stage, Action happens)
    {
        bool happened = false;
        night.Watcher = progress =>
        {
            if (progress.Stage == stage && !happened)
            {
                happened = true;
                happens();
            }
        };
    }

    private static void Spoil(string plan, bool away)
    {
        if (away)
        {
            File.Delete(plan);
        }
        else
        {
            File.AppendAllText(plan, "\n");
        }
    }
}
