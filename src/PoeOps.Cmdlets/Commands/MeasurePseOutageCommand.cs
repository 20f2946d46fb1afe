using System.Management.Automation;
using PoeOps.Baselines;
using PoeOps.Outages;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Measures what the refresh of each drifted controller would cost: who goes dark, for how long, what is not delivered, and whether all loads come back
/// within the unit's budget; a unit where they do not is warned about, with what would bring them back.
/// </summary>
/// <example><code>$drift | Measure-PseOutage</code><para>One row a unit.</para></example>
/// <example><code>$drift | Measure-PseOutage -ByLoad | Where-Object LifeSafety</code><para>When each life-safety load goes dark and serves again.</para></example>
[Cmdlet(VerbsDiagnostic.Measure, "PseOutage")]
[OutputType(typeof(Outage), typeof(LoadOutage))]
public sealed class MeasurePseOutageCommand : PoeCommand
{
    private int _lifeSafety;

    /// <summary>A controller's drift as <c>Test-PseDrift</c> gives it.</summary>
    [Parameter(Mandatory = true, ValueFromPipeline = true)]
    public Drift? InputObject { get; set; }

    /// <summary>Gives a row for each load instead of one for each unit.</summary>
    [Parameter]
    public SwitchParameter ByLoad { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        OutageResult result = OutageMeasure.Measure(InputObject!);
        WriteProblems(result.Problems);
        if (result.Outage is not { } outage)
        {
            return;
        }

        if (RestartCaution.Of(outage) is { Length: > 0 } caution)
        {
            WriteWarning(caution);
        }

        _lifeSafety += outage.Hops > 0 ? outage.LifeSafetyLoads : 0;
        if (ByLoad)
        {
            WriteObject(outage.LoadOutages, enumerateCollection: true);
        }
        else
        {
            WriteObject(outage);
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (_lifeSafety > 0)
        {
            WriteWarning(LifeSafety.Caution(_lifeSafety));
        }
    }
}
