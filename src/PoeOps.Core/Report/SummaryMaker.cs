using PoeOps.Files;
using PoeOps.Journal;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>Makes a summary of a plan, of journals, or of both held against each other.</summary>
internal sealed class SummaryMaker
{
    private readonly Plan? _plan;
    private readonly IReadOnlyList<JournalSource> _given;
    private readonly JournalCopies _copies;
    private readonly IReadOnlyList<JournalSource> _journals;
    private readonly RefreshStories _stories;
    private readonly ReportEstate _estate;

    /// <summary>Takes what it is made from.</summary>
    public SummaryMaker(Plan? plan, IReadOnlyList<JournalSource> journals)
    {
        _plan = plan;
        _given = [.. journals.OrderBy(journal => journal.Reading.Entries.Count == 0 ? DateTime.MaxValue : journal.Reading.Entries[0].Utc).ThenBy(journal => journal.Path, StringComparer.Ordinal)];
        _copies = new JournalCopies(_given);
        _journals = _copies.Counted;
        _stories = new RefreshStories(_journals);
        _estate = ReportEstate.Of(plan);
    }

    /// <summary>Makes it.</summary>
    public RunSummary Make()
    {
        bool hasRun = _journals.Any(journal => journal.Reading.Entries.Count > 0);
        IReadOnlyList<UnitRow> rows = new UnitRows(_plan, _stories, hasRun).Rows;
        UnitSummary[] units = [.. rows.Select(row => row.Summary)];
        IReadOnlyList<UnitLoads> byUnit = UnitLoads.Of(_plan, rows, hasRun);
        LoadSummary[] loads = [.. byUnit.SelectMany(unit => unit.Loads)];
        IReadOnlyList<WindowSummary> windows = WindowRows.Of(rows, _stories, _journals);
        RunSummary summary = new()
        {
            PlanName = _plan?.Name ?? _stories.LastRun?.PlanName ?? string.Empty,
            Fingerprint = _plan?.Fingerprint ?? _stories.LastRun?.Fingerprint ?? string.Empty,
            PlanCreatedUtc = _plan?.CreatedUtc,
            AsOfUtc = hasRun ? _journals.SelectMany(journal => journal.Reading.Entries).Max(entry => entry.Utc) : _plan?.CreatedUtc,
            HasPlan = _plan is not null,
            HasRun = hasRun,
            States = [.. units.GroupBy(unit => unit.State).OrderBy(state => state.Key).Select(state => new StateCount(state.Key, state.Count()))],
            NothingToDo = _plan?.NothingToDo,
            PlannedDarkLoadMinutes = Sum(byUnit.Select(unit => unit.Outage?.DarkLoadMinutes)),
            PlannedOutOfServiceLoadMinutes = Sum(byUnit.Select(unit => unit.Outage?.OutOfServiceLoadMinutes)),
            Longest = Longest(),
            SoakSeconds = _plan?.SoakSeconds,
            Lanes = _plan?.Lanes,
            Rehearsal = RehearsalWords.Of(_estate.RehearsalSpeed, [.. _journals.SelectMany(_stories.RunsOf)]),
            RealDarkLoadMinutes = Sum(loads.Select(load => load.RealDarkSeconds / 60)),
            Units = units,
            Loads = loads,
            Windows = hasRun || _plan is null ? windows : WindowBoard.Of(_plan, windows, rows, _estate),
            Curves = [.. byUnit.Select(unit => unit.Curve).OfType<RestartCurve>()],
            Obstacles = _plan?.Obstacles ?? [],
            Journals = [.. _given.Select(journal => EvidenceRows.Of(_stories)(journal) with { CopyOf = _copies.OriginalOf(journal)?.Path ?? string.Empty })],
            Images = EvidenceRows.Images(rows),
            Transcripts = EvidenceRows.Transcripts(rows, _journals),
            Problems = Problems(),
        };
        return Answered(summary with { Cautions = Cautions(summary) }, byUnit);
    }

    private RunSummary Answered(RunSummary summary, IReadOnlyList<UnitLoads> byUnit)
    {
        var done = new Answers(_plan, summary.Units, byUnit);
        PlanAnswers? planned = _plan is null || !summary.IsPlanAlone ? null : new PlanAnswers(_plan, byUnit, summary.Windows, summary.Longest);
        IReadOnlyList<JournalSource> relied = _copies.Relied(_given);
        return summary with
        {
            StillDark = JournalDoubt.On(planned?.GoesDark ?? done.StillDark, relied),
            LifeSafety = JournalDoubt.On(planned?.LifeSafety ?? done.LifeSafety, relied),
            ByHand = JournalDoubt.On(planned?.NotPlanned ?? done.ByHand, relied),
        };
    }

    private LongestTimes Longest()
    {
        DarkUnit[] dark = [.. (_plan?.Units ?? []).Where(unit => unit.Loads > 0).Select(DarkUnit.Of)];
        double? Max(Func<DarkUnit, double?> seconds) => dark.Length == 0 || dark.Any(unit => seconds(unit) is null) ? null : dark.Max(seconds);
        return new LongestTimes
        {
            DarkTypical = Max(unit => unit.DarkSeconds.Typical),
            DarkWorst = Max(unit => unit.DarkSeconds.Worst),
            OutOfServiceTypical = Max(unit => unit.OutOfServiceSeconds.Typical),
            OutOfServiceWorst = Max(unit => unit.OutOfServiceSeconds.Worst),
        };
    }

    private IReadOnlyList<Problem> Problems() =>
    [
        .. _given.SelectMany(journal => journal.Reading.Problems),
        .. _journals.SelectMany(journal => _stories.RunsOf(journal).Where(IsOfAnotherPlan).Take(1).Select(run => OtherPlan(journal, run))),
        .. _plan is null ? SeveralPlans() : [],
    ];

    // Without a plan nobody says which of them is meant.
    private IEnumerable<Problem> SeveralPlans()
    {
        (JournalSource Journal, RunFacts Run)[] runs = [.. _journals.SelectMany(journal => _stories.RunsOf(journal).Select(run => (journal, run)))];
        if (runs.FirstOrDefault(run => run.Run.Fingerprint != runs[0].Run.Fingerprint) is { Run: not null } other)
        {
            yield return new Problem(
                ProblemId.ReportPlansMixed,
                $"The run that began in line {ReportText.Number(other.Run.Line)} of '{other.Journal.Path}' was made from a plan with the fingerprint {Short(other.Run.Fingerprint)}, and the one that began in line {ReportText.Number(runs[0].Run.Line)} of '{runs[0].Journal.Path}' from one with {Short(runs[0].Run.Fingerprint)}.",
                "Each refresh stands in a row of its own, and times are added over all of them; make a report of each plan with its journals to tell them apart.")
            { File = other.Journal.Path, Line = other.Run.Line };
        }
    }

    private bool IsOfAnotherPlan(RunFacts run) => _plan is not null && run.Fingerprint != _plan.Fingerprint;

    private Problem OtherPlan(JournalSource journal, RunFacts run) => new(
        ProblemId.ReportPlanDiffers,
        $"The run that began in line {ReportText.Number(run.Line)} of '{journal.Path}' was made from a plan with the fingerprint {Short(run.Fingerprint)}, and the plan of this report has {Short(_plan!.Fingerprint)}.",
        "What was planned stands beside what was done by unit and firmware alone; name the plan of that run to hold them against each other.")
    { File = journal.Path, Line = run.Line };

    private List<string> Cautions(RunSummary summary)
    {
        List<string> cautions = summary.Rehearsal.Length > 0 ? [summary.Rehearsal] : [];
        IReadOnlyList<UnitSummary> units = summary.Units;
        int lifeSafety = units.GroupBy(unit => unit.UnitId, StringComparer.OrdinalIgnoreCase).Sum(unit => unit.Max(hop => hop.LifeSafetyLoads));
        if (lifeSafety > 0)
        {
            cautions.Add(Outages.LifeSafety.Caution(lifeSafety));
            cautions.Add("Power at a port is no proof that a load serves. Have each life-safety load tested on site before anybody relies on it again, as local codes and licensed practice demand.");
        }
        else if (summary.Loads.Count > 0 || units.Count > 0)
        {
            cautions.Add(_plan is null
                ? "The journal counts no life-safety load. Which loads people can come to harm without is the estate's to say; without the plan this report knows none by name."
                : "The estate names no life-safety load among those that go dark. Which they are is for local codes and licensed practice to say, not for this report.");
        }

        cautions.Add("This report repeats what devices and files said. It takes the place of no inspection, permit or record that local codes ask for.");
        if (summary.IsPlanAlone && _estate.Caution.Length > 0)
        {
            cautions.Add(_estate.Caution);
        }

        cautions.AddRange(_copies.Cautions);
        cautions.AddRange(_journals.Select(journal => JournalSamples.CautionOf(journal.Reading, Path.GetFileName(journal.Path))).OfType<string>());
        return cautions;
    }

    private static double? Sum(IEnumerable<double?> minutes)
    {
        double[] known = [.. minutes.OfType<double>()];
        return known.Length == 0 ? null : known.Sum();
    }

    private static string Short(string fingerprint) => fingerprint.Length > 12 ? fingerprint.Substring(0, 12) + "…" : $"'{Excerpt.Of(fingerprint)}'";
}
