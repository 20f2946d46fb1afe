using System.Text;
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
    private const int LongestAnswer = 8 * 1024 * 1024;

    // What looks like a prompt, but is none that was seen before or comes without the echo that this device gives, is watched for so long.
    private static readonly TimeSpan Doubt = TimeSpan.FromSeconds(1);

    private readonly StreamPump _pump;
    private readonly Dialect _dialect;
    private readonly Clock _clock;
    private readonly TerminalTimes _times;
    private readonly Transcript? _transcript;
    private readonly Decoder _decoder;
    private readonly Encoding _encoding;
    private readonly ConsoleScreen _screen = new();
    private readonly HashSet<string> _prompts = new(StringComparer.Ordinal);
    private bool _echoes;
    private bool _unseen;
    private bool _heard;
    private bool _isLogIn = true;

    /// <summary>Begins a conversation; nothing is sent yet.</summary>
    /// <param name="stream">A duplex stream to the console, which the dialogue owns from now on.</param>
    /// <param name="dialect">How the device speaks.</param>
    /// <param name="clock">Counts the deadlines.</param>
    /// <param name="times">How long to wait.</param>
    /// <param name="transcript">Where every byte is written down, or null.</param>
    public Dialogue(Stream stream, Dialect dialect, Clock clock, TerminalTimes times, Transcript? transcript)
    {
        _pump = new StreamPump(stream);
        _dialect = dialect;
        _clock = clock;
        _times = times;
        _transcript = transcript;
        _encoding = Encoding.GetEncoding(dialect.Encoding, EncoderFallback.ExceptionFallback, DecoderFallback.ReplacementFallback);
        _decoder = _encoding.GetDecoder();
        _transcript?.AlsoIn(_encoding);
    }

    /// <summary>The last, unfinished line of what came, as a reader would see it.</summary>
    internal string LastLine => _screen.LastLine;

    /// <summary>True once the device has closed and everything that it said has been taken.</summary>
    internal bool HasEnded => _pump.HasEnded;

    /// <summary>How the device speaks.</summary>
    internal Dialect Dialect => _dialect;

    /// <summary>The prompt that the device waited at last, as a reader sees it; empty before the first.</summary>
    internal string LastPrompt { get; private set; } = string.Empty;

    /// <summary>Takes every byte that comes from the next command on; null to keep none.</summary>
    internal MemoryStream? Tap { get; set; }

    /// <summary>Counts what goes by in waiting for the device.</summary>
    internal Waits Waits { get; init; } = new();

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

    /// <summary>True for a line by which the device refuses a command.</summary>
    internal bool IsRefusal(string line) => _dialect.Console.Refused.AnyFits(line);

    /// <summary>True for a line that looks like a prompt.</summary>
    internal bool IsPrompt(string line) => _dialect.Console.IsPrompt(line);

    /// <summary>A text for a sentence: short, on one line, without secrets.</summary>
    internal string Shown(string text) => Excerpt.Of(_isLogIn ? Secrets.StrikeInLogIn(text.Trim()) : Secrets.Strike(text.Trim()));

    /// <summary>The log-in is over: what is said from here on is no echo of a secret.</summary>
    internal void LoggedIn()
    {
        _isLogIn = false;
        _transcript?.LoggedIn();
    }

    /// <summary>Forgets what came unasked, and sends a command.</summary>
    internal void SendAfresh(string command)
    {
        while (Receive(TimeSpan.Zero))
        {
            _screen.Clear();
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
        byte[] bytes = Encode(lineEnd ? text + _dialect.Console.LineEnd : text);
        _transcript?.Sent(bytes, secret);
        _heard = false;
        switch (Waits.Count(() => _pump.Write(bytes, _clock.MachineTime(_times.Write))))
        {
            case ProblemId.LinkBlocked:
                throw DialogueProblems.Blocked(_times.Write);
            case ProblemId.LinkClosed:
                throw DialogueProblems.ClosedInSending();
            default:
                break;
        }
    }

    /// <summary>Takes what came next onto the screen.</summary>
    /// <param name="machineTime">How long to wait at the most.</param>
    /// <returns>False where nothing came.</returns>
    internal bool Receive(TimeSpan machineTime)
    {
        byte[]? bytes = Waits.Count(() => _pump.Read(machineTime));
        if (bytes is null)
        {
            return false;
        }

        _unseen = true;
        _heard = true;
        _transcript?.Said(bytes, bytes.Length);
        Tap?.Write(bytes, 0, bytes.Length);
        char[] characters = new char[_encoding.GetMaxCharCount(bytes.Length)];
        _screen.Add(characters, _decoder.GetChars(bytes, 0, bytes.Length, characters, 0));
        return _screen.Length <= LongestAnswer ? true : throw DialogueProblems.TooLong(LongestAnswer);
    }

    /// <summary>Waits until something came that no wait has told of yet, or says why nothing will.</summary>
    /// <param name="deadline">When the whole wait ends, also where the device goes on talking.</param>
    /// <param name="waitingFor">What is awaited, for a sentence.</param>
    internal void Await(Deadline deadline, string waitingFor)
    {
        TimeSpan silence = _clock.MachineTime(_times.Silence);
        TimeSpan left = deadline.MachineTimeLeft;
        if (left > TimeSpan.Zero && (_unseen || Receive(silence < left ? silence : left)))
        {
            _unseen = false;
            return;
        }

        // A wait for what was left of the deadline may be over a moment before it.
        throw NothingMore(deadline, left <= silence, waitingFor);
    }

    /// <summary>Takes the finished lines that have come, and leaves the unfinished one.</summary>
    internal IReadOnlyList<string> TakeLines() => _screen.TakeLines();

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
    internal bool IsAtPrompt(Deadline deadline)
    {
        bool settled = Settles(IsPrompt, deadline);
        if (settled)
        {
            Remember(LastLine);
        }

        return settled;
    }

    /// <summary>Answers a pager that the device has stopped at.</summary>
    /// <returns>True where it had.</returns>
    internal bool AnswerPager(Deadline deadline)
    {
        Exchange? pager = null;
        if (!Settles(line => (pager = _dialect.Console.Pagers.FirstOrDefault(one => one.Expect.Fits(line))) is not null, deadline))
        {
            return false;
        }

        _screen.DropPager(pager!.Send);
        Send(pager.Send, lineEnd: pager.AddLineEnd);
        return true;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        if (_dialect.Console.GoodBye is { } goodBye && !_pump.HasEnded)
        {
            byte[] bytes = Encoding.GetEncoding(_dialect.Encoding).GetBytes(goodBye + _dialect.Console.LineEnd);
            _transcript?.Sent(bytes, secret: false);

            // A good-bye that is not taken changes nothing: the connection is closed all the same.
            _ = _pump.Write(bytes, TimeSpan.FromSeconds(1));
        }

        _pump.Dispose();
        _transcript?.Dispose();
    }

    private string Answer(string command)
    {
        Deadline deadline = _clock.DeadlineIn(_times.Command);
        while (true)
        {
            Await(deadline, $"the answer to '{Shown(command)}'");
            if (!AnswerPager(deadline) && Settles(IsPrompt, () => IsSure(command) ? _times.Settle : Doubt, deadline))
            {
                Remember(LastLine);
                _echoes |= Echo.Remove(_screen.Finished, command, IsPrompt, out string answer);
                Clear();
                return answer;
            }
        }
    }

    private void Remember(string prompt)
    {
        LastPrompt = prompt;
        _prompts.Add(prompt);
    }

    // A prompt that was drawn again behind a log line may still be on its way when the next command is sent: it must not pass for that one's.
    private bool IsSure(string command) => _prompts.Contains(LastLine) && (!_echoes || Echo.Remove(_screen.Finished, command, IsPrompt, out _));

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

    private PoeOpsException NothingMore(Deadline deadline, bool over, string waitingFor)
    {
        if (_pump.HasEnded)
        {
            return DialogueProblems.Closed(waitingFor);
        }

        string last = Shown(LastLine);
        return !_heard || (last.Length == 0 && !over) ? DialogueProblems.Silent(over && deadline.Span < _times.Silence ? deadline.Span : _times.Silence, waitingFor)
            : over ? DialogueProblems.NoEnd(deadline.Span, waitingFor)
            : DialogueProblems.Stopped(last, _times.Silence, waitingFor);
    }

    private byte[] Encode(string text)
    {
        try
        {
            return _encoding.GetBytes(text);
        }
        catch (EncoderFallbackException)
        {
            throw DialogueProblems.NotWritable(_encoding.WebName);
        }
    }
}
