namespace PoeOps.Report;

/// <summary>The tables of a plan alone, for whoever approves it: nothing in them waits for a run.</summary>
internal static class PlanTables
{
    /// <summary>Makes them.</summary>
    public static IReadOnlyList<ReportTable> Of(RunSummary summary) =>
    [
        Windows(summary), ReportTables.Hand(summary), ReportTables.LifeSafety(summary), ReportTables.Times(summary), ReportTables.Restart(summary), Units(summary), ReportTables.Stages(summary), ReportTables.Loads(summary, summary.Loads),
        Images(summary),
    ];

    /// <summary>What stands in short beneath the answers, a paragraph each.</summary>
    public static IEnumerable<string> Short(RunSummary summary)
    {
        yield return $"Minutes without power, summed over the loads: {ReportText.Of(summary.PlannedDarkLoadMinutes)}. Minutes out of service, until each serves again: {ReportText.Of(summary.PlannedOutOfServiceLoadMinutes)}. Both by typical times.";
        string[] pilots = [.. summary.Units.Where(unit => unit.Pilot).Select(unit => unit.UnitId).Distinct(StringComparer.OrdinalIgnoreCase)];
        if (pilots.Length > 0)
        {
            yield return $"Pilots go first: {string.Join(", ", pilots.Take(24))}{(pilots.Length > 24 ? $" and {ReportText.Number(pilots.Length - 24)} more" : string.Empty)}. The others of a kind start when its loads are back and {ReportText.Of(summary.SoakSeconds / 3600)} h of soak are over.";
        }

        if (summary.Lanes > 1)
        {
            yield return $"{ReportText.Of(summary.Lanes)} runs may be at work at a time, each at its own sites.";
        }
    }

    /// <summary>The windows by the clocks of their sites.</summary>
    public static ReportTable Windows(RunSummary summary) => new(
        "windows", "Windows", "Each window by the clocks of its site, with what is planned in it; the risk is how likely it is too short for its plan", "There is no window.",
        ReportTable.Of("Site", "Window", "Clocks", "Attended", "#Refreshes", "#Loads dark", "#Life-safety", "Over at worst by", "#Reserve min", "#Risk %", "Pilots", "Coverage groups"),
        [
            .. summary.Windows.Select(window => (IReadOnlyList<string>)
            [
                ReportText.Of(window.Site), WindowWords.Span(window), WindowWords.Clocks(window), ReportText.Of((bool?)window.Attended), ReportText.Number(window.Units.Count), ReportText.Of(window.Loads), ReportText.Of(window.LifeSafetyLoads),
                WindowWords.Ends(window), ReportText.Of(window.ReserveSeconds / 60), WindowWords.Risk(window.OverrunProbability), Names(window.Pilots), Names(window.CoverageGroups),
            ]),
        ]);

    /// <summary>What is to be done, unit by unit.</summary>
    public static ReportTable Units(RunSummary summary) => new(
        "done", "What is to be done", "One image on one unit each, with the versions before and after", "No unit is planned.",
        ReportTable.Of("Unit", "#Order", "Site", "Model", "Before", "To", "Image", "#Loads", "#Life-safety", "Pilot", "Coverage group"),
        [
            .. summary.Units.Select(unit => (IReadOnlyList<string>)
            [
                unit.UnitId, ReportText.Of(unit.Order), ReportText.Of(unit.Site), ReportText.Of(unit.Model), ReportText.Of(unit.FirmwareBefore), ReportText.Of(unit.ToFirmware), ReportTables.ImageOf(unit),
                ReportText.Number(unit.Loads), ReportText.Number(unit.LifeSafetyLoads), unit.Pilot ? "pilot" : "no", ReportText.Of(unit.CoverageGroup),
            ]),
        ]);

    /// <summary>The images.</summary>
    public static ReportTable Images(RunSummary summary) => EvidenceTables.Images(summary).Without("Units begun", "SHA-256 begun", "Same");

    private static string Names(IReadOnlyList<string> names) => names.Count == 0 ? "none" : string.Join("; ", names);
}
