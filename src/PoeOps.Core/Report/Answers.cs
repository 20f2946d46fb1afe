using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>The three answers that stand at the head of a report of what was done.</summary>
internal sealed class Answers
{
    private readonly bool _hasPlan;
    private readonly IReadOnlyList<Obstacle> _obstacles;
    private readonly IReadOnlyList<UnitSummary> _units;
    private readonly IReadOnlyList<UnitLoads> _byUnit;
    private readonly LoadSummary[] _loads;

    /// <summary>Takes what they are made from.</summary>
    public Answers(Plan? plan, IReadOnlyList<UnitSummary> units, IReadOnlyList<UnitLoads> byUnit)
    {
        _hasPlan = plan is not null;
        _obstacles = plan?.Obstacles ?? [];
        _units = units;
        _byUnit = byUnit;
        _loads = [.. byUnit.SelectMany(unit => unit.Loads)];
    }

    /// <summary>What is still dark.</summary>
    public Answer StillDark
    {
        get
        {
            const string Question = "What is still dark?";
            int dark = _byUnit.Sum(unit => unit.Dark);
            UnitLoads[] unknown = [.. _byUnit.Where(unit => unit.IsNotKnown)];
            int lifeSafety = _loads.Count(load => load.State == LoadState.Dark && load.LifeSafety);
            string sentence = unknown.Length == 0 ? string.Empty : $"Nobody knows of the {ReportText.Count(unknown.Sum(unit => unit.Count), "load")} of {ReportText.Count(unknown.Length, "unit")}.";
            string verdict = dark > 0 ? ReportText.Count(dark, "load") + (lifeSafety > 0 ? $", {ReportText.Number(lifeSafety)} life-safety" : string.Empty)
                : unknown.Length > 0 ? "Not known" : "Nothing";
            return new Answer(Question, verdict, sentence, [.. Names(_loads.Where(load => load.State == LoadState.Dark)), .. _byUnit.Where(IsUnnamed).Select(Unnamed), .. unknown.Select(unit => $"not known: {ReportText.Count(unit.Count, "load")} of {unit.UnitId}")], dark == 0 && unknown.Length == 0);
        }
    }

    /// <summary>Whether a life-safety load was dark longer than planned.</summary>
    public Answer LifeSafety
    {
        get
        {
            const string Question = "Was a life-safety load dark longer than planned?";
            LoadSummary[] lifeSafety = [.. _loads.Where(load => load.LifeSafety)];
            int counted = _byUnit.Sum(unit => unit.LifeSafety);
            if (!_hasPlan)
            {
                bool dark = lifeSafety.Any(load => load.State == LoadState.Dark);
                UnitLoads[] uncounted = [.. _byUnit.Where(unit => unit.LifeSafetyIsNotCounted)];
                if (counted == 0 && !dark && uncounted.Length > 0)
                {
                    return new Answer(Question, "Not known", "The journal does not count the life-safety loads of every unit.", [.. uncounted.Select(NotPlanned)], IsGood: false);
                }

                return counted == 0 && !dark
                    ? new Answer(Question, "No", "The journal counts no life-safety load.", [], IsGood: true)
                    : new Answer(Question, dark ? "Yes, or still dark" : "Not known", $"{ReportText.Count(counted, "life-safety load")} went dark, and without the plan nobody knows how long was planned.", Names(lifeSafety.Where(load => load.State == LoadState.Dark)), IsGood: false);
            }

            return Judged(Question, lifeSafety);
        }
    }

    /// <summary>Which units need a hand.</summary>
    public Answer ByHand
    {
        get
        {
            UnitSummary[] units = [.. _units.Where(unit => unit.Hand.Length > 0).GroupBy(unit => unit.UnitId, StringComparer.OrdinalIgnoreCase).Select(unit => unit.First())];
            string[] obstacles = [.. _obstacles.Select(obstacle => $"{obstacle.UnitId}: not planned. {obstacle.Reason}")];
            int count = units.Length + obstacles.Length;
            int left = _units.Where(unit => unit.State == UnitState.NotBegun || (unit.State == UnitState.Skipped && unit.ProblemId == nameof(ProblemId.NotConfirmed))).Select(unit => unit.UnitId).Distinct(StringComparer.OrdinalIgnoreCase).Count();
            string sentence = left == 0 ? string.Empty : $"{ReportText.Count(left, "unit")} {(left == 1 ? "was" : "were")} not begun and can be run in a later window.";
            return new Answer(
                "Which units must be done by hand?", count == 0 ? "None" : ReportText.Count(count, "unit"), sentence,
                [.. units.Select(unit => $"{unit.UnitId}: {ReportText.Of(unit.State).ToLowerInvariant()}"), .. obstacles], count == 0)
            { Units = [.. units.Select(unit => unit.UnitId).Concat(_obstacles.Select(obstacle => obstacle.UnitId.ToString())).Distinct(StringComparer.OrdinalIgnoreCase)] };
        }
    }

    private Answer Judged(string question, LoadSummary[] loads)
    {
        UnitLoads[] unplanned = [.. _byUnit.Where(unit => unit.LifeSafetyNotPlanned > 0 || unit.LifeSafetyIsNotCounted)];
        int notPlanned = unplanned.Sum(unit => unit.LifeSafetyNotPlanned);
        LoadSummary[] longer = [.. loads.Where(load => load.LongerThanWorst == true)];
        int unknown = loads.Count(load => load.LongerThanWorst is null);
        int typical = loads.Count(load => load.LongerThanTypical == true && load.LongerThanWorst == false);
        int asPlanned = loads.Count(load => load.State == LoadState.Dark && load.LongerThanWorst == false);
        List<string> sentences = [];
        if (loads.Length == 0)
        {
            sentences.Add("The plan names no life-safety load.");
        }

        Add(notPlanned, "{0} went dark for which no plan here says how long.");
        Add(unknown, "Of {0} nobody knows how long.");
        Add(typical, "{0} dark longer than typical, within the plan's worst case.", verb: true);
        Add(asPlanned, "{0} still dark because the budget refuses it, as the plan says.", verb: true);
        string verdict = longer.Length > 0 ? $"Yes, {ReportText.Number(longer.Length)} of {ReportText.Number(loads.Length + notPlanned)}" : unknown + unplanned.Length > 0 ? "Not known" : "No";
        return new Answer(
            question, verdict, string.Join(" ", sentences),
            [
                .. longer.Select(load => load.LongerBeforeSeconds is { } before && !(load.RealDarkSeconds > before) && load.State != LoadState.Dark ? $"{load.InWords}: {ReportText.Of((double?)before)} s when it was begun before, planned {ReportText.Of(load.PlannedDarkSecondsWorst)} s at worst" : load.State == LoadState.Dark ? $"{load.InWords}: no power yet" : $"{load.InWords}: {ReportText.Of(load.RealDarkSeconds)} s, planned {ReportText.Of(load.PlannedDarkSecondsWorst)} s at worst"),
                .. unplanned.Select(NotPlanned),
            ],
            longer.Length == 0 && unknown == 0 && unplanned.Length == 0);

        void Add(int count, string sentence, bool verb = false)
        {
            if (count > 0)
            {
                string what = ReportText.Count(count, "life-safety load") + (verb ? count == 1 ? " was" : " were" : string.Empty);
                sentences.Add(sentence.Replace("{0}", what));
            }
        }
    }

    private static string NotPlanned(UnitLoads unit) => unit.LifeSafetyNotPlanned > 0
        ? $"{unit.UnitId}: {ReportText.Count(unit.LifeSafetyNotPlanned, "life-safety load")}, no planned times{(unit.RealDarkSeconds is { } dark ? $", dark up to {ReportText.Of((double?)dark)} s" : string.Empty)}"
        : $"{unit.UnitId}: nobody counted its life-safety loads";

    private static bool IsUnnamed(UnitLoads unit) => unit.Dark > unit.Loads.Count(load => load.State == LoadState.Dark);

    private static string Unnamed(UnitLoads unit) => $"{ReportText.Count(unit.Dark - unit.Loads.Count(load => load.State == LoadState.Dark), "load")} of {unit.UnitId}, not named";

    // Life-safety loads first: they are what somebody must look after now.
    private static string[] Names(IEnumerable<LoadSummary> loads) =>
        [.. loads.OrderBy(load => !load.LifeSafety).Select(load => load.InWords + (load.LifeSafety ? " (life-safety)" : string.Empty))];
}
