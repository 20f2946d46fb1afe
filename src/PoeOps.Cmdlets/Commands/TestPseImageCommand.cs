using System.Management.Automation;
using PoeOps.Baselines;
using PoeOps.Images;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Checks the images that a baseline names: found, size, SHA-256. One row each.</summary>
/// <example><code>Test-PseImage -Path .\images -Baseline .\winter.baseline.json</code><para>A row for every image that the baseline names, hops included.</para></example>
/// <example><code>Test-PseImage .\images .\winter.baseline.json -Quiet</code><para>True when every one of them is whole.</para></example>
[Cmdlet(VerbsDiagnostic.Test, "PseImage")]
[OutputType(typeof(ImageVerdict), typeof(bool))]
public sealed class TestPseImageCommand : PoeCommand
{
    private Baseline? _baseline;
    private bool _good = true;

    /// <summary>The folder that holds the images, or one image.</summary>
    [Parameter(Mandatory = true, Position = 0, ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    [Alias("ImageFolder", "FullName")]
    public string Path { get; set; } = string.Empty;

    /// <summary>The baseline file.</summary>
    [Parameter(Mandatory = true, Position = 1)]
    public string Baseline { get; set; } = string.Empty;

    /// <summary>Gives one Boolean instead of rows: true when every image is whole.</summary>
    [Parameter]
    public SwitchParameter Quiet { get; set; }

    /// <inheritdoc/>
    protected override void BeginProcessing()
    {
        BaselineResult result = BaselineFile.Read(FilePath(Baseline));
        _baseline = Demand(result.Baseline, result.Problems);
    }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        foreach (ImageVerdict verdict in ImageCheck.CheckAll(FilePath(Path), _baseline!.ImageUses, null))
        {
            _good &= verdict.Good;
            if (!Quiet)
            {
                WriteObject(verdict);
            }
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (Quiet)
        {
            WriteObject(_good);
        }
    }
}
