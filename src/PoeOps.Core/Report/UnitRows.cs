using PoeOps.Baselines;
using PoeOps.Outages;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Report;

/// <summary>One image on one unit, with what it was made from.</summary>
/// <param name="Planned">What was planned; null where no plan says.</param>
/// <param name="Story">What came of it the last time; null where no journal says.</param>
/// <param name="Summary">Both in plain values.</param>
internal sealed record UnitRow(PlannedUnit? Planned, RefreshStory? Story, UnitSummary Summary)
{
    /// <summary>What came of it before, where it was begun more than once.</summary>
    public IReadOnlyList<RefreshStory> Earlier { get; init; } = [];
}

/// <summary>Puts the attempts of journals beside the images of a plan: by unit and firmware; an attempt that no plan knows has a row of its own.</summary>
internal sealed class UnitRows
{
    private readonly Plan? _plan;
    private readonly RefreshStories _stories;
    private readonly bool _hasRun;
    private readonly HashSet<string> _notBegun;

    /// <summary>Makes the rows.</summary>
    public UnitRows(Plan? plan, RefreshStories stories, bool hasRun)
    {
        _plan = plan;
        _stories = stories;
        _hasRun = hasRun;
        _notBegun = new(stories.NotBegun, StringComparer.OrdinalIgnoreCase);
        ILookup<string, RefreshStory> byUnit = stories.ByUnit;
        ILookup<string, PlannedUnit> planned = (plan?.Units ?? []).OrderBy(unit => unit.Order).ToLookup(unit => unit.UnitId.ToString(), StringComparer.OrdinalIgnoreCase);
        Dictionary<PlannedUnit, List<RefreshStory>> hops = [];
        Dictionary<string, List<List<RefreshStory>>> others = new(StringComparer.OrdinalIgnoreCase);
        foreach (string unit in stories.Units)
        {
            others[unit] = Share([.. planned[unit]], byUnit[unit], hops);
        }

        Rows =
        [
            .. (plan?.Units ?? []).OrderBy(unit => unit.Order).Select(unit => Row(unit, hops.TryGetValue(unit, out List<RefreshStory>? own) ? own : [], unit.Hop, unit.Hops)),
            .. stories.Units.SelectMany(unit => others[unit].GroupBy(own => stories.FingerprintOf(own[0])).SelectMany(ofPlan => ofPlan.Select((own, at) => Row(null, own, at + 1, ofPlan.Count())))),
            .. plan is null ? stories.NotBegun.Where(unit => !byUnit.Contains(unit)).Distinct(StringComparer.OrdinalIgnoreCase).Select(NeverBegun) : [],
        ];
    }

    /// <summary>The rows in the order of the plan, behind them those that it does not know, in the order of the journals.</summary>
    public IReadOnlyList<UnitRow> Rows { get; }

    // Gives each attempt to its image. A refusal does not say of which image it was: it is that of the first one which is not through.
    private List<List<RefreshStory>> Share(PlannedUnit[] planned, IEnumerable<RefreshStory> stories, Dictionary<PlannedUnit, List<RefreshStory>> hops)
    {
        List<List<RefreshStory>> others = [];
        foreach (RefreshStory story in stories)
        {
            PlannedUnit? hop = story.HasBegun
                ? planned.FirstOrDefault(unit => unit.ToFirmware == story.To)
                : planned.FirstOrDefault(unit => !hops.TryGetValue(unit, out List<RefreshStory>? before) || (!story.WaitsForImageBefore && !IsThrough(before[before.Count - 1]) && before[before.Count - 1].Run != story.Run))
                    ?? planned.LastOrDefault();
            if (hop is not null)
            {
                Add(hops, hop, story);
            }
            else if (others.FirstOrDefault(list => IsOfOnePlan(list[0], story) && (list[0].To == story.To || !list[list.Count - 1].HasBegun)) is { } same)
            {
                same.Add(story);
            }
            else
            {
                others.Add([story]);
            }
        }

        return others;
    }

    private bool IsOfOnePlan(RefreshStory one, RefreshStory other) => _stories.FingerprintOf(one) == _stories.FingerprintOf(other);

    private static void Add(Dictionary<PlannedUnit, List<RefreshStory>> hops, PlannedUnit hop, RefreshStory story)
    {
        if (!hops.TryGetValue(hop, out List<RefreshStory>? list))
        {
            hops.Add(hop, list = []);
        }

        list.Add(story);
    }

    private static bool IsThrough(RefreshStory story) => story.State is UnitState.Done or UnitState.Degraded;

    private UnitRow NeverBegun(string unit) => new(null, null, new UnitSummary { UnitId = unit, State = UnitState.NotBegun, Reason = NotBegunReason });

    private string NotBegunReason => _stories.LastRun is { EndedUtc: not null } run ? $"The run ended before it: {run.Because}." : "The run has not come to it.";

    private UnitRow Row(PlannedUnit? planned, List<RefreshStory> stories, int hop, int hops)
    {
        // A refusal after an attempt that was begun does not hide what that attempt did.
        RefreshStory? story = stories.Count == 0 ? null : stories.LastOrDefault(one => one.HasBegun) ?? stories[stories.Count - 1];
        UnitSummary known = Planned(planned, hop, hops);
        return new UnitRow(planned, story, story is null ? Untouched(known) : Done(known, story, stories)) { Earlier = [.. stories.Where(one => one.HasBegun && one != story)] };
    }

    private static UnitSummary Planned(PlannedUnit? unit, int hop, int hops) => unit is null ? new UnitSummary { Hop = hop, Hops = hops } : new UnitSummary
    {
        Order = unit.Order,
        Site = unit.Site,
        UnitId = unit.UnitId.ToString(),
        Model = unit.Model,
        Hop = hop,
        Hops = hops,
        FirmwareBefore = unit.FromFirmware,
        ToFirmware = unit.ToFirmware,
        ImageFile = unit.ImageFile,
        ImageSha256 = unit.ImageSha256,
        PlannedStartUtc = unit.StartUtc,
        PlannedEndUtc = unit.EndUtc,
        PlannedDarkSecondsTypical = DarkSeconds(unit, HopTimes.Typical),
        PlannedDarkSecondsWorst = DarkSeconds(unit, HopTimes.Worst),
        Loads = unit.Loads,
        LifeSafetyLoads = unit.LifeSafetyLoads,
        LifeSafetyAcceptedBy = unit.LifeSafetyAcceptedBy ?? string.Empty,
        WindowAttended = unit.WindowAttended,
        Pilot = unit.Pilot,
        CoverageGroup = unit.CoverageGroup,
        Stages = [.. Names.Select(name => Stage(name, unit, null))],
    };

    private static double? DarkSeconds(PlannedUnit unit, Func<Hop, (HopTimes? Times, Problem? Problem)> times) =>
        times(new Hop(unit.ToFirmware, unit.Image, unit.StageTimes)).Times?.Dark + (unit.DarkLoads.Select(load => load.BackSeconds).Max() ?? 0);

    private UnitSummary Untouched(UnitSummary unit) => !_hasRun ? unit with { State = UnitState.Planned } : unit with
    {
        State = UnitState.NotBegun,
        Reason = NotBegunReason,
    };

    private static UnitSummary Done(UnitSummary unit, RefreshStory story, List<RefreshStory> stories)
    {
        RefreshStory last = stories[stories.Count - 1];
        int attempts = stories.Count(one => one.HasBegun);
        bool isThere = last.ProblemId == nameof(PoeOps.ProblemId.NothingToDo) && !last.HasBegun;
        string later = last != story ? $" Afterwards it was not begun again: {last.Reason}" : string.Empty;
        string again = attempts > 1 ? $" It was begun {ReportText.Number(attempts)} times; times are those of the last." : string.Empty;
        string reason = story.State == UnitState.Open ? "It was begun, and no end is written: a run is at work on it, or broke off." : story.Reason;
        UnitSummary done = unit with
        {
            UnitId = unit.UnitId.Length > 0 ? unit.UnitId : story.Unit,
            Model = unit.Model.Length > 0 ? unit.Model : story.Begun("model"),
            State = isThere ? UnitState.Skipped : story.State,
            Reason = reason + later + again,
            ProblemId = story.ProblemId,
            FirmwareBefore = story.Before.Length > 0 ? story.Before : unit.FirmwareBefore,
            ToFirmware = story.To.Length > 0 ? story.To : unit.ToFirmware,
            FirmwareNow = isThere ? last.Now : story.Now,
            ImageFile = story.HasBegun ? story.Begun("image") : unit.ImageFile,
            ImageSha256 = story.HasBegun ? story.Begun("sha256") : unit.ImageSha256,
            GatesUtc = story.GatesUtc,
            BeganUtc = story.BeganUtc,
            DarkFromUtc = story.DarkFromUtc,
            EndedUtc = story.EndedUtc,
            RealDarkSeconds = story.DarkSeconds,
            Loads = story.Loads ?? unit.Loads,
            LoadsBack = story.LoadsBack,
            LifeSafetyLoads = story.LifeSafety ?? unit.LifeSafetyLoads,
            Attempts = attempts,
            Late = story.IsLate,
            NotBack = story.NotBack,
            Notes = story.Notes,
            Stages = [.. Names.Select((name, at) => Stage(name, null, story) with { TypicalSeconds = Of(unit, at)?.TypicalSeconds, WorstSeconds = Of(unit, at)?.WorstSeconds })],
        };
        return done with { Hand = HandOf(done) };
    }

    private static string[] Names { get; } = Enum.GetNames(typeof(Stage));

    private static StageSummary? Of(UnitSummary unit, int at) => unit.Stages.Count == 0 ? null : unit.Stages[at];

    private static StageSummary Stage(string name, PlannedUnit? unit, RefreshStory? story) => new()
    {
        Stage = name,
        TypicalSeconds = unit?.StageTimes.Of(name)?.TypicalSeconds,
        WorstSeconds = name == nameof(Refresh.Stage.Recover) ? unit?.RecoverSeconds : unit?.StageTimes.Of(name)?.WorstSeconds,
        RealSeconds = story?.SecondsOf(name),
        BeganUtc = story?.BeganOf(name),
    };

    private static string HandOf(UnitSummary unit) => unit.State switch
    {
        UnitState.Failed => "Look at the unit, then refresh it by hand or plan it anew.",
        UnitState.Uncertain => "Look at the unit by hand before anything is sent to it again, or let Invoke-PseRefresh -Resume ask it.",
        UnitState.Open or UnitState.Detached => "Unless a run is at work on it now, look at the unit, or let Invoke-PseRefresh -Resume ask it, before anything is sent to it again.",
        UnitState.Degraded => "Bring back what is not back.",
        UnitState.Refused => "Mend what stood in the way, then run or plan it again.",
        _ => string.Empty,
    };
}
