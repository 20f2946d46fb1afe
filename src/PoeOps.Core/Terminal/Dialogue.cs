using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// A conversation with a console over any duplex stream, in the manners of a dialect. Every wait has a deadline, and silence one of its own;
/// nothing hangs. Not safe for two threads at once.
/// </summary>
public sealed class Dialogue : IDisposable
{
    // What looks like a prompt, but is none that was seen before or comes without the echo that this device gives, is watched for so long.
    private static readonly TimeSpan Doubt = TimeSpan.FromSeconds(1);

    private readonly ConsoleLine _line;
    private readonly ConsoleScreen _screen;
    private readonly Dialect _dialect;
    private readonly Clock _clock;
    private readonly TerminalTimes _times;
    private readonly HashSet<string> _prompts = new(StringComparer.Ordinal);
    private readonly LastWords _words = new();
    private bool _echoes;
    private bool _unseen;
    private bool _isLogIn = true;

    /// <summary>Begins a conversation; nothing is sent yet.</summary>
    /// <param name="stream">A duplex stream to the console, which the dialogue owns from now on.</param>
    /// <param name="dialect">How the device speaks.</param>
    /// <param name="clock">Counts the deadlines.</param>
    /// <param name="times">How long to wait.</param>
    /// <param name="transcript">Where every byte is written down, or null.</param>
    public Dialogue(Stream stream, Dialect dialect, Clock clock, TerminalTimes times, Transcript? transcript)
    {
        _line = new ConsoleLine(stream, dialect, clock, times, transcript);
        _screen = _line.Screen;
        _dialect = dialect;
        _clock = clock;
        _times = times;
    }

    /// <summary>The last, unfinished line of what came, as a reader would see it.</summary>
    internal string LastLine => _screen.LastLine;

    /// <summary>True once the device has closed and everything that it said has been taken.</summary>
    internal bool HasEnded => _line.HasEnded;

    internal Dialect Dialect => _dialect;

    /// <summary>The prompt that the device waited at last, as a reader sees it; empty before the first.</summary>
    internal string LastPrompt { get; private set; } = string.Empty;

    /// <summary>Takes every byte that comes from the next command on; null to keep none.</summary>
    internal MemoryStream? Tap { get => _line.Tap; set => _line.Tap = value; }

    /// <summary>Counts what goes by in waiting for the device.</summary>
    internal Waits Waits { get => _line.Waits; init => _line.Waits = value; }

    /// <summary>What must stand in no sentence.</summary>
    internal LogInSecrets Secrets { get; set; } = LogInSecrets.None;

    /// <summary>Sends a command and gives what the device answers, up to its prompt: without echo, pagers and prompt.</summary>
    /// <param name="command">The command.</param>
    /// <exception cref="PoeOpsException">The device closed, fell silent, blocked, answered too much or for too long, or refused (<see cref="ProblemId.CommandRefused"/>).</exception>
    public string Ask(string command)
    {
        string answer = Hear(command);
        return RefusalIn(answer) is { } line ? throw DialogueProblems.Refused(Shown(command), Shown(line)) : answer;
    }

    /// <summary>As <see cref="Ask"/>, but a refusal is an answer as well.</summary>
    internal string Hear(string command)
    {
        SendAfresh(command);
        return Answer(command);
    }

    /// <summary>The line of an answer by which the device refuses, or null.</summary>
    internal string? RefusalIn(string answer) => answer.Split('\n').Select(ConsoleText.Clean).FirstOrDefault(IsRefusal);

    internal bool IsRefusal(string line) => _dialect.Console.Refused.AnyFits(line);

    internal bool IsPrompt(string line) => _dialect.Console.IsPrompt(line);

    /// <summary>A text for a sentence: short, on one line, without secrets.</summary>
    internal string Shown(string text) => Excerpt.Of(_isLogIn ? Secrets.StrikeInLogIn(text.Trim()) : Secrets.Strike(text.Trim()));

    /// <summary>The log-in is over: what is said from here on is no echo of a secret.</summary>
    internal void LoggedIn()
    {
        _isLogIn = false;
        _line.LoggedIn();
    }

    /// <summary>Forgets what came unasked, and sends a command.</summary>
    /// <exception cref="PoeOpsException">
    /// The device had ended the session, and nothing was sent (<see cref="ProblemId.SessionEnded"/>); it talks without an end; or it does not take the command.
    /// </exception>
    internal void SendAfresh(string command)
    {
        Deadline deadline = _clock.DeadlineIn(_times.Silence);
        while (Receive(TimeSpan.Zero))
        {
            _ = TakeLines();
            if (deadline.HasPassed)
            {
                throw DialogueProblems.NoEnd(deadline.Span, "a pause to send in");
            }
        }

        if (HasEnded)
        {
            throw DialogueProblems.Ended(Shown(command), LastSaid(null));
        }

        Clear();
        Tap?.SetLength(0);
        Send(command);
    }

    /// <summary>Sends a line.</summary>
    /// <param name="text">The line, without its end.</param>
    /// <param name="secret">True where it holds a secret.</param>
    /// <param name="lineEnd">False to send it as it is.</param>
    internal void Send(string text, bool secret = false, bool lineEnd = true)
    {
        _words.Clear();
        _line.Send(text, secret, lineEnd);
    }

    /// <summary>True where the device closed before it gave a sign that it had heard a command.</summary>
    internal bool EndedUnheard(string command) => HasEnded && (!_line.HasHeard || (_echoes && !HasEcho(command)));

    /// <summary>Takes what came next onto the screen.</summary>
    /// <param name="machineTime">How long to wait at the most.</param>
    /// <returns>False where nothing came.</returns>
    internal bool Receive(TimeSpan machineTime)
    {
        bool came = _line.Receive(machineTime);
        _unseen |= came;
        return came;
    }

    /// <summary>Waits until something came that no wait has told of yet, or says why nothing will.</summary>
    /// <param name="deadline">When the whole wait ends, also where the device goes on talking.</param>
    /// <param name="waitingFor">What is awaited, for a sentence.</param>
    internal void Await(Deadline deadline, string waitingFor)
    {
        if (!Comes(deadline, out bool over))
        {
            throw NothingMore(deadline, over, waitingFor, null);
        }
    }

    /// <summary>Takes the finished lines that have come, and leaves the unfinished one.</summary>
    internal IReadOnlyList<string> TakeLines()
    {
        IReadOnlyList<string> lines = _screen.TakeLines();
        _words.Keep(lines);
        return lines;
    }

    /// <summary>Forgets the unfinished line, which has been answered.</summary>
    internal void DropLastLine() => _screen.DropLastLine();

    /// <summary>Forgets everything that came.</summary>
    internal void Clear()
    {
        _screen.Clear();
        _unseen = false;
    }

    /// <summary>True where something holds of the unfinished line, and still does when nothing has come behind it for a moment.</summary>
    internal bool Settles(Func<string, bool> holds, Deadline deadline) => Settles(holds, () => _times.Settle, deadline);

    /// <summary>True where the device waits at a prompt and nothing comes behind it.</summary>
    /// <param name="deadline">When to give up.</param>
    /// <param name="settle">The machine's time in which nothing may come; the usual where null.</param>
    internal bool IsAtPrompt(Deadline deadline, TimeSpan? settle = null)
    {
        bool settled = Settles(IsPrompt, () => settle ?? _times.Settle, deadline);
        if (settled)
        {
            Remember(LastLine);
        }

        return settled;
    }

    /// <summary>Answers a pager that the device has stopped at.</summary>
    /// <param name="deadline">When to give up.</param>
    /// <param name="alsoEnded">True to answer one as well behind which the device has ended the line, once nothing more comes.</param>
    /// <returns>True where it had.</returns>
    internal bool AnswerPager(Deadline deadline, bool alsoEnded = false)
    {
        Exchange? pager = null;
        bool IsPager(string line) => (pager = _dialect.Console.Pagers.FirstOrDefault(one => one.Expect.Fits(line))) is not null;
        if (Settles(IsPager, deadline))
        {
            _screen.DropPager(pager!.Send);
        }
        else if (alsoEnded && Settles(line => line.Trim().Length == 0 && IsPager(_screen.LastFinished is { Length: > 0 } last ? last : _words.Last), () => Doubt, deadline))
        {
            _screen.DropLastFinished();
        }
        else
        {
            return false;
        }

        Send(pager!.Send, lineEnd: pager.AddLineEnd);
        return true;
    }

    /// <inheritdoc/>
    public void Dispose() => _line.Dispose();

    private string Answer(string command)
    {
        Deadline deadline = _clock.DeadlineIn(_times.Command);
        while (true)
        {
            if (!Comes(deadline, out bool over))
            {
                return !over && !HasEnded && LastLine.Trim().Length == 0 && BuriedPrompt.Remove(_screen.Finished, _prompts, out string buried)
                    ? Taken(buried, command) : throw NothingMore(deadline, over, $"the answer to '{Shown(command)}'", command);
            }

            if (!AnswerPager(deadline, alsoEnded: true) && Settles(IsPrompt, () => IsSure(command) ? _times.Settle : Doubt, deadline))
            {
                Remember(LastLine);
                return Taken(_screen.Finished, command);
            }
        }
    }

    // False where nothing came, and whether the deadline of the whole is the reason; a wait for what was left of it may be over a moment before it.
    private bool Comes(Deadline deadline, out bool over)
    {
        TimeSpan silence = _clock.MachineTime(_times.Silence);
        TimeSpan left = deadline.MachineTimeLeft;
        over = left <= silence;
        bool comes = left > TimeSpan.Zero && (_unseen || Receive(over ? left : silence));
        _unseen = false;
        return comes;
    }

    private string Taken(string finished, string command)
    {
        _echoes |= Echo.Remove(finished, command, IsPrompt, out string answer);
        Clear();
        return answer;
    }

    private void Remember(string prompt) => _prompts.Add(LastPrompt = prompt);

    // A prompt that was drawn again behind a log line may still be on its way when the next command is sent: it must not pass for that one's.
    private bool IsSure(string command) => _prompts.Contains(LastLine) && (!_echoes || HasEcho(command));

    private bool HasEcho(string command) => Echo.Remove(_screen.Finished, command, IsPrompt, out _);

    private bool Settles(Func<string, bool> holds, Func<TimeSpan> settle, Deadline deadline)
    {
        while (!deadline.HasPassed && holds(LastLine))
        {
            if (!Receive(settle()))
            {
                return true;
            }
        }

        return false;
    }

    private string LastSaid(string? command)
    {
        string finished = _screen.Finished;
        if (command is not null)
        {
            _ = Echo.Remove(finished, command, IsPrompt, out finished);
        }

        return _words.Tell(finished.Split('\n').Select(ConsoleText.Clean).Append(LastLine), Shown);
    }

    private PoeOpsException NothingMore(Deadline deadline, bool over, string waitingFor, string? command)
    {
        if (HasEnded)
        {
            return DialogueProblems.Closed(waitingFor, LastSaid(command));
        }

        string last = Shown(LastLine);
        return !_line.HasHeard || (last.Length == 0 && !over) ? DialogueProblems.Silent(over && deadline.Span < _times.Silence ? deadline.Span : _times.Silence, waitingFor)
            : over ? DialogueProblems.NoEnd(deadline.Span, waitingFor)
            : DialogueProblems.Stopped(last, LastLine.EndsWith(" ", StringComparison.Ordinal), _times.Silence, waitingFor);
    }
}
