using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Report;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Writes a report of a plan, of the journals of its runs, or of both: what is still dark, whether a life-safety load was dark longer than planned, and which units
/// need a hand come first, then what was done and what it rests on. With a dialect, writes a page that shows how it reads captures. One file that stands for itself,
/// for a browser or for paper, or as Markdown, Csv or Json.
/// </summary>
/// <example><code>Export-PseReport .\night.html -Plan .\winter.plan.json -Journal .\night.journal.jsonl</code><para>What was done, held against what was planned.</para></example>
/// <example><code>Export-PseReport .\before.html -Plan .\winter.plan.json</code><para>What is to be done: who goes dark, and whether all come back.</para></example>
/// <example><code>Export-PseReport .\night.csv -Plan .\winter.plan.json -Journal .\night.journal.jsonl</code><para>The same as a table for a spreadsheet: the file's ending decides.</para></example>
/// <example><code>Get-ChildItem .\*.journal.jsonl | Export-PseReport .\winter.html -Plan .\winter.plan.json</code><para>All nights of a plan, their journals from the pipeline.</para></example>
/// <example><code>Export-PseReport .\reading.html -Dialect kelpline -Capture .\captures\kelpline\*.txt</code><para>The page, and the file that it was written to.</para></example>
/// <example><code>Get-ChildItem .\captures\kelpline\*.txt | Export-PseReport .\reading.html -Dialect kelpline -Force</code><para>The same, with captures from the pipeline; written anew.</para></example>
/// <remarks>
/// <para>The page loads nothing from anywhere, runs no script, and what devices printed stands in it as text alone.</para>
/// </remarks>
/// <whatif>Says which file would be written, and writes none. What would keep it from being written is an error.</whatif>
/// <confirm>Asks before the file is written.</confirm>
/// <seealso cref="GetPseJournalCommand"/>
/// <seealso cref="InvokePseRefreshCommand"/>
/// <seealso cref="TestPseDialectCommand"/>
/// <seealso topic="about_PoeOps_Report"/>
/// <seealso topic="about_PoeOps_Dialects"/>
[Cmdlet(VerbsData.Export, "PseReport", DefaultParameterSetName = RunSet, SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(FileInfo))]
public sealed partial class ExportPseReportCommand : PoeCommand
{
    private const string DialectSet = "Dialect";
    private const string RunSet = "Run";

    private readonly List<string> _files = [];
    private bool _isGiven;

    /// <summary>The page to write, such as <c>reading.html</c>; one that stands there is kept unless <c>-Force</c>.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Path { get; set; } = string.Empty;

    /// <summary>The dialect: a name, or the path of a dialect file.</summary>
    [Parameter(Mandatory = true, ParameterSetName = DialectSet)]
    [ArgumentCompleter(typeof(DialectCompleter))]
    public string Dialect { get; set; } = string.Empty;

    /// <summary>Files that hold what a device printed; wildcards are allowed, and a file of that very name comes first.</summary>
    [Parameter(ParameterSetName = DialectSet, ValueFromPipeline = true)]
    [ValidateNotNullOrEmpty]
    public string[] Capture { get; set; } = [];

    /// <summary>Journals, or with -Dialect captures, by their very names: no character stands for others. Files from the pipeline, and results of a refresh, are taken so.</summary>
    [Parameter(ParameterSetName = DialectSet, ValueFromPipelineByPropertyName = true)]
    [Parameter(ParameterSetName = RunSet, ValueFromPipelineByPropertyName = true)]
    [Alias("JournalPath", "FullName", "PSPath")]
    [ValidateNotNullOrEmpty]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>Replaces a file that stands there.</summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        _isGiven |= Capture.Length > 0 || LiteralPath.Length > 0;

        // A file from the pipeline comes by both names.
        _files.AddRange(Capture.SelectMany(FilePaths).Concat(LiteralPath.Select(FilePath)).Except(_files, StringComparer.Ordinal));
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (ParameterSetName == RunSet)
        {
            ExportRun();
        }
        else if (!_isGiven)
        {
            Fail(new Problem(ProblemId.ReportEmpty, "There is nothing to report: a dialect was given, and no capture that it is to read.", "Name captures with -Capture, or leave -Dialect out for the report of a plan and journals."));
        }
        else if (_files.Count > 0)
        {
            ExportDialect();
        }
    }

    private void ExportDialect()
    {
        string path = FilePath(Path);
        Problem? wrong = WholeFile.Check(path, Force);
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        DialectResult found = FindDialect(Dialect);
        Dialect dialect = Demand(found.Dialect, found.Problems);
        CoverageReading reading = Coverage.Of(dialect, _files);
        WriteVerbose($"Read {Counted(_files.Count, "capture")}: {Counted(reading.Summary.Lines, "line")}, {reading.Summary.Unread} of them unread.");
        Give(path, wrong, $"Write how {dialect.Name} reads {Counted(_files.Count, "capture")}", () => DialectPage.Of(dialect, reading));
    }

    // Under -WhatIf what would be wrong is told as well.
    private void Give(string path, Problem? wrong, string action, Func<string> text)
    {
        if (ShouldProcess(path, action))
        {
            Run(() => Write(path, text()));
            TellWritten("the report", path);
            WriteObject(InvokeProvider.Item.Get([path], force: true, literalPath: true), enumerateCollection: true);
        }
        else if (wrong is not null)
        {
            WriteProblem(wrong);
        }
    }

    private bool Write(string path, string page)
    {
        WholeFile.Write(path, page, Force);
        return true;
    }
}
