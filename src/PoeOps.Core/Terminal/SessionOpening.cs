using System.Net.Sockets;
using PoeOps.Dialects;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// Opens sessions: connects and logs in. Where it is patient, it tries again after growing pauses what may pass by itself: a connection that is refused,
/// reset or not answered, for as long as a connection may take; a device without a free session, and one that closes before anything was asked, for
/// as long as a log-in may take. A wrong name and a refused log-in do not pass, and a second wrong password may lock an account.
/// </summary>
internal sealed class SessionOpening
{
    private readonly Func<Stream> _open;
    private readonly Dialect _dialect;
    private readonly LogInSecrets _secrets;
    private readonly Clock _clock;
    private readonly TerminalTimes _times;
    private readonly Waits _waits;
    private bool _unasked;

    /// <summary>Prepares to open; nothing is connected yet.</summary>
    public SessionOpening(Func<Stream> open, Dialect dialect, LogInSecrets secrets, Clock clock, TerminalTimes times, Waits waits)
    {
        _open = open;
        _dialect = dialect;
        _secrets = secrets;
        _clock = clock;
        _times = times;
        _waits = waits;
    }

    /// <summary>Opens a session, and tries again what may pass.</summary>
    /// <param name="transcripts">Begins a transcript for each connection, or gives null.</param>
    /// <param name="stop">Ends the pauses; what failed last is thrown then.</param>
    /// <exception cref="PoeOpsException">What failed last.</exception>
    public Dialogue OpenPatiently(Func<Transcript?> transcripts, CancellationToken stop)
    {
        BackOff connecting = new(_clock, _times.Connect, stop);
        BackOff entering = new(_clock, _times.LogIn, stop);
        while (true)
        {
            try
            {
                return Open(transcripts);
            }
            catch (PoeOpsException exception)
            {
                BackOff? pauses = exception.Problem.Id switch
                {
                    ProblemId.ConnectFailed when MayPass(exception) => connecting,
                    ProblemId.SessionsFull => entering,
                    ProblemId.LinkClosed or ProblemId.SessionEnded when _unasked => entering,
                    _ => null,
                };
                if (pauses is null || !_waits.Count(pauses.Wait))
                {
                    throw;
                }
            }
        }
    }

    /// <summary>Opens a session by a single attempt.</summary>
    /// <param name="transcripts">Begins a transcript, or gives null.</param>
    /// <exception cref="PoeOpsException">The connection or the log-in failed.</exception>
    public Dialogue Open(Func<Transcript?> transcripts)
    {
        _unasked = false;
        Stream stream = _waits.Count(_open);
        Dialogue? dialogue = null;
        bool isIn = false;
        try
        {
            dialogue = new Dialogue(stream, _dialect, _clock, _times, transcripts()) { Waits = _waits };
            var logIn = new LogIn(dialogue, _secrets, _clock, _times);
            _unasked = true;
            logIn.Run(() => _unasked = false);
            isIn = true;
            return dialogue;
        }
        finally
        {
            if (dialogue is null)
            {
                stream.Dispose();
            }
            else if (!isIn)
            {
                dialogue.Dispose();
            }
        }
    }

    // A name that nobody knows is not known a second later either. What a link of another kind reports has its own patience.
    private static bool MayPass(PoeOpsException exception) => exception.InnerException is TimeoutException or SocketException
    {
        SocketErrorCode: SocketError.ConnectionRefused or SocketError.ConnectionReset or SocketError.ConnectionAborted or SocketError.TimedOut or SocketError.TryAgain
            or SocketError.HostUnreachable or SocketError.NetworkUnreachable or SocketError.NetworkDown or SocketError.HostDown,
    };
}
