namespace PoeOps.Report;

/// <summary>A table of a report, before anybody knows in which format it is printed.</summary>
/// <param name="Anchor">Its place on a page.</param>
/// <param name="Title">What stands over it.</param>
/// <param name="Caption">What it shows, in a sentence.</param>
/// <param name="Empty">What stands there where it has no rows.</param>
/// <param name="Columns">Its columns.</param>
/// <param name="Rows">Its rows; the first cell names what the row is about.</param>
internal sealed record ReportTable(string Anchor, string Title, string Caption, string Empty, IReadOnlyList<ReportColumn> Columns, IReadOnlyList<IReadOnlyList<string>> Rows)
{
    /// <summary>Columns by their names; a # before a name is for numbers, a ~ for sentences.</summary>
    public static IReadOnlyList<ReportColumn> Of(params string[] names) => [.. names.Select(name => new ReportColumn(name.TrimStart('#', '~'), name[0] == '#', name[0] == '~'))];

    /// <summary>The table without some of its columns.</summary>
    /// <param name="names">Their names.</param>
    public ReportTable Without(params string[] names)
    {
        int[] kept = [.. Enumerable.Range(0, Columns.Count).Where(at => !names.Contains(Columns[at].Name))];
        return this with { Columns = [.. kept.Select(at => Columns[at])], Rows = [.. Rows.Select(row => (IReadOnlyList<string>)[.. kept.Select(at => row[at])])] };
    }
}

/// <summary>A column of a table.</summary>
/// <param name="Name">What stands over it.</param>
/// <param name="IsNumber">True for numbers.</param>
/// <param name="IsProse">True for sentences.</param>
internal sealed record ReportColumn(string Name, bool IsNumber, bool IsProse);

/// <summary>What stands over a report.</summary>
internal static class ReportTitle
{
    /// <summary>The title.</summary>
    public static string Of(RunSummary summary)
    {
        string name = summary.PlanName.Length > 0 ? $" {ReportText.Clip(summary.PlanName, 60)}" : string.Empty;
        return summary switch
        {
            { HasRun: false } => $"{RehearsalWords.Kind(summary)}{name}: what is to be done",
            { HasPlan: false } => $"{RehearsalWords.Kind(summary)}{name}: what was done",
            _ => $"{RehearsalWords.Kind(summary)}{name}: planned and done",
        };
    }

    /// <summary>Up to when it tells, and from what.</summary>
    public static string About(RunSummary summary)
    {
        string from = summary switch
        {
            { HasRun: false } => "From the plan alone.",
            { HasPlan: false } => $"From {ReportText.Count(summary.Journals.Count, "journal")} alone, without the plan.",
            _ => $"From the plan and {ReportText.Count(summary.Journals.Count, "journal")}.",
        };
        string rehearsal = summary.Rehearsal.Length > 0 ? summary.Rehearsal + " " : string.Empty;
        return $"{rehearsal}As of {ReportText.Of(summary.AsOfUtc)}. {(summary.IsPlanAlone ? "Times are UTC unless they name the clocks of a site." : "All times are UTC.")} {from}";
    }

    /// <summary>How many units are in each state, in a line.</summary>
    public static string States(RunSummary summary) =>
        summary.Units.Count == 0 ? "No unit is planned, and none was begun." : $"Of {ReportText.Count(summary.Units.Count, "refresh").Replace("refreshs", "refreshes")}: {string.Join(", ", summary.States.Select(state => $"{ReportText.Number(state.Units)} {ReportText.Of(state.State).ToLowerInvariant()}"))}.";
}
