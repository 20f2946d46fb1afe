using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>That a report never says that all is well where nobody knows: plans and journals that do not fit, chains that are broken, copies, rehearsals.</summary>
public sealed class ReportTrustTests : IDisposable
{
    private readonly SampleNight _night = new();

    public void Dispose() => _night.Dispose();

    // Of another night's plan, which has islet-1/1 alone, the journal's two help points are no part.
    [Fact]
    public void Life_safety_loads_that_no_plan_has_times_for_are_not_known()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan with { Fingerprint = "cafe", Units = [SampleNight.Unit(1, "islet-1", "1", 2)] });
        Assert.Equal(
            "Not known |The plan names no life-safety load. 2 life-safety loads went dark for which no plan here says how long.|quay-1/2: 1 life-safety load, no planned times, dark up to 509 s; quay-1/3: 1 life-safety load, no planned times, dark up to 125 s",
            Told(summary.LifeSafety));
        Assert.False(summary.LifeSafety.IsGood);
    }

    [Fact]
    public void A_plan_that_has_times_for_some_of_them_says_of_which_it_has_none()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan with { Units = [.. SampleNight.Plan.Units.Skip(1)] });
        Assert.Equal(
            "Not known |1 life-safety load went dark for which no plan here says how long. 1 life-safety load was dark longer than typical, within the plan's worst case.|quay-1/2: 1 life-safety load, no planned times, dark up to 509 s",
            Told(summary.LifeSafety));

        // The journal counts three where the plan names one.
        using SampleNight other = new();
        other.Run().Refresh("quay-1/3", 0, 2, 1, 120, ("1", 500));
        RunSummary more = RunSummary.Of(SampleNight.Plan, [Counted(other.Write(), "3")]);
        Assert.Equal("Yes, 1 of 4 |2 life-safety loads went dark for which no plan here says how long.|help point on quay-1/3/1: 500 s, planned 231 s at worst; quay-1/3: 2 life-safety loads, no planned times", Told(more.LifeSafety));
    }

    // What fails before anything is dark leaves nothing to ask.
    [Fact]
    public void A_unit_that_was_not_dark_needs_no_planned_times()
    {
        _night.Run().Begin("quay-1/2", 0, 1, 3).Add(31, RunEntryKind.StageBegan, "quay-1/2", ("stage", "Transfer"))
            .Add(90, RunEntryKind.End, "quay-1/2", ("outcome", "Failed"), ("reason", "No."), ("firmware", "3.8"), ("loads", 3), ("loadsBack", 3));
        Assert.Equal("No |The plan names no life-safety load.|", Told(_night.Summary(SampleNight.Plan with { Units = [] }).LifeSafety));
    }

    [Fact]
    public void Where_nobody_counted_them_nobody_knows()
    {
        JournalSource source = _night.WholeNight().Write();
        var uncounted = source with { Reading = new JournalReading([.. source.Reading.Entries.Select(entry => entry with { Facts = entry.Facts.Where(fact => fact.Key != "lifeSafety").ToDictionary(fact => fact.Key, fact => fact.Value) })], []) };
        Assert.Equal("Not known |The journal does not count the life-safety loads of every unit.|quay-1/2: nobody counted its life-safety loads; quay-1/3: nobody counted its life-safety loads", Told(RunSummary.Of(null, [uncounted]).LifeSafety));
        Assert.False(RunSummary.Of(SampleNight.Plan with { Units = [] }, [uncounted]).LifeSafety.IsGood);
    }

    // A night on which all is well, and the same with one second of a help point forged.
    [Fact]
    public void No_answer_is_good_where_a_chain_is_broken_and_each_says_why()
    {
        _night.Run().Refresh("quay-1/3", 0, 2, 1, 120, ("1", 125)).Add(500, RunEntryKind.End, "quay-1/3", ("outcome", "Done"), ("reason", "It runs 3.10."), ("firmware", "3.10"), ("loads", 1), ("loadsBack", 1), ("darkSeconds", 125.0)).Add(501, RunEntryKind.RunEnded, "", ("because", "all are done"));
        Plan plan = SampleNight.Plan with { Units = [SampleNight.Unit(2, "quay-1", "3", 1)], Obstacles = [] };
        RunSummary whole = _night.Summary(plan);
        Assert.Equal(["Nothing True", "No True", "None True"], new[] { whole.StillDark, whole.LifeSafety, whole.ByHand }.Select(answer => $"{answer.Verdict} {answer.IsGood}"));

        File.WriteAllText(_night.Path, File.ReadAllText(_night.Path).Replace("125", "121", StringComparison.Ordinal));
        RunSummary forged = RunSummary.Of(plan, [JournalSource.Read(_night.Path)]);
        Assert.Equal(["Not known False", "Not known False", "Not known False"], new[] { forged.StillDark, forged.LifeSafety, forged.ByHand }.Select(answer => $"{answer.Verdict} {answer.IsGood}"));
        string line = forged.Problems[0].Sentence;
        Assert.Matches("^Line [0-9]+ was changed after it was written: its digest does not fit it.$", line);
        Assert.All(new[] { forged.StillDark, forged.LifeSafety, forged.ByHand }, answer => Assert.StartsWith($"'night.journal.jsonl' cannot be relied on: {line}", answer.Sentence, StringComparison.Ordinal));
        Assert.DoesNotContain("class=\"answer\"", ReportHtml.Of(forged), StringComparison.Ordinal);
    }

    // A plan whose journal cannot be read at all is no plan that was not begun.
    [Fact]
    public void A_journal_that_is_not_there_leaves_nothing_good()
    {
        string path = Path.Combine(_night.Folder, "none.jsonl");
        RunSummary summary = RunSummary.Of(SampleNight.Plan, [JournalSource.Read(path)]);
        Assert.All(new[] { summary.StillDark, summary.LifeSafety, summary.ByHand }, answer => Assert.False(answer.IsGood));
        Assert.StartsWith($"'none.jsonl' cannot be relied on: The file '{path}' does not exist.", summary.StillDark.Sentence, StringComparison.Ordinal);
    }

    // Dark for 894 s and failed, then done in 125 s.
    [Fact]
    public void A_short_attempt_does_not_make_good_a_long_one_before_it()
    {
        _night.Run().Refresh("quay-1/3", 0, 2, 1, 120, ("1", 894)).Add(1200, RunEntryKind.End, "quay-1/3", ("outcome", "Failed"), ("reason", "No."), ("firmware", "3.8"), ("loads", 1), ("loadsBack", 1), ("darkSeconds", 894.0));
        RunSummary summary = Night(_night, "f00d", 5000, 125).Summary(SampleNight.Plan);
        Assert.Equal("Yes, 1 of 2 ||help point on quay-1/3/1: 894 s when it was begun before, planned 231 s at worst", Told(summary.LifeSafety));
    }

    // Without a plan, of two nights by two plans: two refreshes of one unit, and not one that was begun twice.
    [Fact]
    public void Refreshes_by_different_plans_are_kept_apart_and_told()
    {
        using SampleNight other = new();
        JournalSource first = Night(_night, "f00d", 0, 125).Write();
        JournalSource second = Night(other, "cafe", 90_000, 140).Write();
        RunSummary summary = RunSummary.Of(null, [second, first]);
        Assert.Equal(["quay-1/3 Done 125 1 1/1", "quay-1/3 Done 140 1 1/1"], summary.Units.Select(unit => FormattableString.Invariant($"{unit.UnitId} {unit.State} {unit.RealDarkSeconds} {unit.Attempts} {unit.Hop}/{unit.Hops}")));
        Assert.Equal(["1 125", "2 140"], Assert.Single(summary.Loads).Times.Select(time => FormattableString.Invariant($"{time.Number} {time.RealSeconds}")));
        Problem problem = Assert.Single(summary.Problems);
        Assert.Equal(ProblemId.ReportPlansMixed, problem.Id);
        Assert.Equal($"The run that began in line 1 of '{second.Path}' was made from a plan with the fingerprint 'cafe', and the one that began in line 1 of '{first.Path}' from one with 'f00d'.", problem.Sentence);

        // Two runs of one plan are one night.
        using SampleNight same = new();
        Assert.Empty(RunSummary.Of(null, [first, Night(same, "f00d", 90_000, 140).Write()]).Problems);
    }

    // A copy that was cut in a line, one that was cut between lines, and a whole one.
    [Theory]
    [InlineData(5, 40)]
    [InlineData(5, 0)]
    [InlineData(1000, 0)]
    public void Of_a_journal_and_its_copy_the_longer_counts(int lines, int more)
    {
        JournalSource whole = _night.WholeNight().Write();
        string[] all = File.ReadAllLines(whole.Path);
        string copy = Path.Combine(_night.Folder, "a-copy.jsonl");
        File.WriteAllText(copy, string.Join("\n", all.Take(lines)) + "\n" + (more > 0 ? all[lines][..more] : string.Empty));
        RunSummary alone = RunSummary.Of(SampleNight.Plan, [whole]);
        RunSummary both = RunSummary.Of(SampleNight.Plan, [JournalSource.Read(copy), whole]);
        Assert.Equal(new[] { alone.StillDark, alone.LifeSafety, alone.ByHand }.Select(Told), new[] { both.StillDark, both.LifeSafety, both.ByHand }.Select(Told));
        Assert.Equal(alone.Units.Select(unit => (unit.UnitId, unit.State, unit.Reason, unit.RealDarkSeconds)), both.Units.Select(unit => (unit.UnitId, unit.State, unit.Reason, unit.RealDarkSeconds)));
        Assert.Equal(alone.RealDarkLoadMinutes, both.RealDarkLoadMinutes);
        Assert.Equal(1, both.Journals.Sum(journal => journal.Runs.Count));
        int counted = Math.Min(lines, all.Length);
        string original = counted == all.Length ? copy : whole.Path;
        Assert.Equal(original, Assert.Single(both.Journals, journal => journal.CopyOf.Length > 0).CopyOf);
        Assert.Contains(both.Cautions, caution => caution == $"'{(original == copy ? "night.journal.jsonl" : "a-copy.jsonl")}' is a copy of '{Path.GetFileName(original)}' with {counted} of its {all.Length} entries; that one counts.");
        Assert.Equal(more > 0 ? [ProblemId.JournalTorn] : [], both.Problems.Select(problem => problem.Id));
    }

    // A copy in which an entry was changed is more than a shorter one: it is told, and nothing is good.
    [Fact]
    public void A_copy_that_was_changed_still_casts_doubt()
    {
        JournalSource whole = Night(_night, "f00d", 0, 125).Write();
        string copy = Path.Combine(_night.Folder, "a-copy.jsonl");
        File.WriteAllText(copy, File.ReadAllText(whole.Path).Replace("125", "121", StringComparison.Ordinal));
        RunSummary both = RunSummary.Of(SampleNight.Plan with { Units = [SampleNight.Unit(2, "quay-1", "3", 1)], Obstacles = [] }, [JournalSource.Read(copy), whole]);
        Assert.Equal((125.0, "Not known", false), (both.Units[0].RealDarkSeconds!.Value, both.LifeSafety.Verdict, both.LifeSafety.IsGood));
    }

    private static SampleNight Night(SampleNight night, string fingerprint, double at, double dark) => night.Run(fingerprint, at: at - 10)
        .Refresh("quay-1/3", at, 2, 1, 120, ("1", dark))
        .Add(at + 500, RunEntryKind.End, "quay-1/3", ("outcome", "Done"), ("reason", "It runs 3.10."), ("firmware", "3.10"), ("loads", 1), ("loadsBack", 1), ("darkSeconds", dark))
        .Add(at + 501, RunEntryKind.RunEnded, "", ("because", "all are done"));

    private static string Told(Answer answer) => $"{answer.Verdict} |{answer.Sentence}|{string.Join("; ", answer.Items)}";

    private static JournalSource Counted(JournalSource source, string lifeSafety) => source with
    {
        Reading = new JournalReading([.. source.Reading.Entries.Select(entry => entry.Kind != RunEntryKind.Begin ? entry : entry with { Facts = entry.Facts.ToDictionary(fact => fact.Key, fact => fact.Key == "lifeSafety" ? lifeSafety : fact.Value) })], []),
    };
}
