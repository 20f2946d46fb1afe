using System.Globalization;
using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Removes the host key of an SSH server, so that its next key is asked about like that of a server never reached before. This is the only way to
/// accept a key that has changed.
/// </summary>
/// <example><code>Remove-PseHostKey -Address 192.0.2.11</code><para>After the switch was replaced, and its new fingerprint read at its console.</para></example>
/// <example><code>Get-PseHostKey 192.0.2.* | Remove-PseHostKey -WhatIf</code><para>What would be removed.</para></example>
/// <remarks>
/// <para>A key that changed without anybody having changed the switch may mean that somebody stands in between. Look at the console before you remove the old one.</para>
/// </remarks>
/// <whatif>Names each key that would be removed, and keeps it.</whatif>
/// <confirm>Asks before each key is removed, and shows its algorithm and fingerprint.</confirm>
/// <seealso cref="GetPseHostKeyCommand"/>
/// <seealso topic="about_PoeOps_SSH"/>
[Cmdlet(VerbsCommon.Remove, "PseHostKey", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Medium)]
public sealed class RemovePseHostKeyCommand : PoeCommand
{
    /// <summary>The address, as the estate has it.</summary>
    [Parameter(Mandatory = true, Position = 0, ValueFromPipelineByPropertyName = true)]
    [ValidateNotNullOrEmpty]
    [ArgumentCompleter(typeof(HostKeyAddressCompleter))]
    public string Address { get; set; } = string.Empty;

    /// <summary>The TCP port.</summary>
    [Parameter(Position = 1, ValueFromPipelineByPropertyName = true)]
    [ValidateRange(1, 65535)]
    public int Port { get; set; } = 22;

    /// <summary>The file that keeps the host keys; one of this user's own on this machine where not given.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? HostKeyPath { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        string path = HostKeyPath is null ? Run(HostKeyFile.DefaultPath) : FilePath(HostKeyPath);
        string place = $"{Address} port {Port.ToString(CultureInfo.InvariantCulture)}";
        var store = new HostKeyFile(path);
        HostKey? there = Run(() => store.Find(Address, Port));
        if (there is not null && !ShouldProcess($"{place}: {there.Algorithm} {there.Fingerprint}", "Remove the host key"))
        {
            return;
        }

        if (there is null || Run(() => store.Remove(Address, Port)) is null)
        {
            WriteProblem(new Problem(ProblemId.HostKeyNotFound, $"'{path}' keeps no host key of {place}.", "Compare with the addresses and ports that Get-PseHostKey lists."), Address);
        }
    }
}
