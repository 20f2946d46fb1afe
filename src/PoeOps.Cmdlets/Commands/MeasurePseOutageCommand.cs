using System.Management.Automation;
using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Measures what the refresh of each drifted controller would cost: who goes dark, for how long, what is not delivered, and whether all loads come back
/// within the unit's budget; a unit where they do not is warned about, with what would bring them back. Takes drifts, a plan, or rows of a list of ports.
/// With journals it learns how long the stages take, and puts what really happened beside what was planned.
/// </summary>
/// <example><code>$drift | Measure-PseOutage</code><para>One row for each unit; of one that is not behind, nothing goes dark.</para></example>
/// <example><code>$drift | Measure-PseOutage -ByLoad | Where-Object LifeSafety</code><para>When each life-safety load goes dark and serves again.</para></example>
/// <example><code>Measure-PseOutage -Plan .\plan.json -Journal .\night.journal.jsonl -ByLoad</code><para>What was planned for each load, by the clock, and what became of it.</para></example>
/// <example><code>Import-Csv .\ports.csv | Measure-PseOutage</code><para>Whether all loads of a list come back; says which columns the list lacks.</para></example>
/// <remarks>
/// <para>The figures are worked out from what was read and from the times in baseline and estate; they are no promise of what a device will do.</para>
/// <para>Life-safety loads are counted and warned about. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.</para>
/// </remarks>
/// <seealso cref="TestPseDriftCommand"/>
/// <seealso cref="NewPsePlanCommand"/>
/// <seealso cref="GetPsePortCommand"/>
/// <seealso topic="about_PoeOps_Outages"/>
[Cmdlet(VerbsDiagnostic.Measure, "PseOutage", DefaultParameterSetName = "Input")]
[OutputType(typeof(Outage), typeof(LoadOutage))]
public sealed class MeasurePseOutageCommand : PoeCommand
{
    private readonly List<PortRow> _rows = [];
    private EarlierRuns? _runs;
    private DriftFinder? _drifts;
    private int _lifeSafety;
    private int _measured;

    /// <summary>
    /// A controller's drift as <c>Test-PseDrift</c> gives it; a controller, or a row of a list of ports by the names of its columns: Switch, Unit, Port, and what
    /// else about_PoeOps_Outages names.
    /// </summary>
    [Parameter(Mandatory = true, ValueFromPipeline = true, ParameterSetName = "Input")]
    public PSObject? InputObject { get; set; }

    /// <summary>A plan file: gives what was planned, with the clock times of its windows.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Plan")]
    [Alias("PlanPath")]
    [ValidateNotNullOrEmpty]
    public string Plan { get; set; } = string.Empty;

    /// <summary>The baseline file, for controllers and for a list of ports: its rows must say Model, Release and Firmware.</summary>
    [Parameter(ParameterSetName = "Input")]
    [ValidateNotNullOrEmpty]
    public string Baseline { get; set; } = string.Empty;

    /// <summary>
    /// Journals of runs that are over; wildcards are allowed. The median and the 95th percentile of five refreshes or more of a model and an image's size take
    /// the place of the baseline's times, and units that were refreshed are held against what was planned.
    /// </summary>
    [Parameter]
    [Alias("JournalPath")]
    [ValidateNotNullOrEmpty]
    public string[] Journal { get; set; } = [];

    /// <summary>Gives a row for each load instead of one for each unit.</summary>
    [Parameter]
    public SwitchParameter ByLoad { get; set; }

    /// <inheritdoc/>
    protected override void BeginProcessing()
    {
        if (Journal.Length > 0)
        {
            WriteVerbose($"Learning from {string.Join(", ", Journal.Select(path => $"'{path}'"))}.");
            _runs = JournalRuns.Of(Journal.SelectMany(FilePaths), WriteProblem, WriteWarning);
        }

        if (Baseline.Length > 0)
        {
            BaselineResult result = BaselineFile.Read(FilePath(Baseline));
            Baseline baseline = Demand(result.Baseline, result.Problems);
            _drifts = new DriftFinder(baseline, string.Empty);
            WriteVerbose($"Taking stage times from the baseline '{FilePath(Baseline)}', which has {Counted(baseline.Entries.Count, "entry", "entries")}.");
        }
    }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        switch (InputObject?.BaseObject)
        {
            case null:
                break;
            case Drift drift:
                Give(OutageMeasure.Measure(drift, _runs));
                break;
            case Controller controller:
                Give(controller);
                break;
            default:
                _rows.Add(Row(InputObject));
                break;
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (ParameterSetName == "Plan")
        {
            PlanResult result = PlanFile.Read(FilePath(Plan));
            Planning.Plan plan = Demand(result.Plan, result.Problems);
            TellPlan(plan, FilePath(Plan));
            GivePlan(plan);
        }
        else if (_rows.Count > 0)
        {
            GiveRows();
        }

        WriteVerbose($"Measured {Counted(_measured, "outage")}.");
        if (_lifeSafety > 0)
        {
            WriteWarning(LifeSafety.Caution(_lifeSafety));
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
        (IReadOnlyList<Controller> controllers, IReadOnlyList<Problem> problems) = PortRows.Read(_rows);
        WriteProblems(problems);
        string?[] cautions = controllers.Count == 0 ? [] : [PortRows.Misspelled(_rows), PortRows.Lacks(_rows, _drifts is not null), PortRows.WithoutBudget(controllers)];
        foreach (string? caution in cautions.Where(caution => caution is not null))
        {
            WriteWarning(caution!);
        }

        foreach (Controller controller in controllers)
        {
            Give(controller);
        }
    }

    // Where nobody can say what would be loaded, how the loads come back is told all the same.
    private void Give(Controller controller)
    {
        Problem? problem = null;
        Drift? drift = _drifts?.Of(controller, out problem);
        if (problem is not null)
        {
            WriteProblem(problem, controller.UnitId);
        }

        Give(drift is null or { Verdict: Verdict.Unreadable or Verdict.Unlisted } ? OutageMeasure.MeasureRestart(controller, drift) : OutageMeasure.Measure(drift, _runs));
    }

    private PortRow Row(PSObject row)
    {
        Dictionary<string, string?> columns = new(StringComparer.OrdinalIgnoreCase);
        List<string> others = [];
        foreach (PSPropertyInfo property in row.Properties)
        {
            string name = string.Equals(property.Name, "Name", StringComparison.OrdinalIgnoreCase) && row.Properties["Port"] is null ? "Port" : property.Name;
            if (PortRow.Known.Contains(name, StringComparer.OrdinalIgnoreCase))
            {
                columns[name] = LanguagePrimitives.ConvertTo<string>(property.Value);
            }
            else
            {
                others.Add(property.Name);
            }
        }

        return new PortRow { Number = _rows.Count + 1, Columns = columns, Others = others };
    }

    private static string Dark(Outage outage) => outage.Hops == 0 ? "nothing is to be loaded"
        : outage.DarkSecondsTypical is { } seconds ? FormattableString.Invariant($"dark for about {Math.Round(seconds)} s")
        : "nobody knows for how long they are dark";

    private void Give(OutageResult result)
    {
        WriteProblems(result.Problems);
        Outage outage = result.Outage;
        _measured++;
        WriteVerbose(FormattableString.Invariant($"{outage.UnitId}: {Counted(outage.Loads, "load")}, {outage.LifeSafetyLoads} of them life-safety; {Dark(outage)}."));
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
}
