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

    /// <summary>Makes an opener; nothing is connected yet.</summary>
    /// <param name="dialects">Finds a dialect by the name that the estate gives.</param>
    /// <param name="secrets">The secrets of a switch, or null where none were given.</param>
    /// <param name="clock">Counts the deadlines.</param>
    /// <param name="transcriptFolder">An existing folder for the transcripts, or null to keep none.</param>
    public SwitchLinks(Func<string, DialectResult> dialects, Func<Switch, LogInSecrets?> secrets, Clock clock, string? transcriptFolder)
    {
        _dialects = dialects;
        _secrets = secrets;
        _clock = clock;
        _transcriptFolder = transcriptFolder;
    }

    /// <summary>The dialect of a switch.</summary>
    /// <exception cref="PoeOpsException">It cannot be found or read.</exception>
    public Dialect DialectOf(Switch place)
    {
        DialectResult result = _dialects(place.Dialect);
        return result.Dialect ?? throw new PoeOpsException(result.Problems[0]);
    }

    /// <summary>Logs in to a switch.</summary>
    /// <returns>A link that waits at its prompt; the caller disposes it.</returns>
    /// <exception cref="PoeOpsException">The dialect, the connection or the log-in failed.</exception>
    public TerminalLink Open(Switch place)
    {
        if (place.Link == LinkKind.Snmp)
        {
            _ = Connect(place);
        }

        Dialect dialect = DialectOf(place);
        LogInSecrets secrets = _secrets(place) ?? LogInSecrets.None;
        return new TerminalLink(() => Connect(place), dialect, secrets, place.Name, _clock, transcripts: () => NewTranscript(place, secrets));
    }

    private Stream Connect(Switch place)
    {
        Deadline deadline = _clock.DeadlineIn(new TerminalTimes().Connect);
        return TcpConnection.Open(place.Address, place.TcpPort, place.Link, deadline);
    }

    private Transcript? NewTranscript(Switch place, LogInSecrets secrets) =>
        _transcriptFolder is null ? null : Transcript.Create(_transcriptFolder, place.Name, secrets, _clock);
}
