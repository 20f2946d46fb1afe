using System.Management.Automation;
using System.Management.Automation.Host;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>What every cmdlet that opens a way to a switch takes to log in, and how it opens one.</summary>
public abstract class LinkCommand : PoeCommand
{
    // The pipeline's thread may be held up by a console that takes no more text; whoever waits for a session must come to an end all the same.
    private static readonly TimeSpan TurnPatience = TimeSpan.FromSeconds(20);

    private PoshSsh? _ssh;

    /// <summary>User and password to log in. With -KeyFile, the password is the key's passphrase on links by SSH, and is not sent to a device. A rehearsal brings its own.</summary>
    [Parameter]
    [Credential]
    public virtual PSCredential? Credential { get; set; }

    /// <summary>The secret for elevation, where a console asks for another than the password.</summary>
    [Parameter]
    [Credential]
    public virtual PSCredential? ElevationCredential { get; set; }

    /// <summary>
    /// The credential for each name that the estate gives its switches as <c>credential</c>: a hashtable of names and credentials, or a script block that takes the
    /// name and gives the credential, such as { param($name) Get-Secret $name }. A name that it does not have takes -Credential.
    /// </summary>
    [Parameter]
    public virtual object? CredentialMap { get; set; }

    /// <summary>A private key for links by SSH, an OpenSSH key file; without it the password logs in.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public virtual string? KeyFile { get; set; }

    /// <summary>
    /// SSH sessions that you opened yourself, one or more: each switch takes the one to its address and port. They are not closed. A switch that none is for
    /// gets a session of its own where there is a credential.
    /// </summary>
    [Parameter]
    [ValidateNotNull]
    public virtual PSObject[] SshSession { get; set; } = [];

    /// <summary>Accepts the host key of an SSH server that was never reached before, without asking, and keeps it. A key that has changed is refused all the same.</summary>
    [Parameter]
    public virtual SwitchParameter TrustNewHost { get; set; }

    /// <summary>The file that keeps the host keys of SSH servers; one of this user's own on this machine where not given.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public virtual string? HostKeyPath { get; set; }

    /// <summary>Makes an opener of links.</summary>
    /// <param name="estate">The estate, or null.</param>
    /// <param name="transcripts">An existing folder for the transcripts, or null.</param>
    /// <param name="pump">Leads to the pipeline's thread; null where links are opened on it.</param>
    private protected SwitchLinks Links(EstateMap? estate, string? transcripts, PipelinePump? pump = null)
    {
        SecretSource secrets = Secrets(estate, pump);
        Stream OpenSsh(Switch place)
        {
            try
            {
                return Ssh().Open(place, secrets.CredentialOf(place));
            }
            catch (PipelineStoppedException exception) when (pump is not null)
            {
                // The unit at work is watched to its end: whoever watches tries again.
                throw new PoeOpsException(StoppedMeanwhile(place), exception);
            }
        }

        return new SwitchLinks(
            new DialectFinder(estate).Find, secrets.Of, estate?.Clock() ?? SystemClock.Instance, transcripts,
            place => pump is null ? OpenSsh(place) : pump.OnPipeline(() => OpenSsh(place), TurnPatience, () => throw NoTurn(place)));
    }

    /// <summary>The secrets that stand on the line.</summary>
    private protected SecretSource Secrets(EstateMap? estate, PipelinePump? pump = null) => new(estate, this, pump is null ? null : turn => pump.OnPipeline(turn));

    /// <summary>Takes the SSH sessions that were closed from their module's list.</summary>
    private protected void SweepSsh() => _ssh?.Sweep();

    private PoshSsh Ssh() => _ssh ??= new PoshSsh(
        SessionState,
        new HostKeyCheck(new HostKeyFile(HostKeyPath is null ? HostKeyFile.DefaultPath() : FilePath(HostKeyPath)), AskHostKey, Tell) { TrustNew = TrustNewHost, KeepsNothing = IsWhatIf },
        KeyFile is null ? null : FilePath(KeyFile), SshSession);

    private bool? AskHostKey(string question)
    {
        if (!IsAttended || Stopped.IsCancellationRequested)
        {
            return null;
        }

        try
        {
            return ShouldContinue(question, "A host key that is not known");
        }
        catch (Exception exception) when (exception is HostException or PSInvalidOperationException or NotImplementedException)
        {
            // A host that cannot ask has nobody who could answer.
            return null;
        }
    }

    // A stopped pipeline takes no warning any more.
    private void Tell(string line)
    {
        if (Stopped.IsCancellationRequested)
        {
            WarnHost(line);
        }
        else
        {
            WriteWarning(line);
        }
    }

    private static Problem StoppedMeanwhile(Switch place) => new(
        ProblemId.ConnectFailed, $"No SSH session to {place.Name} was opened, because the pipeline was being stopped.", "Look at the switch by hand.") { Target = place.Name };

    private static PoeOpsException NoTurn(Switch place) => new(new Problem(
        ProblemId.ConnectFailed, $"No SSH session to {place.Name} was opened: the console took no more text for {TurnPatience.TotalSeconds} s, and sessions are opened between its lines.",
        "Let the console go on.") { Target = place.Name });
}
