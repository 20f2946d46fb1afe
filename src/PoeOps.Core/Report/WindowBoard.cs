using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>Adds to the windows of a plan what whoever approves it asks: by which clocks, how many loads, what reserve, how likely too short, which pilots.</summary>
internal static class WindowBoard
{
    /// <summary>The windows with all of that.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="windows">Its windows.</param>
    /// <param name="units">The units that they point to.</param>
    /// <param name="estate">The estate of the plan.</param>
    public static IReadOnlyList<WindowSummary> Of(Plan plan, IReadOnlyList<WindowSummary> windows, IReadOnlyList<UnitRow> units, ReportEstate estate)
    {
        Dictionary<(string, DateTime, DateTime), WindowRisk> risks = [];
        foreach (WindowRisk risk in plan.Risks)
        {
            risks[(risk.Site.ToUpperInvariant(), risk.WindowOpensUtc, risk.WindowClosesUtc)] = risk;
        }

        return [.. windows.Select(window => With(window, [.. window.Units.Select(at => units[at].Planned!)], estate, risks.TryGetValue((window.Site.ToUpperInvariant(), window.OpensUtc, window.ClosesUtc), out WindowRisk? risk) ? risk : null))];
    }

    private static WindowSummary With(WindowSummary window, PlannedUnit[] units, ReportEstate estate, WindowRisk? risk) => window with
    {
        Zone = estate.ZoneOf(window.Site),
        OpensOffset = estate.At(window.Site, window.OpensUtc)?.Offset,
        ClosesOffset = estate.At(window.Site, window.ClosesUtc)?.Offset,
        EndsUtc = units.Max(unit => unit.EndUtc),
        Loads = Sum(units, unit => unit.Loads),
        LifeSafetyLoads = Sum(units, unit => unit.LifeSafetyLoads),
        ReserveSeconds = units.Max(unit => unit.ReserveSeconds),
        OverrunProbability = risk?.OverrunProbability,
        Pilots = [.. units.Where(unit => unit.Pilot).Select(unit => unit.UnitId.ToString()).Distinct(StringComparer.OrdinalIgnoreCase)],
        CoverageGroups = [.. units.Where(unit => unit.CoverageGroup.Length > 0).GroupBy(unit => unit.CoverageGroup, StringComparer.OrdinalIgnoreCase).Select(Group)],
    };

    private static string Group(IGrouping<string, PlannedUnit> units) => $"{units.Key}: {string.Join(", ", units.Select(unit => unit.UnitId.ToString()).Distinct(StringComparer.OrdinalIgnoreCase))}";

    // A unit that gets several images in one window has its loads but once.
    private static int Sum(PlannedUnit[] units, Func<PlannedUnit, int> loads) => units.GroupBy(unit => unit.UnitId).Sum(hops => hops.Max(loads));
}
