using System.Globalization;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>A way to a switch through its console.</summary>
public sealed class TerminalLink : IUnitLink
{
    private const int TftpPort = 69;

    private static readonly TimeSpan LatePrompt = TimeSpan.FromSeconds(10);

    private readonly SessionOpening _opening;
    private readonly Dialect _dialect;
    private readonly LogInSecrets _secrets;
    private readonly string _switch;
    private readonly Clock _clock;
    private readonly Action<Problem> _tell;
    private readonly CancellationToken _stop;
    private readonly Func<Transcript?> _transcripts;
    private readonly SwitchAsking _asking;
    private readonly KeepAlive? _keepAlive;
    private readonly Waits _waits = new();
    private Dialogue? _dialogue;
    private RefreshWatch? _watch;
    private Transcript? _transcript;
    private Problem? _noTranscript;
    private string? _asked;
    private bool _started;

    /// <summary>Connects and logs in.</summary>
    /// <param name="open">Opens a duplex stream to the console.</param>
    /// <param name="dialect">How the device speaks.</param>
    /// <param name="secrets">What it takes to log in.</param>
    /// <param name="switchName">The switch, as the estate names it.</param>
    /// <param name="clock">Counts the deadlines.</param>
    /// <param name="times">How long to wait; null for the usual.</param>
    /// <param name="transcripts">Begins a transcript for each session; null to keep none.</param>
    /// <param name="tell">Told of a session that the device ended and for which a new one was opened; null where nobody is to know.</param>
    /// <param name="stop">Ends the pauses between attempts to connect; a session that is open is not touched.</param>
    /// <exception cref="PoeOpsException">The connection or the log-in failed; what may pass by itself was tried again.</exception>
    public TerminalLink(
        Func<Stream> open, Dialect dialect, LogInSecrets secrets, string switchName, Clock clock, TerminalTimes? times = null, Func<Transcript?>? transcripts = null,
        Action<Problem>? tell = null, CancellationToken stop = default)
    {
        _opening = new SessionOpening(open, dialect, secrets, clock, times ?? new TerminalTimes(), _waits);
        _dialect = dialect;
        _secrets = secrets;
        _switch = switchName;
        _clock = clock;
        _tell = tell ?? (_ => { });
        _stop = stop;
        _transcripts = transcripts ?? (() => null);
        _asking = new SwitchAsking(dialect, switchName, clock, AskOnce, () => Session().LastPrompt);
        _dialogue = secrets.Guarded(() => Connect(_transcripts));
        _keepAlive = dialect.Console.KeepAlive is { } text
            ? new KeepAlive(clock, TimeSpan.FromSeconds(dialect.Console.KeepAliveSeconds), () => SendKeepAlive(text))
            : null;
    }

    /// <inheritdoc/>
    public TimeSpan Waited => _waits.Total;

    /// <inheritdoc/>
    public string? TranscriptPath { get; private set; }

    /// <inheritdoc/>
    public SwitchReading Read()
    {
        SwitchReading reading = SecretsInReading.Strike(Asked(() => InOneSession(_asking.Read)), _secrets);
        return (_transcript?.Lost ?? _noTranscript) is { } lost ? WithProblem(reading, lost) : reading;
    }

    /// <inheritdoc/>
    public string? AskBusy()
    {
        if (_dialect.Refresh is not { } manners || !_dialect.Asks.TryGetValue(Need.Busy, out IReadOnlyList<Ask>? asks))
        {
            return null;
        }

        return Asked(() => InOneSession(() => _asking.AskBusy(asks))).FirstOrDefault(manners.Busy.AnyFits) is { } busy ? PlainText.Of(_secrets.Strike(busy.Trim())) : null;
    }

    /// <inheritdoc/>
    public void Start(RefreshOrder order)
    {
        RefreshManners manners = _dialect.Refresh ?? throw CannotRefresh("says nothing of refreshing");
        if (!manners.Commands.TryGetValue(order.Protocol, out string? command))
        {
            throw CannotRefresh($"has no command for {order.Protocol}");
        }

        if (order.ServerPort != TftpPort && string.Equals(order.Protocol, "tftp", StringComparison.OrdinalIgnoreCase) && !command.Contains("{ServerPort}"))
        {
            throw CannotRefresh($"has a command that cannot name port {order.ServerPort}, so the device would ask at {TftpPort}");
        }

        string filled = SafeValue.Fill(
            command, ("{Unit}", order.Unit), ("{ServerPort}", order.ServerPort.ToString(CultureInfo.InvariantCulture)), ("{Server}", order.Server), ("{File}", order.File));
        string? poll = manners.Poll is null ? null : SafeValue.Fill(manners.Poll, ("{Unit}", order.Unit));
        Exchange[] asks = [.. manners.Asks.Select(ask => ask with { Send = SafeValue.Fill(ask.Send, ("{Unit}", order.Unit)) })];
        _ = Asked(() =>
        {
            var watch = new RefreshWatch(Session(), manners with { Asks = asks }, _clock, poll);
            try
            {
                _watch = watch;
                watch.Start(filled);
            }
            catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.SessionEnded)
            {
                _watch = null;
                throw;
            }

            _started = true;
            return true;
        });
    }

    /// <inheritdoc/>
    public LinkEvent Next(Deadline until) =>
        _watch is { } watch ? Struck(Asked(() => watch.Next(until))) : throw new InvalidOperationException("No refresh was started on this session.");

    /// <inheritdoc/>
    public void Reopen() => Asked(() =>
    {
        Renew();
        return true;
    });

    /// <inheritdoc/>
    public void PutBack(Port before, string property)
    {
        IReadOnlyList<string> commands = new SettingWords(_dialect).Commands(before, property)
            ?? throw CannotRefresh($"has no command to set {property} to '{SettingWords.Means(before, property) ?? "nothing"}'");
        foreach (string command in commands)
        {
            _asked = null;
            _ = Asked(() => InOneSession(() => Session().Ask(command)));
        }
    }

    /// <inheritdoc/>
    public (TimeSpan Deadline, TimeSpan Stall) Limits(Stage stage)
    {
        StageManners? manners = _dialect.Refresh?.Stages.FirstOrDefault(one => one.Stage == stage.ToString());
        manners ??= new StageManners();
        return (TimeSpan.FromSeconds(manners.DeadlineSeconds), TimeSpan.FromSeconds(manners.StallSeconds));
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _keepAlive?.Dispose();
        _ = Alone(() =>
        {
            _dialogue?.Dispose();
            _dialogue = null;
            return true;
        });
    }

    private T Asked<T>(Func<T> work) => _secrets.Guarded(() => Alone(work));

    private T Alone<T>(Func<T> work) => _keepAlive is { } keepAlive ? keepAlive.Busy(work) : work();

    // Also of a line that was cut before: the beginning of a secret before the cut is struck too.
    private LinkEvent Struck(LinkEvent said) => said with { Text = _secrets.Strike(said.Text) };

    // A device that prints its progress might take a line for an answer, or for a word to stop.
    private bool SendKeepAlive(string text)
    {
        if (_watch is not null || _dialogue is not { HasEnded: false } dialogue)
        {
            return false;
        }

        // Whoever has the link waits for something else meanwhile, and counts that.
        TimeSpan waited = _waits.Total;
        _ = dialogue.Ask(text);
        _waits.Total = waited;
        return true;
    }

    // Whatever is read without a record of it is no ground to begin anything on.
    private static SwitchReading WithProblem(SwitchReading reading, Problem problem) => new(
        [.. reading.Controllers.Select(controller => controller with { ReadingProblems = controller.ReadingProblems + 1 })], [.. reading.Problems, problem]);

    // A unit may be at work, and is looked at again also where no transcript can be written any more.
    private Transcript? TranscriptOrNone()
    {
        try
        {
            _noTranscript = null;
            return _transcripts();
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.FileNotWritable)
        {
            _noTranscript = exception.Problem;
            return null;
        }
    }

    private Dialogue Connect(Func<Transcript?> transcripts)
    {
        Transcript? Begin()
        {
            _transcript = transcripts();
            TranscriptPath = _transcript is { Path.Length: > 0 } kept ? kept.Path : TranscriptPath;
            return _transcript;
        }

        // Whoever follows a unit at work has pauses and a deadline of its own, and is told at once that the device cannot be reached.
        return _started ? _opening.Open(Begin) : _opening.OpenPatiently(Begin, _stop);
    }

    private void Renew()
    {
        _watch = null;
        _dialogue?.Dispose();
        _dialogue = null;
        _dialogue = Connect(TranscriptOrNone);
    }

    // A device may end a session that was idle. What is asked then is begun anew in another one, once: a reading of two sessions could be half of what
    // was before a restart and half of what came after it.
    private T InOneSession<T>(Func<T> ask)
    {
        try
        {
            return ask();
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.SessionEnded || (exception.Problem.Id == ProblemId.LinkClosed && WasUnheard))
        {
            Renew();
            _tell(_secrets.Strike(exception.Problem) with { Target = _switch });
            return ask();
        }
    }

    // A device that closed while a command to show something was on its way has not heard it. Of other commands nobody can be so sure.
    private bool WasUnheard => _asked is { } command && _dialogue is { } dialogue && dialogue.EndedUnheard(command);

    private string AskOnce(string command)
    {
        _asked = command;
        return Session().Ask(command);
    }

    private Dialogue Session()
    {
        RefreshWatch? watch = _watch;
        _watch = null;
        watch?.AwaitPrompt(_clock.DeadlineIn(LatePrompt));
        return _dialogue ?? throw new ObjectDisposedException(nameof(TerminalLink));
    }

    private PoeOpsException CannotRefresh(string what) =>
        new(new Problem(ProblemId.CommandRefused, $"The dialect '{Excerpt.Of(_dialect.Name)}' {what}.", "Add it under 'refresh' of the dialect.") { Target = _switch });
}
