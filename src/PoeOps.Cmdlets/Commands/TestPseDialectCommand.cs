using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Dialects;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Runs a dialect over captures and shows what every line was read as: read by which rule, ignored by which rule, blank, prompt, or unread. With a
/// transcript, replays the saved console log of a refresh and shows what would have been seen when.
/// </summary>
/// <example><code>Test-PseDialect -Dialect .\my.dialect.json -Capture .\captures\kelpline\*.txt | Where-Object ReadAs -eq Unread</code><para>The lines that nobody reads.</para></example>
/// <example><code>Test-PseDialect kelpline .\captures\kelpline\*.txt -Summary</code><para>Coverage, rules never used, properties never filled.</para></example>
/// <example><code>Test-PseDialect kelpline .\captures\kelpline\*.txt -Quiet</code><para>True: every line is read, and nothing is wrong.</para></example>
/// <example><code>Test-PseDialect kelpline -Transcript .\refresh.log -TimePattern '\[(?&lt;Time>[^\]]+)\] '</code><para>The stages of a refresh that was done by hand, with their times.</para></example>
/// <remarks>
/// <para>A dialect that is to refresh units wants more than captures that are read: replay the console log of a refresh with -Transcript, and rehearse.</para>
/// </remarks>
/// <seealso cref="NewPseDialectCommand"/>
/// <seealso cref="SavePseCaptureCommand"/>
/// <seealso cref="ExportPseReportCommand"/>
/// <seealso cref="StartPseRehearsalCommand"/>
/// <seealso topic="about_PoeOps_Dialects"/>
[Cmdlet(VerbsDiagnostic.Test, "PseDialect", DefaultParameterSetName = CaptureSet)]
[OutputType(typeof(LineReading), typeof(DialectCoverage), typeof(bool), ParameterSetName = [CaptureSet, LiteralSet])]
[OutputType(typeof(ReplayRow), typeof(ReplaySummary), typeof(bool), ParameterSetName = [TranscriptSet])]
public sealed class TestPseDialectCommand : PoeCommand
{
    private const string CaptureSet = "Capture";
    private const string LiteralSet = "LiteralCapture";
    private const string TranscriptSet = "Transcript";

    private readonly List<string> _files = [];

    /// <summary>The dialect: a name, or the path of a dialect file.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    [ArgumentCompleter(typeof(DialectCompleter))]
    public string Dialect { get; set; } = string.Empty;

    /// <summary>
    /// Files that hold what a device printed; wildcards are allowed, and a file of that very name comes first. Without any, the dialect's own samples are tested.
    /// </summary>
    [Parameter(Position = 1, ParameterSetName = CaptureSet, ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    [ValidateNotNullOrEmpty]
    public string[] Capture { get; set; } = [];

    /// <summary>Captures by their very names: no character stands for others. Files from the pipeline are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = LiteralSet, ValueFromPipelineByPropertyName = true)]
    [Alias("FullName", "PSPath")]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>Console logs of refreshes: transcripts of this module, or what a terminal program saved; wildcards are allowed. Each is replayed on its own.</summary>
    [Parameter(Mandatory = true, ParameterSetName = TranscriptSet)]
    public string[] Transcript { get; set; } = [];

    /// <summary>
    /// A regular expression for the time stamp that a terminal program put before each line, with a group Time; it is taken off before the line is
    /// read. Without it the dialect's refresh.timeStamp counts; a transcript of this module needs none.
    /// </summary>
    [Parameter(ParameterSetName = TranscriptSet)]
    [ValidateNotNullOrEmpty]
    public string? TimePattern { get; set; }

    /// <summary>How the time is written, such as HH:mm:ss; without it the usual ways are tried.</summary>
    [Parameter(ParameterSetName = TranscriptSet)]
    [ValidateNotNull]
    public string[] TimeFormat { get; set; } = [];

    /// <summary>Gives one row for all captures together instead of one a line; one for each refresh of a transcript.</summary>
    [Parameter]
    public SwitchParameter Summary { get; set; }

    /// <summary>
    /// Gives one Boolean: true when the dialect has no problem and no line is unread; for transcripts, true when there is no problem and every refresh
    /// was seen to its success or its failure.
    /// </summary>
    [Parameter]
    public SwitchParameter Quiet { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord() =>
        _files.AddRange((ParameterSetName == TranscriptSet ? Transcript : Capture).SelectMany(FilePaths).Concat(LiteralPath.Select(FilePath)));

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        DialectResult result = FindDialect(Dialect);
        if (result.Dialect is not { } dialect)
        {
            Refuse(result.Problems);
            return;
        }

        if (ParameterSetName == TranscriptSet)
        {
            Replay(dialect);
            return;
        }

        CoverageReading reading = Coverage.Of(dialect, _files);
        WriteVerbose($"Read {(_files.Count == 0 ? "the dialect's own samples" : Counted(_files.Count, "capture"))}: {Counted(reading.Summary.Lines, "line")}, {reading.Summary.Unread} of them unread, {Counted(reading.Problems.Count, "problem")}.");
        if (Quiet)
        {
            WriteObject(reading.Problems.Count == 0 && reading.Summary.Unread == 0);
            return;
        }

        if (Summary)
        {
            WriteObject(reading.Summary);
        }
        else
        {
            WriteObject(reading.Lines, enumerateCollection: true);
        }

        WriteProblems(reading.Problems);
    }

    private void Replay(Dialect dialect)
    {
        ReplayReading[] readings = [.. Replays(dialect)];
        WriteVerbose($"Replayed {Counted(readings.Length, "transcript")} with {Counted(readings.Sum(reading => reading.Refreshes.Count), "refresh", "refreshes")}.");
        if (Quiet)
        {
            WriteObject(readings.Length > 0 && readings.All(reading => reading.IsWhole));
            return;
        }

        foreach (ReplayReading reading in readings)
        {
            WriteObject(Summary ? reading.Refreshes : reading.Rows, enumerateCollection: true);
            WriteProblems(reading.Problems);
        }
    }

    private IEnumerable<ReplayReading> Replays(Dialect dialect)
    {
        TimeStampRule? stamp = null;
        if (TimePattern is { } pattern)
        {
            stamp = TimeStampRule.Parse(pattern, TimeFormat, out Problem? problem);
            if (problem is not null)
            {
                Fail(problem, pattern);
            }
        }

        return _files.Select(file => RefreshReplay.Of(dialect, file, stamp));
    }

    private void Refuse(IReadOnlyList<Problem> problems)
    {
        if (Quiet)
        {
            WriteObject(false);
        }
        else
        {
            Demand<Dialect>(null, problems);
        }
    }
}
