using System.Management.Automation;
using PoeOps.Estate;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Reads PSE controllers, with their ports, from the consoles of an estate's switches or from saved captures.</summary>
/// <example><code>Get-PseController -Estate .\harbour.estate.json -Credential (Get-Credential)</code><para>Every controller of the estate.</para></example>
/// <example><code>Get-PseController -Capture .\*.txt -Dialect tidemark</code><para>From files alone; each file is a switch.</para></example>
[Cmdlet(VerbsCommon.Get, "PseController", DefaultParameterSetName = "Estate")]
[OutputType(typeof(Controller))]
public sealed class GetPseControllerCommand : ReadCommand
{
    /// <inheritdoc/>
    protected override void Emit(Controller controller) => WriteObject(controller);
}
