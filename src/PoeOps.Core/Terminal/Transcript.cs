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
    private const string Struck = "[secret]";

    // At the end, the beginning of a secret is struck out where it is as long as this: the line may have broken in its middle.
    private const int LongestShown = 3;

    private readonly FileStream _file;
    private readonly Clock _clock;
    private readonly LogInSecrets _told;
    private readonly object _gate = new();
    private string[] _secrets = [];
    private string _held = string.Empty;
    private bool _closed;

    private Transcript(FileStream file, string path, LogInSecrets secrets, Clock clock)
    {
        _file = file;
        _clock = clock;
        _told = secrets;
        Path = path;
        AlsoIn(Encoding.UTF8);
    }

    /// <summary>The file.</summary>
    public string Path { get; }

    /// <summary>Why nothing more is written, or null. A refresh that is under way is not given up because a disk is full.</summary>
    public Problem? Lost { get; private set; }

    /// <summary>Begins a transcript.</summary>
    /// <param name="folder">An existing folder.</param>
    /// <param name="switchName">The switch, which names the file.</param>
    /// <param name="secrets">What must not stand in it.</param>
    /// <param name="clock">Gives the times.</param>
    /// <exception cref="PoeOpsException">The file cannot be written (<see cref="ProblemId.FileNotWritable"/>).</exception>
    public static Transcript Create(string folder, string switchName, LogInSecrets secrets, Clock clock)
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
                    return new Transcript(new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.Read), path, secrets, clock);
                }
            }
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new PoeOpsException(NotWritable(folder, $"No transcript can be written in '{folder}'", exception), exception);
        }
    }

    /// <summary>Writes down what the device said.</summary>
    public void Said(byte[] bytes, int count)
    {
        lock (_gate)
        {
            string text = Strike(_held + TranscriptText.Escape(bytes.Take(count)));
            int keep = BeginningOfSecret(text);
            _held = text.Substring(text.Length - keep);
            Line('<', text.Substring(0, text.Length - keep));
        }
    }

    /// <summary>Writes down what was sent.</summary>
    /// <param name="bytes">The bytes.</param>
    /// <param name="secret">True where they hold a secret.</param>
    public void Sent(byte[] bytes, bool secret)
    {
        lock (_gate)
        {
            Line('>', secret ? Struck : Strike(TranscriptText.Escape(bytes)));
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (_gate)
        {
            if (!_closed)
            {
                Line('<', _held.Length >= LongestShown ? Struck : _held);
                _held = string.Empty;
                _closed = true;
                _file.Dispose();
            }
        }
    }

    /// <summary>Strikes the secrets out in another encoding too; one that it cannot write cannot come in it.</summary>
    internal void AlsoIn(Encoding encoding)
    {
        var lenient = Encoding.GetEncoding(encoding.CodePage);
        IEnumerable<string> written = _told.Secrets.Where(secret => lenient.GetString(lenient.GetBytes(secret)) == secret).Select(secret => TranscriptText.Escape(lenient.GetBytes(secret)));
        _secrets = [.. written.Concat(_secrets).Distinct().OrderByDescending(secret => secret.Length)];
    }

    private void Line(char direction, string text)
    {
        if (text.Length == 0 || _closed || Lost is not null)
        {
            return;
        }

        byte[] line = Encoding.ASCII.GetBytes(TranscriptText.Line(_clock.UtcNow, direction, text) + "\n");
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

    private string Strike(string text)
    {
        foreach (string secret in _secrets)
        {
            text = text.Replace(secret, Struck);
        }

        return text;
    }

    // How many characters at the end are the beginning of a secret.
    private int BeginningOfSecret(string text)
    {
        int longest = 0;
        foreach (string secret in _secrets)
        {
            for (int length = Math.Min(secret.Length - 1, text.Length); length > longest; length--)
            {
                if (string.CompareOrdinal(text, text.Length - length, secret, 0, length) == 0)
                {
                    longest = length;
                }
            }
        }

        return longest;
    }
}
