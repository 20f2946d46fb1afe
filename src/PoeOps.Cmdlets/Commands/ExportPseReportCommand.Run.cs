using System.Management.Automation;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Cmdlets.Commands;

/// <content>The report of a plan, of journals, or of both.</content>
public sealed partial class ExportPseReportCommand
{
    /// <summary>A plan file: the report holds what was done against it, or says what is to be done where no journal is named.</summary>
    [Parameter(ParameterSetName = RunSet)]
    [Alias("PlanPath")]
    [ValidateNotNullOrEmpty]
    public string Plan { get; set; } = string.Empty;

    /// <summary>Journals of runs; wildcards are allowed, and a file of that very name comes first. A run may still be writing them.</summary>
    [Parameter(ParameterSetName = RunSet)]
    [ValidateNotNullOrEmpty]
    public string[] Journal { get; set; } = [];

    /// <summary>What the report is written as; where it is not said, the ending of <c>-Path</c> says it: .md, .csv, .json, and a page for every other.</summary>
    [Parameter(ParameterSetName = RunSet)]
    public ReportFormat? Format { get; set; }

    private void ExportRun()
    {
        string path = FilePath(Path);
        string[] journals = [.. Journal.SelectMany(FilePaths).Concat(_files).Distinct(StringComparer.Ordinal)];
        string[] plans = Plan.Length > 0 ? [FilePath(Plan)] : [];
        Problem? wrong = ReportFile.Check(path, journals.Concat(plans), Force);
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        RunSummary summary = Summary(plans, journals);
        if (ReportFile.Empty(summary) is { } empty)
        {
            Fail(empty);
        }

        ReportFormat format = Format ?? ReportFile.FormatOf(path);
        Give(path, wrong, $"Write the report of {Counted(plans.Length, "plan")} and {Counted(journals.Length, "journal")} as {format}", () => ReportFile.Text(summary, format));
    }

    private RunSummary Summary(string[] plans, string[] journals)
    {
        Plan? plan = null;
        foreach (string file in plans)
        {
            PlanResult result = PlanFile.Read(file);
            plan = Demand(result.Plan, result.Problems);
            TellPlan(plan, file);
        }

        JournalSource[] read = [.. journals.Select(JournalSource.Read)];
        foreach (JournalSource journal in read)
        {
            TellJournal(journal.Reading, journal.Path);
        }

        var summary = RunSummary.Of(plan, read);
        WriteProblems(summary.Problems);
        return summary;
    }
}
