using System.Globalization;
using System.Text;
using PoeOps.Dialects;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Logs in to a switch, sends commands that change nothing, and saves each answer twice: the bytes as they came, and what a reader would see.</summary>
public sealed class CaptureSaving
{
    private const int LongestCommand = 1000;
    private const int LongestName = 60;

    private readonly Dialect _dialect;
    private readonly string _switch;
    private readonly LogInSecrets _secrets;
    private readonly IReadOnlyList<SavedCapture> _orders;
    private readonly string _folder;
    private readonly bool _overwrite;
    private readonly Encoding _encoding;

    /// <summary>Prepares to save; nothing is connected or written yet.</summary>
    /// <param name="dialect">How the device speaks; its console part is enough.</param>
    /// <param name="switchName">The switch; with the command it names the files.</param>
    /// <param name="secrets">What it takes to log in; struck out of all that is saved.</param>
    /// <param name="commands">What to send, in order.</param>
    /// <param name="folder">Where to save; made if it does not exist.</param>
    /// <param name="overwrite">True to replace files that stand there.</param>
    /// <exception cref="PoeOpsException">
    /// A command changes something by the dialect (<see cref="ProblemId.CommandChanges"/>), is empty or too long, or holds a hidden character or a line
    /// end (<see cref="ProblemId.ValueNotSafe"/>).
    /// </exception>
    public CaptureSaving(Dialect dialect, string switchName, LogInSecrets secrets, IReadOnlyList<string> commands, string folder, bool overwrite)
    {
        _dialect = dialect;
        _switch = switchName;
        _secrets = secrets;
        _folder = folder;
        _overwrite = overwrite;
        _encoding = Encoding.GetEncoding(dialect.Encoding);
        Check(commands);
        _orders = Orders(commands);
    }

    /// <summary>Told each line of the dialogue, as a transcript has it and with the switch in front, on whatever thread brings it; null where nobody listens.</summary>
    public Action<string>? Heard { get; init; }

    /// <summary>Says why an answer could not be saved, as far as it can be told before anything is sent.</summary>
    /// <returns><see cref="ProblemId.FileExists"/> or <see cref="ProblemId.FileNotWritable"/>; or null.</returns>
    public Problem? Check() =>
        !Directory.Exists(_folder) && !File.Exists(_folder) ? null
        : _orders.SelectMany(order => new[] { order.RawPath, order.Path }).Select(path => WholeFile.Check(path, _overwrite)).FirstOrDefault(problem => problem is not null);

    /// <summary>Connects, sends the commands one after the other, and hands over each answer when both its files are whole.</summary>
    /// <param name="open">Opens a duplex stream to the console.</param>
    /// <param name="clock">Counts the deadlines.</param>
    /// <param name="times">How long to wait; null for the usual.</param>
    /// <param name="report">Takes a problem after which the work goes on: the device refused a command, and its answer is saved all the same.</param>
    /// <param name="stop">Ends the pauses between attempts to connect.</param>
    /// <exception cref="PoeOpsException">The connection or the log-in failed, the device stopped answering, or a file could not be written; what was saved before stays.</exception>
    public IEnumerable<SavedCapture> Run(Func<Stream> open, Clock clock, TerminalTimes? times, Action<Problem> report, CancellationToken stop = default)
    {
        MakeFolder();
        TerminalTimes limits = times ?? new TerminalTimes();
        using Dialogue dialogue = _secrets.Guarded(() => new SessionOpening(open, _dialect, _secrets, clock, limits, new Waits()).OpenPatiently(() => NewTranscript(clock), stop));
        using MemoryStream raw = new();
        dialogue.Tap = raw;
        foreach (SavedCapture order in _orders)
        {
            string prompt = dialogue.LastPrompt;
            string answer = _secrets.Guarded(() => dialogue.Hear(order.Command));
            yield return Save(order, prompt, answer, raw.ToArray());
            if (dialogue.RefusalIn(answer) is { } line)
            {
                report(DialogueProblems.Refused(dialogue.Shown(order.Command), dialogue.Shown(line)).Problem with { Target = _switch });
            }
        }
    }

    private Transcript? NewTranscript(Clock clock) => Heard is { } told ? Transcript.Unwritten(_secrets, clock, line => told($"{_switch} {line}")) : null;

    private void Check(IReadOnlyList<string> commands)
    {
        ChangingCommands changing = new(_dialect);
        foreach (string command in commands)
        {
            if (string.IsNullOrWhiteSpace(command) || command.Length > LongestCommand || !PlainText.IsPlain(command))
            {
                throw new PoeOpsException(new Problem(
                    ProblemId.ValueNotSafe, $"The command '{Shown(command)}' is empty, longer than {LongestCommand} characters, or holds a hidden character or a line end; nothing was sent.",
                    "Give each command as a text of its own on one line.") { Target = _switch });
            }

            if (changing.In(command) is { } rule)
            {
                throw new PoeOpsException(new Problem(
                    ProblemId.CommandChanges, $"The command '{Shown(command)}' changes something by the dialect '{Excerpt.Of(_dialect.Name)}', which has '{Excerpt.Of(rule)}'; nothing was sent.",
                    "Send commands that only show something.") { Target = _switch });
            }
        }
    }

    private string Shown(string command) => Excerpt.Of(_secrets.Strike(command));

    private List<SavedCapture> Orders(IReadOnlyList<string> commands)
    {
        List<SavedCapture> orders = [];
        HashSet<string> taken = new(StringComparer.OrdinalIgnoreCase);
        foreach (string command in commands)
        {
            string plain = $"{FileName(_secrets.Strike(_switch), ".")}{CaptureName.Mark}{FileName(_secrets.Strike(command), string.Empty)}";
            string name = plain;
            for (int number = 2; !taken.Add(name); number++)
            {
                name = $"{plain}-{number.ToString(CultureInfo.InvariantCulture)}";
            }

            string path = Path.Combine(_folder, name);
            orders.Add(new SavedCapture { Switch = _switch, Command = command, Path = path + ".txt", RawPath = path + ".raw" });
        }

        return orders;
    }

    // Letters, digits, hyphens and underscores, and in a switch's name full stops: a name on every file system.
    private static string FileName(string text, string others)
    {
        string safe = string.Concat(text.Select(c => c is (>= 'A' and <= 'Z') or (>= 'a' and <= 'z') or (>= '0' and <= '9') or '_' || others.IndexOf(c) >= 0 ? c : '-'));
        string name = string.Join("-", safe.Split(['-'], StringSplitOptions.RemoveEmptyEntries));
        return name.Length == 0 ? "command" : name.Substring(0, Math.Min(name.Length, LongestName));
    }

    private void MakeFolder()
    {
        try
        {
            _ = Directory.CreateDirectory(_folder);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            throw new PoeOpsException(
                new Problem(ProblemId.FileNotWritable, $"The folder '{_folder}' cannot be made: {TextFile.OneSentence(exception)}", "Check the path, your rights and the space on the disk.") { File = _folder }, exception);
        }
    }

    private SavedCapture Save(SavedCapture order, string prompt, string answer, byte[] raw)
    {
        List<string> lines = [prompt + order.Command, .. answer.Split('\n').Select(ConsoleText.Clean)];
        if (lines[lines.Count - 1].Length == 0)
        {
            lines.RemoveAt(lines.Count - 1);
        }

        // A mark says that the text is UTF-8 where the dialect says of captures that they are something else.
        string mark = _encoding is UTF8Encoding ? string.Empty : "\uFEFF";
        byte[] bytes = Strike(raw);
        WholeFile.Write(order.RawPath, bytes, _overwrite);
        WholeFile.Write(order.Path, mark + _secrets.Strike(string.Join("\n", lines)) + "\n", _overwrite);
        return order with { Command = _secrets.Strike(order.Command), Lines = lines.Count, Bytes = bytes.Length };
    }

    // In Latin-1 each byte is a character, so that nothing else changes.
    private byte[] Strike(byte[] raw)
    {
        var latin = Encoding.GetEncoding("iso-8859-1");
        return latin.GetBytes(_secrets.FinderInBytes(isLogIn: false, _encoding, Encoding.UTF8).Strike(latin.GetString(raw)));
    }
}
