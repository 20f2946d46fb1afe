using System.Management.Automation;
using PoeOps.Estate;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Reads PSE controllers, with their ports, from the consoles of an estate's switches, by SNMP without any dialect, or from saved captures and walks.</summary>
/// <example><code>Get-PseController -Estate .\harbour.estate.json -Credential (Get-Credential)</code><para>Every controller of the estate, with its ports.</para></example>
/// <example><code>Get-PseController -Estate .\harbour.estate.json -Switch quay-* -ThrottleLimit 8 | Format-Table UnitId, Model, Firmware, Condition</code><para>Those of some switches, read side by side.</para></example>
/// <example><code>Get-PseController -Capture .\captures\kelpline\*.txt -Dialect kelpline</code><para>From files alone; each file is a switch, named like it.</para></example>
/// <example><code>Get-PseController -Address 192.0.2.7, 192.0.2.8 -Link Snmp -SnmpCredential $user, $privacy</code><para>Two switches of any make by the standard tables, SNMPv3; nothing is ever set.</para></example>
/// <example><code>Get-PseController -Estate .\harbour.estate.json -Switch hall-1 -Link Console, Snmp -Credential $c -SnmpCredential $user, $privacy</code><para>Power and ports by SNMP, firmware by the console, one row a unit.</para></example>
/// <example><code>Get-PseController -Walk .\quay-1.walk</code><para>From what <c>snmpbulkwalk -On</c> saved, without access to the switch.</para></example>
/// <remarks>
/// <para>It only asks: what it sends are the commands that the dialect lists under "ask", and requests to get by SNMP.</para>
/// <para>What cannot be read is an error with its line, and is counted in ReadingProblems; a unit with such a count is not refreshed unless its plan accepts it by name.</para>
/// </remarks>
/// <seealso cref="GetPsePortCommand"/>
/// <seealso cref="TestPseDriftCommand"/>
/// <seealso cref="TestPseDialectCommand"/>
/// <seealso cref="SavePseCaptureCommand"/>
/// <seealso topic="about_PoeOps"/>
/// <seealso topic="about_PoeOps_Estate"/>
/// <seealso topic="about_PoeOps_Dialects"/>
/// <seealso topic="about_PoeOps_Snmp"/>
[Cmdlet(VerbsCommon.Get, "PseController", DefaultParameterSetName = "Estate")]
[OutputType(typeof(Controller))]
public sealed class GetPseControllerCommand : ReadCommand
{
    /// <inheritdoc/>
    protected override void Emit(Controller controller) => WriteObject(controller);
}
