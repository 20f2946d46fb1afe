using PoeOps.Files;

namespace PoeOps.Report;

/// <summary>What a report is written as.</summary>
public enum ReportFormat
{
    /// <summary>One page for a browser or for paper, which stands for itself.</summary>
    Html,
    /// <summary>Text with tables, for a ticket or a wiki.</summary>
    Markdown,
    /// <summary>One table, for a spreadsheet.</summary>
    Csv,
    /// <summary>Every value, for other programs.</summary>
    Json,
}

/// <summary>Writes reports, and never over what they are made from.</summary>
public static class ReportFile
{
    /// <summary>The format that a file's name asks for: <c>.md</c>, <c>.csv</c> or <c>.json</c>; a page for every other.</summary>
    /// <param name="path">The file.</param>
    public static ReportFormat FormatOf(string path) => Path.GetExtension(path).ToUpperInvariant() switch
    {
        ".MD" or ".MARKDOWN" => ReportFormat.Markdown,
        ".CSV" => ReportFormat.Csv,
        ".JSON" => ReportFormat.Json,
        _ => ReportFormat.Html,
    };

    /// <summary>The text of a report.</summary>
    /// <param name="summary">The summary.</param>
    /// <param name="format">What it is written as.</param>
    public static string Text(RunSummary summary, ReportFormat format) => format switch
    {
        ReportFormat.Markdown => ReportMarkdown.Of(summary),
        ReportFormat.Csv => ReportCsv.Of(summary),
        ReportFormat.Json => ReportJson.Of(summary),
        _ => ReportHtml.Of(summary),
    };

    /// <summary>Says why a report is not written to a place, as far as it can be told without writing.</summary>
    /// <param name="path">The file.</param>
    /// <param name="sources">The files that it is made from; none of them is ever replaced.</param>
    /// <param name="overwrite">True to replace another file that stands there.</param>
    /// <returns>The problem, or null.</returns>
    public static Problem? Check(string path, IEnumerable<string> sources, bool overwrite) =>
        sources.FirstOrDefault(source => IsSame(path, source)) is { } same
            ? new Problem(ProblemId.ReportOverSource, $"The file '{path}' is one that the report is made from ('{same}'), and is never replaced by it.", "Give the report a file of its own.") { File = path }
            : WholeFile.Check(path, overwrite);

    /// <summary>Says that there is nothing to tell, where that is so.</summary>
    /// <param name="summary">The summary.</param>
    /// <returns>The problem (<see cref="ProblemId.ReportEmpty"/>), or null.</returns>
    public static Problem? Empty(RunSummary summary) => summary.HasPlan || summary.HasRun ? null : new Problem(
        ProblemId.ReportEmpty, "There is nothing to report: no plan was given, and no journal with an entry that can be read.", "Name a plan, the journal of a run, or both.");

    // By its content too: a link or another spelling of the path may lead to it. What is not there, or cannot be read, is told when it is used.
    private static bool IsSame(string path, string source)
    {
        try
        {
            return File.Exists(path) && File.Exists(source)
                && (string.Equals(Path.GetFullPath(path), Path.GetFullPath(source), StringComparison.OrdinalIgnoreCase)
                    || (JournalSource.Digest(path) is { Bytes: > 0 } digest && digest == JournalSource.Digest(source)));
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            return false;
        }
    }
}
