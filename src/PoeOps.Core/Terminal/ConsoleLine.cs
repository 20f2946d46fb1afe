using System.Text;
using PoeOps.Dialects;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// The line to a console: text goes out in the encoding of its dialect, and what comes is put on a screen. Everything that goes over it is in the transcript.
/// </summary>
internal sealed class ConsoleLine : IDisposable
{
    private const int LongestAnswer = 8 * 1024 * 1024;

    // Never a character that the device may print itself: a question mark could pass for a value.
    private const string NoCharacter = "\uFFFD";

    private readonly StreamPump _pump;
    private readonly ConsoleManners _console;
    private readonly Clock _clock;
    private readonly TerminalTimes _times;
    private readonly Transcript? _transcript;
    private readonly Encoding _encoding;
    private readonly Decoder _decoder;

    /// <summary>Begins to read.</summary>
    public ConsoleLine(Stream stream, Dialect dialect, Clock clock, TerminalTimes times, Transcript? transcript)
    {
        _pump = new StreamPump(stream);
        _console = dialect.Console;
        _clock = clock;
        _times = times;
        _transcript = transcript;
        _encoding = Encoding.GetEncoding(dialect.Encoding, EncoderFallback.ExceptionFallback, new DecoderReplacementFallback(NoCharacter));
        _decoder = _encoding.GetDecoder();
        _transcript?.AlsoIn(_encoding);
        Screen = new ConsoleScreen(_console.ReturnEndsLine);
    }

    /// <summary>What came.</summary>
    public ConsoleScreen Screen { get; }

    /// <summary>True once the device has closed and everything that it said has been taken.</summary>
    public bool HasEnded => _pump.HasEnded;

    /// <summary>True where something came since the last text was sent.</summary>
    public bool HasHeard { get; private set; }

    /// <summary>Takes every byte that comes; null to keep none.</summary>
    public MemoryStream? Tap { get; set; }

    /// <summary>Counts what goes by in waiting for the device.</summary>
    public Waits Waits { get; set; } = new();

    /// <summary>Sends a text.</summary>
    /// <param name="text">The text.</param>
    /// <param name="secret">True where it holds a secret.</param>
    /// <param name="lineEnd">False to send it as it is.</param>
    /// <exception cref="PoeOpsException">It was not taken, or cannot be written in the device's encoding.</exception>
    public void Send(string text, bool secret, bool lineEnd)
    {
        byte[] bytes = Encode(lineEnd ? text + _console.LineEnd : text);
        _transcript?.Sent(bytes, secret);
        HasHeard = false;
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

    /// <summary>The log-in is over: what is said from here on is no echo of a secret.</summary>
    public void LoggedIn() => _transcript?.LoggedIn();

    /// <summary>Takes what came next onto the screen.</summary>
    /// <param name="machineTime">How long to wait at the most.</param>
    /// <returns>False where nothing came.</returns>
    /// <exception cref="PoeOpsException">The screen holds more than any answer may have (<see cref="ProblemId.AnswerTooLong"/>).</exception>
    public bool Receive(TimeSpan machineTime)
    {
        byte[]? bytes = Waits.Count(() => _pump.Read(machineTime));
        if (bytes is null)
        {
            return false;
        }

        HasHeard = true;
        _transcript?.Said(bytes, bytes.Length);
        Tap?.Write(bytes, 0, bytes.Length);
        char[] characters = new char[_encoding.GetMaxCharCount(bytes.Length)];
        Screen.Add(characters, _decoder.GetChars(bytes, 0, bytes.Length, characters, 0));
        return Screen.Length <= LongestAnswer ? true : throw DialogueProblems.TooLong(LongestAnswer);
    }

    /// <summary>Says good-bye where the dialect has a word for it, and closes; waits for neither longer than a moment.</summary>
    public void Dispose()
    {
        if (_console.GoodBye is { } goodBye && !_pump.HasEnded)
        {
            byte[] bytes = Encoding.GetEncoding(_encoding.CodePage).GetBytes(goodBye + _console.LineEnd);
            _transcript?.Sent(bytes, secret: false);

            // A good-bye that is not taken changes nothing: the connection is closed all the same.
            _ = _pump.Write(bytes, TimeSpan.FromSeconds(1));
        }

        _pump.Dispose();
        _transcript?.Dispose();
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
