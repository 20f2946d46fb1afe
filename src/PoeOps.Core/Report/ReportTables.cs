using PoeOps.Refresh;

namespace PoeOps.Report;

/// <summary>The tables of a report, in the order in which somebody asks for them.</summary>
internal static class ReportTables
{
    private static readonly string[] Watched = [.. Enum.GetNames(typeof(Stage)).Where(stage => stage != nameof(Stage.Gate))];

    /// <summary>Makes them.</summary>
    public static IReadOnlyList<ReportTable> Of(RunSummary summary) => summary.IsPlanAlone ? PlanTables.Of(summary) :
    [
        NotBack(summary), Hand(summary), LifeSafety(summary), Times(summary), Restart(summary), Done(summary), Stages(summary), Loads(summary, summary.Loads), Notes(summary), .. EvidenceTables.Of(summary),
    ];

    /// <summary>What was done, unit by unit.</summary>
    public static ReportTable Done(RunSummary summary) => new(
        "done", "What was done", "One image on one unit each, with the versions before and after", "No unit is planned, and none was begun.",
        ReportTable.Of("Unit", "#Order", "Site", "Model", "State", "Before", "To", "Now", "Image", "#Loads", "#Back", "#Life-safety", "~Why"),
        [
            .. summary.Units.Select(unit => (IReadOnlyList<string>)
            [
                unit.UnitId, ReportText.Of(unit.Order), ReportText.Of(unit.Site), ReportText.Of(unit.Model), ReportText.Of(unit.State), ReportText.Of(unit.FirmwareBefore), ReportText.Of(unit.ToFirmware), ReportText.Of(unit.FirmwareNow),
                ImageOf(unit),
                ReportText.Number(unit.Loads), ReportText.Of(unit.LoadsBack), ReportText.Number(unit.LifeSafetyLoads), ReportText.Of(unit.Reason),
            ]),
        ]);

    /// <summary>An image, and which of how many it is.</summary>
    public static string ImageOf(UnitSummary unit) => ReportText.Of(unit.ImageFile) + (unit.Hops > 1 ? $" ({ReportText.Number(unit.Hop)} of {ReportText.Number(unit.Hops)})" : string.Empty);

    /// <summary>Loads and settings that are not back.</summary>
    public static ReportTable NotBack(RunSummary summary) => new(
        "not-back", "What is not back", "Loads without power, loads of which nobody knows, and settings that are not what they were",
        "Everything that went dark is back, as far as the journal says.",
        ReportTable.Of("What", "Unit", "Port", "Role", "Life-safety", "State", "Dark since"),
        [
            .. summary.Loads.Where(load => load.State is LoadState.Dark or LoadState.NotKnown).OrderBy(load => !load.LifeSafety).ThenBy(load => load.State).Select(load => (IReadOnlyList<string>)
            [
                load.Load.Length > 0 ? load.Load : "load", load.UnitId, load.Port, ReportText.Of(load.Role), load.LifeSafety ? "YES" : "no", ReportText.Of(load.State), ReportText.Of(load.RealDarkFromUtc),
            ]),
            .. summary.Units.SelectMany(unit => unit.NotBack.Where(what => !what.EndsWith(" has no power", StringComparison.Ordinal)).Select(what => (IReadOnlyList<string>)
            [
                what, unit.UnitId, ReportText.Nothing, ReportText.Nothing, ReportText.Nothing, "not as it was", ReportText.Nothing,
            ])),
        ]);

    /// <summary>What somebody must do.</summary>
    public static ReportTable Hand(RunSummary summary) => new(
        "by-hand", summary.IsPlanAlone ? "What is not planned" : "What needs a hand", summary.IsPlanAlone ? "Units that are not planned, and what would lift what is in the way" : "Units that ended otherwise than done, and units that are not planned", "Nothing.",
        ReportTable.Of("Unit", "State", "~Why", "~What to do"),
        [
            .. summary.Units.Where(unit => unit.Hand.Length > 0).Select(unit => (IReadOnlyList<string>)[unit.UnitId, ReportText.Of(unit.State), ReportText.Of(unit.Reason), unit.Hand]),
            .. summary.Obstacles.Select(obstacle => (IReadOnlyList<string>)[obstacle.UnitId.ToString(), "Not planned", obstacle.Reason, ReportText.Of(obstacle.WouldHelp)]),
        ]);

    /// <summary>The life-safety loads.</summary>
    public static ReportTable LifeSafety(RunSummary summary)
    {
        string[] real = summary.IsPlanAlone ? ["State", "Real s", "Longer than worst"] : [];
        ILookup<string, UnitSummary> units = summary.Units.ToLookup(unit => unit.UnitId, StringComparer.OrdinalIgnoreCase);
        return new ReportTable(
            "life-safety", "Life-safety loads", "Loads without which people can come to harm, and who accepted that they go dark", "None is named.",
            ReportTable.Of("Load", "Unit", "Port", "Role", "State", "#Planned s", "#Worst s", "#Real s", "Longer than worst", "Accepted by"),
            [
                .. summary.Loads.Where(load => load.LifeSafety).Select(load => (IReadOnlyList<string>)
                [
                    load.Load.Length > 0 ? load.Load : "load", load.UnitId, load.Port, ReportText.Of(load.Role), ReportText.Of(load.State), ReportText.Of(load.PlannedDarkSecondsTypical), ReportText.Of(load.PlannedDarkSecondsWorst),
                    ReportText.Of(load.RealDarkSeconds), ReportText.Of(load.LongerThanWorst), GroundWords.Cell([.. units[load.UnitId]]),
                ]),
            ]).Without(real);
    }

    /// <summary>When, by window.</summary>
    public static ReportTable Times(RunSummary summary) => new ReportTable(
        "times", "Timeline", summary.IsPlanAlone ? "Windows with their units: planned times" : "Windows with their units: planned and real times", "There is no window and no run.",
        ReportTable.Of("Unit", "Window", "Planned start", "Planned end", "Gates began", "Begun", "Dark from", "Left"),
        [
            .. summary.Windows.SelectMany(window => window.Units.Select(at => (window, unit: summary.Units[at]))).Select(one => (IReadOnlyList<string>)
            [
                one.unit.UnitId, WindowName(one.window), ReportText.Of(one.unit.PlannedStartUtc), ReportText.Of(one.unit.PlannedEndUtc), ReportText.Of(one.unit.GatesUtc), ReportText.Of(one.unit.BeganUtc), ReportText.Of(one.unit.DarkFromUtc), ReportText.Of(one.unit.EndedUtc),
            ]),
        ]).Without(summary.IsPlanAlone ? ["Gates began", "Begun", "Dark from", "Left"] : []);

    /// <summary>How long the stages took.</summary>
    public static ReportTable Stages(RunSummary summary) => new ReportTable(
        "stages", summary.IsPlanAlone ? "Stages" : "Planned and real", $"Seconds of each stage and of dark: planned as a rule, in brackets at worst{(summary.IsPlanAlone ? string.Empty : ", then real")}", "No times are known.",
        ReportTable.Of(["Unit", "To", .. Watched.SelectMany(stage => new[] { $"#{stage} planned", $"#{stage} real" }), "#Dark planned", "#Dark real"]),
        [
            .. summary.Units.Where(HasTimes).Select(unit => (IReadOnlyList<string>)
            [
                unit.UnitId, ReportText.Of(unit.ToFirmware),
                .. unit.Stages.Where(stage => Watched.Contains(stage.Stage)).SelectMany(stage => new[] { Planned(stage.TypicalSeconds, stage.WorstSeconds), ReportText.Of(stage.RealSeconds) }),
                Planned(unit.PlannedDarkSecondsTypical, unit.PlannedDarkSecondsWorst), ReportText.Of(unit.RealDarkSeconds),
            ]),
        ]).Without(summary.IsPlanAlone ? [.. Watched.Select(stage => $"{stage} real"), "Dark real"] : []);

    /// <summary>How the loads come back against the budget.</summary>
    public static ReportTable Restart(RunSummary summary) => new ReportTable(
        "restart", "Restart and budget", "What the loads of a unit ask for and are granted after the reset; seconds count from its end", "Nothing is known of it.",
        ReportTable.Of("Unit", "#Budget W", "#Demand W", "#Shortfall W", "#Granted W", "#Back by plan", "#Refused by plan", "#Last back planned s", "#Back", "#Last back real s"),
        [
            .. summary.Curves.Select(curve => (IReadOnlyList<string>)
            [
                curve.UnitId, ReportText.Of(curve.BudgetWatts), ReportText.Of(curve.DemandWatts), ReportText.Of(curve.ShortfallWatts), curve.WattsAreGranted ? ReportText.Of((decimal?)curve.PlannedWatts) : ReportText.Nothing,
                summary.HasPlan ? ReportText.Number(curve.Planned.Count) : ReportText.Nothing, ReportText.Of(curve.RefusedLoads), ReportText.Of(Last(curve.Planned)), curve.Real.Count == 0 ? ReportText.Nothing : ReportText.Number(curve.Real.Count), ReportText.Of(Last(curve.Real)),
            ]),
        ]).Without(summary.IsPlanAlone ? ["Back", "Last back real s"] : []);

    /// <summary>The loads.</summary>
    public static ReportTable Loads(RunSummary summary, IReadOnlyList<LoadSummary> loads) => new ReportTable(
        "loads", summary.HasRun ? "Loads that were dark" : "Loads that go dark", summary.IsPlanAlone ? "From when to when by the plan, without power" : "From when to when without power, planned and real", "None.",
        ReportTable.Of("Load", "Unit", "Port", "Role", "Life-safety", "State", "Planned dark from", "Planned until", "#Planned s", "#Worst s", "Dark from", "Until", "#Real s"),
        [
            .. loads.SelectMany(load => Times(load).Select(time => (IReadOnlyList<string>)
            [
                load.Load.Length > 0 ? load.Load : "load", load.UnitId, load.Port, ReportText.Of(load.Role), load.LifeSafety ? "YES" : "no", ReportText.Of(load.State) + (load.PlannedRestart == Outages.RestartOutcome.Refused ? ", refused by plan" : string.Empty),
                Nth(load, time, time.PlannedFromUtc), ReportText.Of(time.PlannedUntilUtc), ReportText.Of(time.PlannedSecondsTypical), ReportText.Of(time.PlannedSecondsWorst), ReportText.Of(time.RealFromUtc), ReportText.Of(time.RealUntilUtc), ReportText.Of(time.RealSeconds),
            ])),
        ]).Without(summary.IsPlanAlone ? ["State", "Dark from", "Until", "Real s"] : []);

    // A load that is dark more than once has a row for each time.
    private static IReadOnlyList<DarkTime> Times(LoadSummary load) => load.Times.Count > 0 ? load.Times :
    [
        new()
        {
            PlannedFromUtc = load.PlannedDarkFromUtc,
            PlannedUntilUtc = load.PlannedDarkUntilUtc,
            PlannedSecondsTypical = load.PlannedDarkSecondsTypical,
            PlannedSecondsWorst = load.PlannedDarkSecondsWorst,
            RealFromUtc = load.RealDarkFromUtc,
            RealUntilUtc = load.RealDarkUntilUtc,
            RealSeconds = load.RealDarkSeconds,
        },
    ];

    private static string Nth(LoadSummary load, DarkTime time, DateTime? utc) =>
        ReportText.Of(utc) + (load.Times.Count > 0 ? $" ({ReportText.Number(time.Number)} of {ReportText.Number(load.Times.Count)})" : string.Empty);

    /// <summary>What else a journal says.</summary>
    public static ReportTable Notes(RunSummary summary) => new(
        "notes", "Notes", "What else the journal says: settings that were put back, draws that changed, and more", "None.",
        ReportTable.Of("Unit", "~Note"), [.. summary.Units.SelectMany(unit => unit.Notes.Select(note => (IReadOnlyList<string>)[unit.UnitId, note]))]);

    /// <summary>A window's name.</summary>
    public static string WindowName(WindowSummary window) =>
        $"{(window.IsPlanned ? window.Site.Length > 0 ? window.Site : "Window" : "Run")}, {ReportText.Minute(window.OpensUtc)} to {(window.ClosesUtc.Date == window.OpensUtc.Date ? ReportText.Clock(window.ClosesUtc) : ReportText.Minute(window.ClosesUtc))}";

    private static bool HasTimes(UnitSummary unit) => unit.RealDarkSeconds is not null || unit.Stages.Any(stage => stage is not { TypicalSeconds: null, WorstSeconds: null, RealSeconds: null });

    private static string Planned(double? typical, double? worst) => typical is null && worst is null ? ReportText.Nothing : $"{ReportText.Of(typical)} ({ReportText.Of(worst)})";

    private static double? Last(IReadOnlyList<CurveStep> steps) => steps.Count == 0 ? null : steps[steps.Count - 1].Seconds;
}
