using System.Management.Automation;
using PoeOps.Estate;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Gives PSE ports: of controllers from the pipeline, or read from an estate's consoles, by SNMP, or from captures and saved walks.</summary>
/// <example><code>Get-PseController -Estate .\harbour.estate.json | Get-PsePort | Where-Object LifeSafety</code><para>The ports that people can come to harm without.</para></example>
/// <example><code>Get-PsePort -Capture .\captures\kelpline\*.txt -Dialect kelpline | Measure-Object DrawWatts -Sum</code><para>What the ports draw together.</para></example>
/// <example><code>Get-PsePort -Estate .\harbour.estate.json -Switch quay-1 | Group-Object Role -NoElement</code><para>How many ports of each role a switch has.</para></example>
/// <remarks>
/// <para>Whether a port feeds a life-safety load is what the roles of the estate file say. Mark them there; nothing that is read from a device can say it.</para>
/// </remarks>
/// <seealso cref="GetPseControllerCommand"/>
/// <seealso cref="MeasurePseOutageCommand"/>
/// <seealso topic="about_PoeOps_Estate"/>
/// <seealso topic="about_PoeOps_Outages"/>
[Cmdlet(VerbsCommon.Get, "PsePort", DefaultParameterSetName = "Estate")]
[OutputType(typeof(Port))]
public sealed class GetPsePortCommand : ReadCommand
{
    /// <summary>A controller as <c>Get-PseController</c> gives it.</summary>
    [Parameter(Mandatory = true, ValueFromPipeline = true, ParameterSetName = "Controller")]
    public Controller? InputObject { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if (InputObject is { } controller)
        {
            WriteVerbose($"{controller.UnitId}: {Counted(controller.Ports.Count, "port")}, {controller.PoweredPorts} of them with power.");
            Emit(controller);
        }
        else
        {
            base.ProcessRecord();
        }
    }

    /// <inheritdoc/>
    protected override void Emit(Controller controller) => WriteObject(controller.Ports, enumerateCollection: true);
}
