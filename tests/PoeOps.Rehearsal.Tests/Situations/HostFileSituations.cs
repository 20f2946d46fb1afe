using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>The plan's file is not what it was when the run began.</summary>
public abstract class PlanSpoilt(Action<string> spoil) : TwoUnits
{
    [Fact]
    public void The_unit_is_watched_to_its_end_and_no_other_begins()
    {
        string plan = Path.Combine(Night.Folder, "night.plan.json");
        File.WriteAllText(plan, "{ }");
        var watch = new PlanWatch(plan);
        Night.Stop = new StopRequest(null, () => watch.Changed);
        Once(Stage.Program, () => spoil(plan));

        Assert.Equal(StageOutcome.Done, Assert.Single(Night.Run()).Outcome);

        Approve();
    }
}

public sealed class PlanChangedUnderTheRun() : PlanSpoilt(plan => File.AppendAllText(plan, "\n"));

public sealed class PlanTakenAwayUnderTheRun() : PlanSpoilt(File.Delete);

public sealed class TwoRunsAtOnce : TwoUnits
{
    [Fact]
    public void The_second_is_refused_at_the_same_switch_and_at_the_same_journal()
    {
        string second = Path.Combine(Night.Folder, "second.journal.jsonl");
        List<UnitResult> ofSecond = [];
        Problem? ofSameJournal = null;
        Once(Stage.Program, () =>
        {
            ofSameJournal = Assert.Throws<PoeOpsException>(() => JournalFile.Open(Night.JournalPath)).Problem;
            using JournalFile record = JournalFile.Open(second);
            RefreshRun other = new(Night.Options(record) with { Watcher = _ => { } });
            while (other.Next() is { } result)
            {
                ofSecond.Add(result);
            }
        });

        Assert.Equal([StageOutcome.Done, StageOutcome.Done], Night.Run().Select(result => result.Outcome));

        Assert.Equal(2, ofSecond.Count);
        Assert.All(ofSecond, result => Assert.Equal((StageOutcome.Refused, ProblemId.SwitchHeld), (result.Outcome, result.ProblemId)));
        Assert.Equal(ProblemId.JournalNotWritable, ofSameJournal!.Id);
        Assert.Empty(Night.Audit());
        Night.JournalPath = second;
        Approved.Check("two-runs-at-once", Night.Told());
    }
}
