using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Terminal;

/// <summary>Opens a way to a switch of an estate: its dialect, its address and kind of link, the secrets it wants, a transcript of its own.</summary>
public sealed class SwitchLinks
{
    private readonly Func<string, DialectResult> _dialects;
    private readonly Func<Switch, LogInSecrets?> _secrets;
    private readonly Clock _clock;
    private readonly string? _transcriptFolder;
    private readonly Func<Switch, Stream>? _ssh;
    private readonly Action<Problem>? _tell;
    private readonly CancellationToken _stop;

    /// <summary>Makes an opener; nothing is connected yet. What is handed in is called on the threads that open, by several at once where switches are read side by side.</summary>
    /// <param name="dialects">Finds a dialect by the name that the estate gives.</param>
    /// <param name="secrets">The secrets of a switch, or null where none were given.</param>
    /// <param name="clock">Counts the deadlines.</param>
    /// <param name="transcriptFolder">An existing folder for the transcripts, or null to keep none.</param>
    /// <param name="ssh">Opens a session by SSH and gives its stream, or throws a problem; null where there is no SSH.</param>
    /// <param name="tell">Told of a session that a device ended and for which a new one was opened, on the thread that asks; null where nobody is to know.</param>
    /// <param name="stop">Ends the pauses between attempts to connect.</param>
    public SwitchLinks(
        Func<string, DialectResult> dialects, Func<Switch, LogInSecrets?> secrets, Clock clock, string? transcriptFolder, Func<Switch, Stream>? ssh = null,
        Action<Problem>? tell = null, CancellationToken stop = default)
    {
        _dialects = dialects;
        _secrets = secrets;
        _clock = clock;
        _transcriptFolder = transcriptFolder;
        _ssh = ssh;
        _tell = tell;
        _stop = stop;
    }

    /// <summary>Says whether a switch may be reached in clear.</summary>
    public required ClearTextRule ClearText { get; init; }

    /// <summary>Told each line of the dialogues as a transcript has it, secrets struck out, with the switch's name in front; null where nobody listens. Called on any thread.</summary>
    public Action<string>? Heard { get; init; }

    /// <summary>The dialect of a switch.</summary>
    /// <exception cref="PoeOpsException">It cannot be found or read.</exception>
    public Dialect DialectOf(Switch place)
    {
        DialectResult result = _dialects(place.Dialect);
        return result.Dialect ?? throw new PoeOpsException(result.Problems[0]);
    }

    /// <summary>Logs in to a switch.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="stop">Closes the link's connection, and opens none any more; whoever waits at the link is told that it was closed.</param>
    /// <returns>A link that waits at its prompt; the caller disposes it.</returns>
    /// <exception cref="PoeOpsException">It must not be reached in clear (<see cref="ProblemId.ClearTextRefused"/>), or the dialect, the connection or the log-in failed.</exception>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was cancelled before the connection was made.</exception>
    public TerminalLink Open(Switch place, CancellationToken stop = default)
    {
        if (place.Link == LinkKind.Snmp)
        {
            // It has no console, and says so.
            _ = Connect(place, stop);
        }

        // Before its secrets are fetched from wherever they are kept.
        DemandAllowed(place);
        Dialect dialect = DialectOf(place);
        LogInSecrets secrets = _secrets(place) ?? LogInSecrets.None;
        return new TerminalLink(
            () => Connect(place, stop), dialect, secrets, place.Name, _clock, transcripts: () => NewTranscript(place, secrets), tell: _tell, stop: stop.CanBeCanceled ? stop : _stop);
    }

    /// <summary>Connects to a switch by its kind of link; nothing is sent yet.</summary>
    /// <exception cref="PoeOpsException">
    /// It must not be reached in clear (<see cref="ProblemId.ClearTextRefused"/>), no connection was made, or the link is of another kind (<see cref="ProblemId.LinkNotSupported"/>).
    /// </exception>
    public Stream Connect(Switch place)
    {
        DemandAllowed(place);
        if (place.Link == LinkKind.Ssh && _ssh is { } ssh)
        {
            return ssh(place);
        }

        Deadline deadline = _clock.DeadlineIn(new TerminalTimes().Connect);
        return TcpConnection.Open(place.Address, place.TcpPort, place.Link, deadline);
    }

    private Stream Connect(Switch place, CancellationToken stop)
    {
        stop.ThrowIfCancellationRequested();
        Stream stream = Connect(place);
        return stop.CanBeCanceled ? new CutStream(stream, stop) : stream;
    }

    private void DemandAllowed(Switch place)
    {
        if (ClearText.Refusal(place) is { } refusal)
        {
            throw new PoeOpsException(refusal);
        }
    }

    private Transcript? NewTranscript(Switch place, LogInSecrets secrets)
    {
        Action<string>? heard = Heard is { } told ? line => told($"{place.Name} {line}") : null;
        return _transcriptFolder is not null ? Transcript.Create(_transcriptFolder, place.Name, secrets, _clock, heard)
            : heard is not null ? Transcript.Unwritten(secrets, _clock, heard) : null;
    }
}
