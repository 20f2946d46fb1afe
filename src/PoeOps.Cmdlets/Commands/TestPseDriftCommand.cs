using System.Management.Automation;
using PoeOps.Baselines;
using PoeOps.Cmdlets.Completion;
using PoeOps.Estate;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Compares controllers with the approved baseline for their hardware and software release: one row each, with a verdict and the reason in words.
/// </summary>
/// <example><code>Get-PseController -Estate .\harbour.estate.json | Test-PseDrift -Baseline .\winter.baseline.json</code><para>A verdict on every controller.</para></example>
/// <example><code>Import-Csv .\controllers.csv | Test-PseDrift -Baseline .\winter.baseline.json -Quiet</code><para>True when any controller is not Current.</para></example>
/// <example><code>Get-PseController -Estate .\harbour.estate.json | Test-PseDrift .\winter.baseline.json | Where-Object Verdict -ne Current | Format-Table UnitId, Firmware, ApprovedFirmware, Verdict, Reason</code><para>Those that are not as they should be, and why.</para></example>
/// <remarks>
/// <para>The verdicts: Current, Behind (there is something to load), Ahead, Unlisted (the baseline has no entry for it), Faulted (the controller is not healthy), Unreadable. Only units that are Behind are planned; the others are named with the reason.</para>
/// </remarks>
/// <seealso cref="GetPseControllerCommand"/>
/// <seealso cref="MeasurePseOutageCommand"/>
/// <seealso cref="TestPseImageCommand"/>
/// <seealso topic="about_PoeOps_Baseline"/>
[Cmdlet(VerbsDiagnostic.Test, "PseDrift", DefaultParameterSetName = "Controller")]
[OutputType(typeof(Drift), typeof(bool))]
public sealed class TestPseDriftCommand : PoeCommand
{
    private DriftFinder? _finder;
    private bool _drifted;

    /// <summary>A controller as <c>Get-PseController</c> gives it.</summary>
    [Parameter(Mandatory = true, ValueFromPipeline = true, ParameterSetName = "Controller")]
    public Controller? InputObject { get; set; }

    /// <summary>The baseline file.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Baseline { get; set; } = string.Empty;

    /// <summary>Gives one Boolean instead of rows: true when any controller has another verdict than Current.</summary>
    [Parameter]
    public SwitchParameter Quiet { get; set; }

    /// <summary>The site of the switch.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    [AllowEmptyString]
    [ArgumentCompleter(typeof(SiteCompleter))]
    public string Site { get; set; } = string.Empty;

    /// <summary>The switch.</summary>
    [Parameter(Mandatory = true, ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    [ArgumentCompleter(typeof(SwitchCompleter))]
    public string Switch { get; set; } = string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    [Parameter(Mandatory = true, ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    public string Unit { get; set; } = string.Empty;

    /// <summary>The hardware model of the unit.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    [AllowEmptyString]
    public string? Model { get; set; }

    /// <summary>The serial number of the unit.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    [AllowEmptyString]
    public string? Serial { get; set; }

    /// <summary>The software release of the switch.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    [AllowEmptyString]
    public string? Release { get; set; }

    /// <summary>What the controller runs.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    [AllowEmptyString]
    public string? Firmware { get; set; }

    /// <summary>How the controller is.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Properties")]
    public ControllerCondition Condition { get; set; } = ControllerCondition.Healthy;

    /// <summary>The dialect that says how its versions are spelled; without one, runs of digits and letters are the parts.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true)]
    [AllowEmptyString]
    [ArgumentCompleter(typeof(DialectCompleter))]
    public string Dialect { get; set; } = string.Empty;

    /// <inheritdoc/>
    protected override void BeginProcessing()
    {
        BaselineResult result = BaselineFile.Read(FilePath(Baseline));
        WriteVerbose($"Comparing with the baseline '{FilePath(Baseline)}'.");

        // Here the dialect is the one on the line; later it is that of each object.
        _finder = new DriftFinder(Demand(result.Baseline, result.Problems), Dialect.Length > 0 ? FinderName(Dialect) : Dialect);
    }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        Controller controller = InputObject ?? FromProperties();
        Drift drift = _finder!.Of(controller, out Problem? problem);
        if (problem is not null)
        {
            WriteProblem(problem, controller.UnitId);
        }

        WriteVerbose($"{drift.UnitId}: {drift.Verdict}. {drift.Reason}");
        _drifted |= drift.Verdict != Verdict.Current;
        if (!Quiet)
        {
            WriteObject(drift);
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (Quiet)
        {
            WriteObject(_drifted);
        }
    }

    private string FinderName(string name) => File.Exists(FilePath(name)) ? FilePath(name) : name;

    private Controller FromProperties() => new()
    {
        Site = Site,
        Switch = Switch,
        Unit = Unit,
        Model = NullWhereEmpty(Model),
        Serial = NullWhereEmpty(Serial),
        Release = NullWhereEmpty(Release),
        Firmware = NullWhereEmpty(Firmware),
        Condition = Condition,
        Dialect = Dialect,
    };

    private static string? NullWhereEmpty(string? text) => string.IsNullOrWhiteSpace(text) ? null : text;
}
