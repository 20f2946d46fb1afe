using System.Management.Automation;
using PoeOps.Dialects;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Runs a dialect over captures and shows what every line was read as: read by which rule, ignored by which rule, blank, prompt, or unread.
/// </summary>
/// <example><code>Test-PseDialect -Dialect .\my.dialect.json -Capture .\*.txt | Where-Object ReadAs -eq Unread</code><para>The lines that nobody reads.</para></example>
/// <example><code>Test-PseDialect .\my.dialect.json .\*.txt -Summary</code><para>Coverage, rules never used, properties never filled.</para></example>
[Cmdlet(VerbsDiagnostic.Test, "PseDialect", DefaultParameterSetName = "Capture")]
[OutputType(typeof(LineReading), typeof(DialectCoverage), typeof(bool))]
public sealed class TestPseDialectCommand : PoeCommand
{
    private readonly List<string> _files = [];

    /// <summary>The dialect: a name, or the path of a dialect file.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Dialect { get; set; } = string.Empty;

    /// <summary>
    /// Files that hold what a device printed; wildcards are allowed, and a file of that very name comes first. Without any, the dialect's own samples are tested.
    /// </summary>
    [Parameter(Position = 1, ParameterSetName = "Capture", ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    public string[] Capture { get; set; } = [];

    /// <summary>Captures by their very names: no character stands for others. Files from the pipeline are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "LiteralCapture", ValueFromPipelineByPropertyName = true)]
    [Alias("FullName", "PSPath")]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>Gives one row for all captures together instead of one a line.</summary>
    [Parameter]
    public SwitchParameter Summary { get; set; }

    /// <summary>Gives one Boolean: true when the dialect has no problem and no line is unread.</summary>
    [Parameter]
    public SwitchParameter Quiet { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord() => _files.AddRange(Capture.SelectMany(FilePaths).Concat(LiteralPath.Select(FilePath)));

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        DialectResult result = Find();
        if (result.Dialect is not { } dialect)
        {
            Refuse(result.Problems);
            return;
        }

        CoverageReading reading = Coverage.Of(dialect, _files);
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

    private DialectResult Find()
    {
        string path = FilePath(Dialect);
        return File.Exists(path) ? DialectFile.Read(path) : new DialectFinder(null).Find(Dialect);
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
