using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>The three answers that stand at the head of a report of a plan alone: not what was, but what is to be, for whoever approves it.</summary>
internal sealed class PlanAnswers(Plan plan, IReadOnlyList<UnitLoads> byUnit, IReadOnlyList<WindowSummary> windows, LongestTimes longest)
{
    private readonly LoadSummary[] _loads = [.. byUnit.SelectMany(unit => unit.Loads)];

    /// <summary>How many loads go dark, in which windows, and for how long at the longest.</summary>
    public Answer GoesDark
    {
        get
        {
            int all = byUnit.Sum(unit => unit.Count);
            LoadSummary[] refused = [.. _loads.Where(load => load.PlannedRestart == RestartOutcome.Refused).OrderBy(load => !load.LifeSafety)];
            string stay = refused.Length == 0 ? string.Empty : $" {ReportText.Number(refused.Length)} of them {(refused.Length == 1 ? "is" : "are")} refused by the budget and {(refused.Length == 1 ? "stays" : "stay")} dark.";
            return new Answer(
                "What goes dark, and when?",
                all == 0 ? "Nothing" : $"{ReportText.Count(all, "load")}, {ReportText.Count(windows.Count, "window")}",
                all == 0 ? string.Empty : HowLong + stay,
                [.. refused.Select(load => $"stays dark: {load.InWords}"), .. windows.Select(window => $"{ReportText.ClipWords(window.Site, 24)}, {WindowWords.Span(window)} ({WindowWords.Clocks(window)}): {ReportText.Count(window.Loads ?? 0, "load")}")],
                refused.Length == 0);
        }
    }

    /// <summary>Which life-safety loads go dark, for how long, and on what ground.</summary>
    public Answer LifeSafety
    {
        get
        {
            LoadSummary[] named = [.. _loads.Where(load => load.LifeSafety)];
            UnitLoads[] units = [.. byUnit.Where(unit => unit.LifeSafety > 0)];
            int count = byUnit.Sum(unit => Math.Max(unit.LifeSafety, unit.Loads.Count(load => load.LifeSafety)));
            string time = named.Max(load => load.PlannedDarkSecondsTypical) is { } typical ? $"The longest is without power for {ReportText.Of((double?)typical)} s, {ReportText.Of(named.Max(load => load.PlannedDarkSecondsWorst))} s at worst. " : string.Empty;
            string grounds = string.Join(" ", units.GroupBy(unit => unit.Ground, StringComparer.Ordinal).Select(ground => $"{ReportText.Count(ground.Sum(unit => unit.LifeSafety), "load")}: {ground.Key}."));
            return new Answer(
                "Which life-safety loads go dark?",
                count == 0 ? "None" : ReportText.Count(count, "life-safety load"),
                count == 0 ? "The plan names no life-safety load." : time + grounds,
                [
                    .. named.Select(load => $"{load.InWords}: {ReportText.Of(load.PlannedDarkSecondsTypical)} s, {ReportText.Of(load.PlannedDarkSecondsWorst)} s at worst"),
                    .. units.Where(unit => unit.LifeSafety > unit.Loads.Count(load => load.LifeSafety)).Select(unit => $"{ReportText.Number(unit.LifeSafety - unit.Loads.Count(load => load.LifeSafety))} of {unit.UnitId}, not named"),
                ],
                count == 0);
        }
    }

    /// <summary>What is not planned, and why.</summary>
    public Answer NotPlanned
    {
        get
        {
            string[] units = [.. plan.Obstacles.Select(obstacle => obstacle.UnitId.ToString()).Distinct(StringComparer.OrdinalIgnoreCase)];
            return new Answer(
                "What is not planned, and why?", units.Length == 0 ? "Nothing" : ReportText.Count(units.Length, "unit"), string.Empty,
                [.. plan.Obstacles.Select(obstacle => $"{obstacle.UnitId}: {obstacle.Reason}")], units.Length == 0)
            { Units = units };
        }
    }

    private string HowLong => longest is { DarkTypical: { } dark, DarkWorst: { } darkWorst, OutOfServiceTypical: { } out1, OutOfServiceWorst: { } out2 }
        ? $"The longest is without power for {ReportText.Of((double?)dark)} s, {ReportText.Of((double?)darkWorst)} s at worst, and out of service until it has started: {ReportText.Of((double?)out1)} s, {ReportText.Of((double?)out2)} s at worst ({ReportText.Number(DarkUnit.Minutes(out1))} and {ReportText.Number(DarkUnit.Minutes(out2))} minutes in notices), each time."
        : "Nobody knows for how long at the longest.";
}
