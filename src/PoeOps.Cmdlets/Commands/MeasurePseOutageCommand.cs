using System.Management.Automation;
using PoeOps.Baselines;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Measures what the refresh of each drifted controller would cost: who goes dark, for how long, what is not delivered, and whether all loads come back
/// within the unit's budget; a unit where they do not is warned about, with what would bring them back. Takes drifts, a plan, or rows of a list of ports.
/// With journals it learns how long the stages take, and puts what really happened beside what was planned.
/// </summary>
/// <example><code>$drift | Measure-PseOutage</code><para>One row a unit.</para></example>
/// <example><code>$drift | Measure-PseOutage -ByLoad | Where-Object LifeSafety</code><para>When each life-safety load goes dark and serves again.</para></example>
/// <example><code>Measure-PseOutage -Plan .\plan.json -Journal .\night.journal.jsonl -ByLoad</code><para>What was planned for each load, by the clock, and what became of it.</para></example>
/// <example><code>Import-Csv .\ports.csv | Measure-PseOutage</code><para>Whether all loads of a list come back; says which columns the list lacks.</para></example>
[Cmdlet(VerbsDiagnostic.Measure, "PseOutage", DefaultParameterSetName = "Drift")]
[OutputType(typeof(Outage), typeof(LoadOutage))]
public sealed class MeasurePseOutageCommand : PoeCommand
{
    private readonly List<PortRow> _rows = [];
    private EarlierRuns? _runs;
    private Baseline? _baseline;
    private int _lifeSafety;

    /// <summary>A controller's drift as <c>Test-PseDrift</c> gives it.</summary>
    [Parameter(Mandatory = true, ValueFromPipeline = true, ParameterSetName = "Drift")]
    public Drift? InputObject { get; set; }

    /// <summary>A plan file: gives what was planned, with the clock times of its windows.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Plan")]
    [Alias("PlanPath")]
    public string Plan { get; set; } = string.Empty;

    /// <summary>The baseline file, for units of a list of ports: their rows must say Model, Release and Firmware.</summary>
    [Parameter(ParameterSetName = "Ports")]
    public string Baseline { get; set; } = string.Empty;

    /// <summary>
    /// Journals of runs that are over; wildcards are allowed. The median and the 95th percentile of five refreshes or more of a model and an image's size take
    /// the place of the baseline's times, and units that were refreshed are held against what was planned.
    /// </summary>
    [Parameter]
    [Alias("JournalPath")]
    public string[] Journal { get; set; } = [];

    /// <summary>Gives a row for each load instead of one for each unit.</summary>
    [Parameter]
    public SwitchParameter ByLoad { get; set; }

    /// <summary>The site of the switch.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Site { get; set; }

    /// <summary>The switch of a port.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Switch { get; set; }

    /// <summary>The unit of a port, as the device names it.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Unit { get; set; }

    /// <summary>A port, as the device names it within the unit.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    [Alias("Name")]
    public string? Port { get; set; }

    /// <summary>What the port is doing: only ports that deliver power take part. Where a list has neither this column nor Delivering, all do.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Status { get; set; }

    /// <summary>True where the port feeds a load.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Delivering { get; set; }

    /// <summary>The class of the load, 0 to 8.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? PdClass { get; set; }

    /// <summary>The class on Alternative A of a dual-signature load, 1 to 5.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? PdClassA { get; set; }

    /// <summary>The class on Alternative B of a dual-signature load, 1 to 5.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? PdClassB { get; set; }

    /// <summary>Who keeps power when it is short: Critical, High or Low.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Priority { get; set; }

    /// <summary>What is set aside for the port, watts at the port.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? AllocatedWatts { get; set; }

    /// <summary>What port and load agreed on, watts at the load.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? AllocatedPdWatts { get; set; }

    /// <summary>Who decided what is set aside: Class, Neighbour, Limit or Draw.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? AllocatedBy { get; set; }

    /// <summary>What the load draws, watts.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? DrawWatts { get; set; }

    /// <summary>The limit of the port, watts.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? LimitWatts { get; set; }

    /// <summary>What people call the load.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Load { get; set; }

    /// <summary>What the load does for people.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Role { get; set; }

    /// <summary>True where people can come to harm while the load is dark.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? LifeSafety { get; set; }

    /// <summary>Seconds from power until the load serves.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? RestartSeconds { get; set; }

    /// <summary>Seconds from power until the load has negotiated.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? NegotiateSeconds { get; set; }

    /// <summary>The hardware model of the unit.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Model { get; set; }

    /// <summary>The software release of the switch.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Release { get; set; }

    /// <summary>What the controller runs.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Firmware { get; set; }

    /// <summary>What the unit's supplies can give its ports, watts; in one row of the unit, or in all.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? BudgetWatts { get; set; }

    /// <summary>What of the budget is kept back, watts; in one row of the unit, or in all.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? GuardBandWatts { get; set; }

    /// <summary>The Type of the PSE, 1 to 4; in one row of the unit, or in all.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? PseType { get; set; }

    /// <summary>What a port claims after a reset: ByClass, ByDraw or ByLimit; in one row of the unit, or in all.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? RestartPolicy { get; set; }

    /// <summary>Seconds that one port takes after a reset; in one row of the unit, or in all.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? StaggerSeconds { get; set; }

    /// <summary>True where a port whose class does not fit is granted a lower one; in one row of the unit, or in all.</summary>
    [Parameter(ValueFromPipelineByPropertyName = true, ParameterSetName = "Ports"), AllowEmptyString, AllowNull]
    public string? Demotes { get; set; }

    /// <inheritdoc/>
    protected override void BeginProcessing()
    {
        if (Journal.Length > 0)
        {
            _runs = JournalRuns.Of(Journal.SelectMany(FilePaths), WriteProblem, WriteWarning);
        }

        if (Baseline.Length > 0)
        {
            BaselineResult result = BaselineFile.Read(FilePath(Baseline));
            _baseline = Demand(result.Baseline, result.Problems);
        }
    }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if (InputObject is { } drift)
        {
            Give(OutageMeasure.Measure(drift, _runs));
        }
        else if (ParameterSetName == "Ports")
        {
            _rows.Add(Row());
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (ParameterSetName == "Plan")
        {
            PlanResult result = PlanFile.Read(FilePath(Plan));
            GivePlan(Demand(result.Plan, result.Problems));
        }
        else if (_rows.Count > 0)
        {
            GiveRows();
        }

        if (_lifeSafety > 0)
        {
            WriteWarning(LifeSafetyCaution());
        }
    }

    private void GivePlan(Plan plan)
    {
        foreach (Outage outage in PlanOutage.Of(plan, _runs))
        {
            Give(new OutageResult(outage, []));
        }
    }

    private void GiveRows()
    {
        (IReadOnlyList<Estate.Controller> controllers, IReadOnlyList<Problem> problems) = PortRows.Read(_rows);
        WriteProblems(problems);
        if (controllers.Count > 0 && PortRows.Lacks(_rows) is { } lacks)
        {
            WriteWarning(lacks);
        }

        foreach (Estate.Controller controller in controllers)
        {
            Give(_baseline is { } baseline ? OutageMeasure.Measure(Comparison.Compare(controller, baseline, null), _runs) : OutageMeasure.MeasureRestart(controller));
        }
    }

    // Only what the row has is bound; a column that it lacks is not among them.
    private PortRow Row() => new()
    {
        Number = _rows.Count + 1,
        Columns = MyInvocation.BoundParameters.Where(bound => bound.Key is not nameof(Journal) and not nameof(Baseline) and not nameof(ByLoad))
            .ToDictionary(bound => bound.Key, bound => bound.Value as string, StringComparer.OrdinalIgnoreCase),
    };

    private void Give(OutageResult result)
    {
        WriteProblems(result.Problems);
        Outage outage = result.Outage;
        if (RestartCaution.Of(outage) is { Length: > 0 } caution)
        {
            WriteWarning(caution);
        }

        _lifeSafety += outage.LoadOutages.Count > 0 ? outage.LifeSafetyLoads : 0;
        if (ByLoad)
        {
            WriteObject(outage.LoadOutages, enumerateCollection: true);
        }
        else
        {
            WriteObject(outage);
        }
    }

    private string LifeSafetyCaution() => Outages.LifeSafety.Caution(_lifeSafety);
}
