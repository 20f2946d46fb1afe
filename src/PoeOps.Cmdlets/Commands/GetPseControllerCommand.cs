using System.Management.Automation;
using PoeOps.Estate;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Reads PSE controllers, with their ports, from the consoles of an estate's switches, by SNMP without any dialect, or from saved captures and walks.</summary>
/// <example><code>Get-PseController -Estate .\harbour.estate.json -Credential (Get-Credential)</code><para>Every controller of the estate.</para></example>
/// <example><code>Get-PseController -Capture .\*.txt -Dialect tidemark</code><para>From files alone; each file is a switch.</para></example>
/// <example><code>Get-PseController -Address 192.0.2.7, 192.0.2.8 -Link Snmp -SnmpCredential $user, $privacy</code><para>Two switches of any make by the standard tables, SNMPv3; nothing is ever set.</para></example>
/// <example><code>Get-PseController -Estate .\harbour.estate.json -Link Console, Snmp -Credential $c -SnmpCredential $user, $privacy</code><para>Power and ports by SNMP, firmware by the console, one row a unit.</para></example>
/// <example><code>Get-PseController -Walk .\north-1.walk</code><para>From what <c>snmpbulkwalk -On</c> saved, without access to the switch.</para></example>
[Cmdlet(VerbsCommon.Get, "PseController", DefaultParameterSetName = "Estate")]
[OutputType(typeof(Controller))]
public sealed class GetPseControllerCommand : ReadCommand
{
    /// <inheritdoc/>
    protected override void Emit(Controller controller) => WriteObject(controller);
}
