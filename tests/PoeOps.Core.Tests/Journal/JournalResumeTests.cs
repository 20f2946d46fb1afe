using PoeOps.Core.Tests.Planning;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Journal;

/// <summary>Which run of a journal is gone on with, by which plan, and what it left.</summary>
public sealed class JournalResumeTests : JournalBench
{
    private readonly Plan _plan;

    public JournalResumeTests() => _plan = PlanFile.Write(SamplePlan.Plan, PlanPath, overwrite: false);

    private string PlanPath => Folder.Path("night.plan.json");

    [Fact]
    public void The_plan_is_where_the_run_says()
    {
        Write(Began(_plan.Fingerprint, PlanPath));

        ResumeResult found = JournalResume.Find(Path, null);

        Assert.Empty(found.Problems);
        Assert.Equal((_plan.Fingerprint, PlanPath, "images"), (found.Plan!.Fingerprint, found.PlanPath, found.Settings["imageFolder"]));
    }

    [Fact]
    public void A_plan_that_was_moved_is_where_somebody_says()
    {
        string moved = Folder.Path("moved.plan.json");
        Write(Began(_plan.Fingerprint, PlanPath));
        File.Move(PlanPath, moved);

        Assert.Equal(moved, JournalResume.Find(Path, moved).PlanPath);
        Problem problem = Assert.Single(JournalResume.Find(Path, null).Problems);
        Assert.Equal((ProblemId.FileNotFound, $"The file '{PlanPath}' does not exist."), (problem.Id, problem.Sentence));
    }

    [Fact]
    public void Another_plan_is_refused()
    {
        Write(Began(_plan.Fingerprint, PlanPath));
        Plan other = PlanFile.Write(SamplePlan.Plan with { NothingToDo = 5 }, PlanPath, overwrite: true);

        Problem problem = Assert.Single(JournalResume.Find(Path, null).Problems);

        Assert.Equal(ProblemId.PlanNotOfRun, problem.Id);
        Assert.Equal($"The plan '{PlanPath}' has the fingerprint {other.Fingerprint[..12]}…, and the run of the journal was made from {_plan.Fingerprint[..12]}….", problem.Sentence);
        Assert.Equal("Name the plan of the run with -Plan; where it is gone, make a new plan and begin a new journal.", problem.Advice);
    }

    [Fact]
    public void A_plan_whose_text_was_changed_is_refused()
    {
        Write(Began(_plan.Fingerprint, PlanPath));
        File.WriteAllText(PlanPath, File.ReadAllText(PlanPath).Replace("\"nothingToDo\": 4", "\"nothingToDo\": 5", StringComparison.Ordinal));

        Assert.Equal(ProblemId.PlanAltered, Assert.Single(JournalResume.Find(Path, null).Problems).Id);
    }

    [Fact]
    public void A_journal_that_holds_no_run_or_does_not_say_its_plan_gives_nothing_to_go_on_with()
    {
        Write(Entry(RunEntryKind.Note, "", 0));
        Problem none = Assert.Single(JournalResume.Find(Path, null).Problems);
        Assert.Equal((ProblemId.NothingToResume, $"The journal '{Path}' holds no run."), (none.Id, none.Sentence));
        Assert.Equal("Name the journal of a run that has begun, or begin one with -Plan and -Journal.", none.Advice);

        Write(Began(_plan.Fingerprint, null));
        Problem silent = Assert.Single(JournalResume.Find(Path, null).Problems);
        Assert.Equal((ProblemId.NothingToResume, $"The run of the journal '{Path}' does not say where its plan lies."), (silent.Id, silent.Sentence));
        Assert.Empty(JournalResume.Find(Path, PlanPath).Problems);
    }

    [Fact]
    public void A_torn_line_is_no_obstacle_and_a_broken_chain_is_one()
    {
        Write(Began(_plan.Fingerprint, PlanPath), Entry(RunEntryKind.Note, "", 1));
        File.AppendAllText(Path, "{\"line\":3");
        Assert.Empty(JournalResume.Find(Path, null).Problems);

        File.WriteAllText(Path, File.ReadAllText(Path).Replace("\"n\":1", "\"n\":2", StringComparison.Ordinal));
        Assert.Equal(ProblemId.JournalChainBroken, Assert.Single(JournalResume.Find(Path, null).Problems).Id);
        Assert.Equal(ProblemId.FileNotFound, Assert.Single(JournalResume.Find(Folder.Path("none.jsonl"), null).Problems).Id);
    }

    [Fact]
    public void What_later_runs_write_while_they_ask_says_nothing_of_the_devices_stage()
    {
        Write(
            Began("f", null),
            Fact(RunEntryKind.Begin, "a/1", 1, ("order", 3), ("loads", 7), ("ports", new[] { "1: powered on Low 15.4", "2: unpowered - - -" })),
            Fact(RunEntryKind.StageBegan, "a/1", 2, ("stage", "Transfer")),
            Fact(RunEntryKind.StageBegan, "a/1", 3, ("stage", "Program")),
            Fact(RunEntryKind.Progress, "a/1", 4, ("stage", "Program"), ("percent", 10)),
            Fact(RunEntryKind.StageBegan, "a/1", 5, ("stage", "Verify")),
            Began("f", null),
            Fact(RunEntryKind.StageBegan, "a/1", 9, ("stage", "Reset")));

        RunPast past = JournalResume.Past(JournalReplay.Read(Path), "f");

        Assert.Equal(7, past.Line);
        UnitPast unit = Assert.Single(past.Units).Value;
        Assert.Equal((3, Stage.Program, null, 7, Noon.AddMinutes(1), Noon.AddMinutes(5)), (Assert.Single(past.Units).Key, unit.Stage, unit.Outcome, unit.Loads, unit.BeganUtc, unit.LastUtc));
        Assert.Equal(["1: powered on Low 15.4", "2: unpowered - - -"], unit.Ports);
        Assert.True(unit.IsOpen);
    }

    [Fact]
    public void The_last_end_of_a_unit_counts_and_runs_of_other_plans_do_not()
    {
        Write(
            Began("f", null),
            Fact(RunEntryKind.Begin, "a/1", 1, ("order", 1)),
            Fact(RunEntryKind.End, "a/1", 2, ("outcome", "Failed")),
            Fact(RunEntryKind.Begin, "a/1", 3, ("order", 1)),
            Fact(RunEntryKind.End, "a/1", 4, ("outcome", "Degraded")),
            Fact(RunEntryKind.Begin, "a/1", 5, ("order", 2)),
            Began("g", null),
            Fact(RunEntryKind.Begin, "a/2", 6, ("order", 3)),
            Began("f", null),
            Fact(RunEntryKind.End, "a/1", 7, ("outcome", "Done"), ("order", 2)));

        RunPast past = JournalResume.Past(JournalReplay.Read(Path), "f");

        Assert.Equal(["1 Degraded", "2 Done"], past.Units.Select(unit => $"{unit.Key} {unit.Value.Outcome}"));
    }

    [Fact]
    public void A_new_run_is_kept_from_a_journal_whose_run_broke_off_with_a_unit_at_work()
    {
        Assert.Null(JournalResume.Unfinished(Path));
        WriteThree();
        Assert.Null(JournalResume.Unfinished(Path));
        Write(Began("f", null), Entry(RunEntryKind.Begin, "north-1/2", 1));

        Problem problem = JournalResume.Unfinished(Path)!;

        Assert.Equal((ProblemId.RunUnfinished, $"The journal '{Path}' holds a run that broke off while north-1/2 was at work."), (problem.Id, problem.Sentence));
        Assert.Equal("Go on with it by Invoke-PseRefresh -Resume, which asks the unit first what became of it.", problem.Advice);
    }

    private static RunEntry Began(string fingerprint, string? planPath) =>
        new(RunEntryKind.RunBegan, Noon, "", [new("fingerprint", fingerprint), new("planPath", planPath), new("imageFolder", "images")]);

    private static RunEntry Fact(RunEntryKind kind, string unit, int minute, params (string Name, object? Value)[] facts) =>
        new(kind, Noon.AddMinutes(minute), unit, [.. facts.Select(fact => new KeyValuePair<string, object?>(fact.Name, fact.Value))]);

    // A journal of these entries alone.
    private void Write(params RunEntry[] entries)
    {
        File.Delete(Path);
        using JournalFile journal = JournalFile.Open(Path);
        Array.ForEach(entries, journal.Write);
    }
}
