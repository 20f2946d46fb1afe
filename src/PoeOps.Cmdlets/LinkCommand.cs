using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>What every cmdlet that opens a way to a switch takes to log in, and how it opens one.</summary>
public abstract class LinkCommand : PoeCommand
{
    private SshSessions? _ssh;

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

    // The pipeline's thread may be held up by a console that takes no more text; whoever follows a unit at work must come to an end all the same.
    private static readonly TimeSpan TurnPatience = TimeSpan.FromSeconds(20);

    /// <summary>True where the links follow units at work: nobody waits for the pipeline's thread without end then, and a new session is a matter of the run's own record.</summary>
    private protected virtual bool FollowsUnits => false;

    /// <summary>Makes an opener of links.</summary>
    /// <param name="estate">The estate, or null.</param>
    /// <param name="transcripts">An existing folder for the transcripts, or null.</param>
    /// <param name="pump">Leads to the pipeline's thread; null where links are opened on it.</param>
    private protected SwitchLinks Links(EstateMap? estate, string? transcripts, PipelinePump? pump = null)
    {
        SecretSource secrets = Secrets(estate, pump);
        Stream OpenSsh(Switch place)
        {
            PSCredential? credential = secrets.CredentialOf(place);
            SshSessions ssh = OnPipeline(place, pump, () => Ssh().Loaded(place));
            SeenKey? seen = ssh.Look(place, credential);
            return OnPipeline(place, pump, () => ssh.Open(place, credential, seen));
        }

        void TellOfNewSession(Problem problem)
        {
            string line = $"{problem.Target}: {problem.Sentence} The switch is read over a new session.";
            if (pump is null)
            {
                Tell(line);
            }
            else
            {
                pump.Say(() => Tell(line));
            }
        }

        return new SwitchLinks(
            new DialectFinder(estate).Find, secrets.Of, estate?.Clock() ?? SystemClock.Instance, transcripts, OpenSsh, FollowsUnits ? null : TellOfNewSession, Stopped)
        {
            ClearText = ClearTextRuleOf(estate),
            Heard = pump is null ? null : HeardBy(pump),
        };
    }

    /// <summary>Takes what goes over a link to the debug stream; null where nobody wants to see it.</summary>
    private protected Action<string>? HeardBy(PipelinePump pump) => ShowsDebug ? line => SayBeside(() => WriteDebug(line), pump) : null;

    /// <summary>Has something said for which nobody waits. A link or a run may say its last when the pipeline's thread takes no turns any more, or the pipeline was stopped.</summary>
    private protected static void SayBeside(Action say, PipelinePump pump)
    {
        try
        {
            pump.Say(() => UnlessStopped(say));
        }
        catch (OperationCanceledException exception)
        {
            _ = exception;
        }
    }

    /// <summary>Says something on the pipeline's thread, unless the pipeline takes nothing any more.</summary>
    private protected static void UnlessStopped(Action say)
    {
        try
        {
            say();
        }
        catch (PipelineStoppedException exception)
        {
            _ = exception;
        }
    }

    private T OnPipeline<T>(Switch place, PipelinePump? pump, Func<T> turn)
    {
        T Turn()
        {
            try
            {
                return turn();
            }
            catch (PipelineStoppedException exception) when (pump is not null)
            {
                // The unit at work is watched to its end: whoever watches tries again.
                throw new PoeOpsException(StoppedMeanwhile(place), exception);
            }
        }

        return pump is null ? turn() : FollowsUnits ? pump.OnPipeline(Turn, TurnPatience, () => throw NoTurn(place)) : pump.OnPipeline(Turn);
    }

    /// <summary>Says whether links may be used in clear.</summary>
    /// <param name="estate">The estate, or null.</param>
    private protected ClearTextRule ClearTextRuleOf(EstateMap? estate) => new(estate, IsAttended);

    /// <summary>The secrets that stand on the line.</summary>
    private protected SecretSource Secrets(EstateMap? estate, PipelinePump? pump = null) => new(estate, this, pump is null ? null : turn => pump.OnPipeline(turn));

    /// <summary>Takes the SSH sessions that were closed from their module's list.</summary>
    private protected void SweepSsh() => _ssh?.Sweep();

    private SshSessions Ssh() => _ssh ??= new SshSessions(new PoshSsh(SessionState), HostKeys(HostKeyPath, TrustNewHost), KeyFile is null ? null : FilePath(KeyFile), SshSession);

    private static Problem StoppedMeanwhile(Switch place) => new(
        ProblemId.ConnectFailed, $"No SSH session to {place.Name} was opened, because the pipeline was being stopped.", "Look at the switch by hand.") { Target = place.Name };

    private static PoeOpsException NoTurn(Switch place) => new(new Problem(
        ProblemId.ConnectFailed, $"No SSH session to {place.Name} was opened: the console took no more text for {TurnPatience.TotalSeconds} s, and sessions are opened between its lines.",
        "Let the console go on.") { Target = place.Name });
}
