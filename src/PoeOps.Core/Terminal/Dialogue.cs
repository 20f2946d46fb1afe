using System.Globalization;
using System.Text;
using PoeOps.Dialects;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>
/// A conversation with a console over any duplex stream, in the manners of a dialect. Every wait has a deadline, and silence one of its own;
/// nothing hangs. Not safe for two threads at once.
/// </summary>
public sealed class Dialogue : IDisposable
{
    private const int LongestAnswer = 8 * 1024 * 1024;

    private readonly StreamPump _pump;
    private readonly Dialect _dialect;
    private readonly Clock _clock;
    private readonly TerminalTimes _times;
    private readonly Transcript? _transcript;
    private readonly Decoder _decoder;
    private readonly Encoding _encoding;
    private readonly StringBuilder _text = new();

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
        _encoding = Encoding.GetEncoding(dialect.Encoding);
        _decoder = _encoding.GetDecoder();
    }

    /// <summary>The last, unfinished line of what came, as a reader would see it.</summary>
    internal string LastLine => ConsoleText.Clean(RawLastLine());

    /// <summary>True once the device has closed and everything that it said has been taken.</summary>
    internal bool HasEnded => _pump.HasEnded;

    /// <summary>How the device speaks.</summary>
    internal Dialect Dialect => _dialect;

    /// <summary>Sends a command and gives what the device answers, up to its prompt: without echo, pagers and prompt.</summary>
    /// <param name="command">The command.</param>
    /// <exception cref="PoeOpsException">
    /// The device closed, fell silent, blocked, answered too much or for too long, or refused the command (<see cref="ProblemId.CommandRefused"/>).
    /// </exception>
    public string Ask(string command)
    {
        string answer = Exchange(command);
        foreach (string line in answer.Split('\n').Select(ConsoleText.Clean))
        {
            if (_dialect.Console.Refused.Any(pattern => pattern.IsMatch(line)))
            {
                throw Wrong(ProblemId.CommandRefused, $"The device refused '{Excerpt.Of(command)}' with '{Excerpt.Of(line)}'.", "Correct the command in the dialect, or check that the user may give it.");
            }
        }

        return answer;
    }

    /// <summary>Sends a line.</summary>
    /// <param name="text">The line, without its end.</param>
    /// <param name="secret">True where it holds a secret.</param>
    /// <param name="lineEnd">False to send it as it is.</param>
    internal void Send(string text, bool secret = false, bool lineEnd = true)
    {
        byte[] bytes = _encoding.GetBytes(lineEnd ? text + _dialect.Console.LineEnd : text);
        _transcript?.Sent(bytes, secret);
        if (_pump.Write(bytes, _clock.MachineTime(_times.Write)) is { } problem)
        {
            throw new PoeOpsException(problem);
        }
    }

    /// <summary>Takes what came next into the text.</summary>
    /// <param name="machineTime">How long to wait at the most.</param>
    /// <returns>False where nothing came.</returns>
    internal bool Receive(TimeSpan machineTime)
    {
        byte[]? bytes = _pump.Read(machineTime);
        if (bytes is null)
        {
            return false;
        }

        _transcript?.Said(bytes, bytes.Length);
        char[] characters = new char[_encoding.GetMaxCharCount(bytes.Length)];
        int count = _decoder.GetChars(bytes, 0, bytes.Length, characters, 0);
        foreach (char c in characters.Take(count).Where(c => c != '\0'))
        {
            _text.Append(c);
        }

        return _text.Length <= LongestAnswer
            ? true
            : throw Wrong(ProblemId.AnswerTooLong, $"The device sent more than {LongestAnswer.ToString(CultureInfo.InvariantCulture)} characters without a prompt.", "Check the command and the prompts in the dialect.");
    }

    /// <summary>Waits until something came, or says why nothing will.</summary>
    /// <param name="deadline">When the whole wait ends.</param>
    /// <param name="waitingFor">What is awaited, for a sentence.</param>
    internal void Await(Deadline deadline, string waitingFor)
    {
        TimeSpan silence = _clock.MachineTime(_times.Silence);
        TimeSpan most = silence < deadline.MachineTimeLeft ? silence : deadline.MachineTimeLeft;
        if (Receive(most))
        {
            return;
        }

        if (_pump.HasEnded)
        {
            throw Wrong(ProblemId.LinkClosed, $"The device closed the connection while {waitingFor} was awaited.", "Check the device, and whether it allows more sessions.");
        }

        string last = LastLine.Trim();
        throw last.Length == 0
            ? Wrong(ProblemId.LinkSilent, $"The device said nothing while {waitingFor} was awaited.", "Check the device and the way to it.")
            : Wrong(ProblemId.PromptNotSeen, $"The device stopped at '{Excerpt.Of(last)}' while {waitingFor} was awaited.", "Add a pattern for it to the console part of the dialect.");
    }

    /// <summary>Takes the finished lines that have come, and leaves the unfinished one.</summary>
    internal IReadOnlyList<string> TakeLines()
    {
        string text = _text.ToString();
        int end = text.LastIndexOf('\n');
        if (end < 0)
        {
            return [];
        }

        _text.Remove(0, end + 1);
        return [.. text.Substring(0, end).Split('\n').Select(ConsoleText.Clean)];
    }

    /// <summary>Forgets the unfinished line, which has been answered.</summary>
    internal void DropLastLine() => _text.Length -= RawLastLine().Length;

    /// <summary>Forgets everything that came.</summary>
    internal void Clear() => _text.Clear();

    /// <summary>True where the device waits at a prompt and nothing comes behind it.</summary>
    internal bool IsAtPrompt()
    {
        // What comes behind a prompt may be all that is left of the answer, up to the next prompt: then nothing more will come to wait for.
        while (IsPrompt())
        {
            if (!Receive(_times.Settle))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Answers a pager that the device has stopped at.</summary>
    /// <returns>True where it had.</returns>
    internal bool AnswerPager()
    {
        string last = LastLine;
        Exchange? pager = _dialect.Console.Pagers.FirstOrDefault(one => one.Expect.IsMatch(last));
        if (pager is null)
        {
            return false;
        }

        DropLastLine();
        Send(pager.Send, lineEnd: pager.AddLineEnd);
        return true;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        if (_dialect.Console.GoodBye is { } goodBye && !_pump.HasEnded)
        {
            byte[] bytes = _encoding.GetBytes(goodBye + _dialect.Console.LineEnd);
            _transcript?.Sent(bytes, secret: false);

            // A good-bye that is not taken changes nothing: the connection is closed all the same.
            _ = _pump.Write(bytes, TimeSpan.FromSeconds(1));
        }

        _pump.Dispose();
        _transcript?.Dispose();
    }

    private string Exchange(string command)
    {
        Clear();
        Send(command);
        Deadline deadline = _clock.DeadlineIn(_times.Command);
        while (true)
        {
            Await(deadline, $"the answer to '{Excerpt.Of(command)}'");
            if (!AnswerPager() && IsAtPrompt())
            {
                DropLastLine();
                string answer = Echo.Remove(_text.ToString(), command);
                Clear();
                return answer;
            }
        }
    }

    private bool IsPrompt()
    {
        string last = LastLine;
        return last.Length > 0 && (_dialect.Console.Prompts.Any(pattern => pattern.IsMatch(last)) || _dialect.Console.ElevatedPrompts.Any(pattern => pattern.IsMatch(last)));
    }

    private string RawLastLine()
    {
        int start = _text.Length;
        while (start > 0 && _text[start - 1] != '\n')
        {
            start--;
        }

        return _text.ToString(start, _text.Length - start);
    }

    private static PoeOpsException Wrong(ProblemId id, string sentence, string advice) => new(new Problem(id, sentence, advice));
}
