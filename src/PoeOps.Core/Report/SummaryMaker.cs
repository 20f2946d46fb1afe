using PoeOps.Files;
using PoeOps.Journal;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>Makes a summary of a plan, of journals, or of both held against each other.</summary>
internal sealed class SummaryMaker
{
    private readonly Plan? _plan;
    private readonly IReadOnlyList<JournalSource> _journals;
    private readonly RefreshStories _stories;

    /// <summary>Takes what it is made from.</summary>
    public SummaryMaker(Plan? plan, IReadOnlyList<JournalSource> journals)
    {
        _plan = plan;
        _journals = [.. journals.OrderBy(journal => journal.Reading.Entries.Count == 0 ? DateTime.MaxValue : journal.Reading.Entries[0].Utc).ThenBy(journal => journal.Path, StringComparer.Ordinal)];
        _stories = new RefreshStories(_journals);
    }

    /// <summary>Makes it.</summary>
    public RunSummary Make()
    {
        bool hasRun = _journals.Any(journal => journal.Reading.Entries.Count > 0);
        IReadOnlyList<UnitRow> rows = new UnitRows(_plan, _stories, hasRun).Rows;
        UnitSummary[] units = [.. rows.Select(row => row.Summary)];
        IReadOnlyList<UnitLoads> byUnit = UnitLoads.Of(_plan, rows, hasRun);
        LoadSummary[] loads = [.. byUnit.SelectMany(unit => unit.Loads)];
        var answers = new Answers(_plan, hasRun, units, byUnit);
        return new RunSummary
        {
            PlanName = _plan?.Name ?? _stories.LastRun?.PlanName ?? string.Empty,
            Fingerprint = _plan?.Fingerprint ?? _stories.LastRun?.Fingerprint ?? string.Empty,
            PlanCreatedUtc = _plan?.CreatedUtc,
            AsOfUtc = hasRun ? _journals.SelectMany(journal => journal.Reading.Entries).Max(entry => entry.Utc) : _plan?.CreatedUtc,
            HasPlan = _plan is not null,
            HasRun = hasRun,
            StillDark = JournalDoubt.On(answers.StillDark, _journals),
            LifeSafety = JournalDoubt.On(answers.LifeSafety, _journals),
            ByHand = JournalDoubt.On(answers.ByHand, _journals),
            States = [.. units.GroupBy(unit => unit.State).OrderBy(state => state.Key).Select(state => new StateCount(state.Key, state.Count()))],
            NothingToDo = _plan?.NothingToDo,
            PlannedDarkLoadMinutes = Sum(byUnit.Select(unit => unit.Outage?.DarkLoadMinutes)),
            RealDarkLoadMinutes = Sum(loads.Select(load => load.RealDarkSeconds / 60)),
            Units = units,
            Loads = loads,
            Windows = WindowRows.Of(rows, _stories, _journals),
            Curves = [.. byUnit.Select(unit => unit.Curve).OfType<RestartCurve>()],
            Obstacles = _plan?.Obstacles ?? [],
            Journals = [.. _journals.Select(EvidenceRows.Of(_stories))],
            Images = EvidenceRows.Images(rows),
            Transcripts = EvidenceRows.Transcripts(rows, _journals),
            Cautions = Cautions(units, loads),
            Problems = Problems(),
        };
    }

    private IReadOnlyList<Problem> Problems() =>
    [
        .. _journals.SelectMany(journal => journal.Reading.Problems),
        .. _journals.SelectMany(journal => _stories.RunsOf(journal).Where(IsOfAnotherPlan).Take(1).Select(run => OtherPlan(journal, run))),
    ];

    private bool IsOfAnotherPlan(RunFacts run) => _plan is not null && run.Fingerprint != _plan.Fingerprint;

    private Problem OtherPlan(JournalSource journal, RunFacts run) => new(
        ProblemId.ReportPlanDiffers,
        $"The run that began in line {ReportText.Number(run.Line)} of '{journal.Path}' was made from a plan with the fingerprint {Short(run.Fingerprint)}, and the plan of this report has {Short(_plan!.Fingerprint)}.",
        "What was planned stands beside what was done by unit and firmware alone; name the plan of that run to hold them against each other.")
    { File = journal.Path, Line = run.Line };

    private List<string> Cautions(UnitSummary[] units, LoadSummary[] loads)
    {
        List<string> cautions = [];
        int lifeSafety = units.GroupBy(unit => unit.UnitId, StringComparer.OrdinalIgnoreCase).Sum(unit => unit.Max(hop => hop.LifeSafetyLoads));
        if (lifeSafety > 0)
        {
            cautions.Add(Outages.LifeSafety.Caution(lifeSafety));
            cautions.Add("Power at a port is no proof that a load serves. Have each life-safety load tested on site before anybody relies on it again, as local codes and licensed practice demand.");
        }
        else if (loads.Length > 0 || units.Length > 0)
        {
            cautions.Add(_plan is null
                ? "The journal counts no life-safety load. Which loads people can come to harm without is the estate's to say; without the plan this report knows none by name."
                : "The estate names no life-safety load among those that go dark. Which they are is for local codes and licensed practice to say, not for this report.");
        }

        cautions.Add("This report repeats what devices and files said. It takes the place of no inspection, permit or record that local codes ask for.");
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
