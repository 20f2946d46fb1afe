using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Gives the host keys of SSH servers that were accepted, each with its SHA-256 fingerprint as OpenSSH shows it.</summary>
/// <example><code>Get-PseHostKey</code><para>All of this user's on this machine.</para></example>
/// <example><code>Get-PseHostKey -Address 192.0.2.* | Export-Csv -NoTypeInformation .\keys.csv</code><para>Some, for the record.</para></example>
/// <remarks>
/// <para>The keys are kept for each address and port by themselves, in a file of this user's own unless -HostKeyPath says otherwise.</para>
/// </remarks>
/// <seealso cref="RemovePseHostKeyCommand"/>
/// <seealso topic="about_PoeOps_SSH"/>
[Cmdlet(VerbsCommon.Get, "PseHostKey")]
[OutputType(typeof(HostKey))]
public sealed class GetPseHostKeyCommand : PoeCommand
{
    /// <summary>The addresses, as the estate has them; wildcards are allowed.</summary>
    [Parameter(Position = 0, ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    [ArgumentCompleter(typeof(HostKeyAddressCompleter))]
    [ValidateNotNullOrEmpty]
    public string[] Address { get; set; } = [];

    /// <summary>The file that keeps the host keys; one of this user's own on this machine where not given.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? HostKeyPath { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        string path = HostKeyPath is null ? Run(HostKeyFile.DefaultPath) : FilePath(HostKeyPath);
        HostKeyResult read = new HostKeyFile(path).Read();
        TellRead("the host keys", path, Counted(read.Keys.Count, "key"));
        WriteProblems(read.Problems);
        var wanted = NamePatterns.Of(Address);
        WriteObject(read.Keys.Where(key => wanted.Fits(key.Address)), enumerateCollection: true);
        foreach (string name in read.Problems.Count > 0 ? [] : Address.Where(name => !WildcardPattern.ContainsWildcardCharacters(name)))
        {
            if (!read.Keys.Any(key => key.IsOf(name, key.Port)))
            {
                WriteProblem(new Problem(ProblemId.HostKeyNotFound, $"'{path}' keeps no host key of '{name}'.", "Compare with the addresses that Get-PseHostKey lists."), name);
            }
        }
    }
}
