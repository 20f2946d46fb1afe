using System.Management.Automation;
using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Report;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Writes a page that shows how a dialect reads captures: what is unread and what is wrong first, then the rules, then every line with the rule that
/// took it and what it filled. One HTML file that stands for itself, for a browser or for paper.
/// </summary>
/// <example><code>Export-PseReport .\reading.html -Dialect kelpline -Capture .\captures\kelpline\*.txt</code><para>The page, and the file that it was written to.</para></example>
/// <example><code>Get-ChildItem .\captures\kelpline\*.txt | Export-PseReport .\reading.html -Dialect kelpline -Force</code><para>The same, with captures from the pipeline; written anew.</para></example>
/// <remarks>
/// <para>The page loads nothing from anywhere, and what devices printed stands in it as text alone.</para>
/// </remarks>
/// <whatif>Says which page would be written, and writes none. What would keep it from being written is an error.</whatif>
/// <confirm>Asks before the page is written.</confirm>
/// <seealso cref="TestPseDialectCommand"/>
/// <seealso cref="NewPseDialectCommand"/>
/// <seealso topic="about_PoeOps_Dialects"/>
[Cmdlet(VerbsData.Export, "PseReport", DefaultParameterSetName = DialectSet, SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(FileInfo))]
public sealed class ExportPseReportCommand : PoeCommand
{
    private const string DialectSet = "Dialect";
    private const string LiteralSet = "DialectLiteral";

    private readonly List<string> _files = [];

    /// <summary>The page to write, such as <c>reading.html</c>; one that stands there is kept unless <c>-Force</c>.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Path { get; set; } = string.Empty;

    /// <summary>The dialect: a name, or the path of a dialect file.</summary>
    [Parameter(Mandatory = true)]
    public string Dialect { get; set; } = string.Empty;

    /// <summary>Files that hold what a device printed; wildcards are allowed, and a file of that very name comes first.</summary>
    [Parameter(Mandatory = true, ParameterSetName = DialectSet, ValueFromPipeline = true)]
    public string[] Capture { get; set; } = [];

    /// <summary>Captures by their very names: no character stands for others. Files from the pipeline are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = LiteralSet, ValueFromPipelineByPropertyName = true)]
    [Alias("FullName", "PSPath")]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>Replaces a file that stands there.</summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord() => _files.AddRange(Capture.SelectMany(FilePaths).Concat(LiteralPath.Select(FilePath)));

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (_files.Count == 0)
        {
            return;
        }

        string path = FilePath(Path);
        Problem? wrong = WholeFile.Check(path, Force);
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        DialectResult found = FindDialect(Dialect);
        Dialect dialect = Demand(found.Dialect, found.Problems);
        CoverageReading reading = Coverage.Of(dialect, _files);
        if (ShouldProcess(path, $"Write how {dialect.Name} reads {_files.Count} captures"))
        {
            Run(() => Write(path, DialectPage.Of(dialect, reading)));
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
