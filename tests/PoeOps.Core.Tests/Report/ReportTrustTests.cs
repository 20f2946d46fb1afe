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

    private static string Told(Answer answer) => $"{answer.Verdict} |{answer.Sentence}|{string.Join("; ", answer.Items)}";

    private static JournalSource Counted(JournalSource source, string lifeSafety) => source with
    {
        Reading = new JournalReading([.. source.Reading.Entries.Select(entry => entry.Kind != RunEntryKind.Begin ? entry : entry with { Facts = entry.Facts.ToDictionary(fact => fact.Key, fact => fact.Key == "lifeSafety" ? lifeSafety : fact.Value) })], []),
    };
}
