using System.Globalization;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>
/// The raw dialogue with a device. A line for each piece that went over the link: UTC time, <c>&lt;</c> for what the device said or <c>&gt;</c> for what
/// was sent, and the bytes (<see cref="TranscriptText"/>). Secrets are struck out as
/// <c>[secret]</c>, also where the device echoes them and where they come in pieces; what could become one is written when it is known not to.
/// </summary>
public sealed class Transcript : IDisposable
{
    // In Latin-1 each byte is a character.
    private static readonly Encoding Latin = Encoding.GetEncoding("iso-8859-1");

    private readonly FileStream? _file;
    private readonly Action<string>? _heard;
    private readonly Clock _clock;
    private readonly object _gate = new();
    private readonly LogInSecrets _secrets;
    private SecretFinder _sent;
    private SaidText _said;
    private bool _closed;

    private Transcript(FileStream? file, string path, LogInSecrets secrets, Clock clock, Action<string>? heard)
    {
        _file = file;
        _heard = heard;
        _clock = clock;
        _secrets = secrets;
        Path = path;
        _sent = secrets.FinderInBytes(isLogIn: false, Encoding.UTF8);
        _said = new SaidText(_sent, secrets.FinderInBytes(isLogIn: true, Encoding.UTF8));
    }

    /// <summary>The file; empty where none is written.</summary>
    public string Path { get; }

    /// <summary>Why nothing more is written, or null. A refresh that is under way is not given up because a disk is full.</summary>
    public Problem? Lost { get; private set; }

    /// <summary>Begins a transcript.</summary>
    /// <param name="folder">An existing folder.</param>
    /// <param name="switchName">The switch, which names the file.</param>
    /// <param name="secrets">What must not stand in it.</param>
    /// <param name="clock">Gives the times.</param>
    /// <param name="heard">Told each line as it is written, on whatever thread brings it; null where nobody listens.</param>
    /// <exception cref="PoeOpsException">The file cannot be written (<see cref="ProblemId.FileNotWritable"/>).</exception>
    public static Transcript Create(string folder, string switchName, LogInSecrets secrets, Clock clock, Action<string>? heard = null)
    {
        string safe = string.Concat(switchName.Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or '.' ? c : '_'));
        string stamp = clock.UtcNow.ToString("yyyyMMdd'T'HHmmss", CultureInfo.InvariantCulture);
        try
        {
            for (int number = 1; ; number++)
            {
                string path = System.IO.Path.Combine(folder, $"{safe}.{stamp}.{number.ToString(CultureInfo.InvariantCulture)}.transcript.txt");
                if (!File.Exists(path))
                {
                    return new Transcript(new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.Read), path, secrets, clock, heard);
                }
            }
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new PoeOpsException(NotWritable(folder, $"No transcript can be written in '{folder}'", exception), exception);
        }
    }

    /// <summary>Begins a transcript that is told and written nowhere.</summary>
    /// <param name="secrets">What must not stand in it.</param>
    /// <param name="clock">Gives the times.</param>
    /// <param name="heard">Told each line, on whatever thread brings it.</param>
    public static Transcript Unwritten(LogInSecrets secrets, Clock clock, Action<string> heard) => new(null, string.Empty, secrets, clock, heard);

    /// <summary>Writes down what the device said.</summary>
    public void Said(byte[] bytes, int count)
    {
        lock (_gate)
        {
            Line('<', _said.Take(Latin.GetString(bytes, 0, count)));
        }
    }

    /// <summary>Writes down what was sent.</summary>
    /// <param name="bytes">The bytes.</param>
    /// <param name="secret">True where they hold a secret.</param>
    public void Sent(byte[] bytes, bool secret)
    {
        lock (_gate)
        {
            Line('>', secret ? SecretFinder.Struck : _sent.Strike(Latin.GetString(bytes)));
            if (secret)
            {
                _said.SecretSent();
            }
        }
    }

    /// <summary>Strikes the secrets out in another encoding too; told before anything is said.</summary>
    internal void AlsoIn(Encoding encoding)
    {
        lock (_gate)
        {
            _sent = _secrets.FinderInBytes(isLogIn: false, Encoding.UTF8, encoding);
            _said = new SaidText(_sent, _secrets.FinderInBytes(isLogIn: true, Encoding.UTF8, encoding));
        }
    }

    /// <summary>The log-in is over: what the device says from here on is no echo of a secret.</summary>
    internal void LoggedIn()
    {
        lock (_gate)
        {
            Line('<', _said.LoggedIn());
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (_gate)
        {
            if (!_closed)
            {
                Line('<', _said.End());
                _closed = true;
                _file?.Dispose();
            }
        }
    }

    private void Line(char direction, string text)
    {
        if (text.Length == 0 || _closed)
        {
            return;
        }

        string shown = TranscriptText.Line(_clock.UtcNow, direction, TranscriptText.Escape(Latin.GetBytes(text)));
        _heard?.Invoke(shown);
        if (_file is null || Lost is not null)
        {
            return;
        }

        byte[] line = Encoding.ASCII.GetBytes(shown + "\n");
        try
        {
            _file.Write(line, 0, line.Length);
            _file.Flush();
        }
        catch (IOException exception)
        {
            Lost = NotWritable(Path, $"The transcript '{Path}' could not be written on", exception);
        }
    }

    private static Problem NotWritable(string file, string what, Exception exception) =>
        new(ProblemId.FileNotWritable, $"{what}: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that the folder exists, that you may write in it, and that there is room.") { File = file };
}
