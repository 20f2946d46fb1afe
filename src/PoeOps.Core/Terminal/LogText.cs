using System.Text;
using PoeOps.Dialects;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>Something that a log holds: what a device said, or what was sent to it where the log tells the two apart.</summary>
/// <param name="Line">The line's number in the log.</param>
/// <param name="Sent">True for what was sent.</param>
/// <param name="Text">The text as it came.</param>
/// <param name="Time">The time as it stands there; empty for none.</param>
/// <param name="At">The time, or null.</param>
internal sealed record LogPiece(int Line, bool Sent, string Text, string Time, DateTime? At)
{
    /// <summary>A saved line may have been written over and over, a percentage at a time: each time on its own.</summary>
    public IEnumerable<string> Parts()
    {
        int start = 0;
        for (int i = 1; i < Text.Length; i++)
        {
            if (Text[i] == '\r' && Text[i - 1] != '\r' && i + 1 < Text.Length && Text[i + 1] != '\n')
            {
                yield return Text.Substring(start, i - start);
                start = i;
            }
        }

        yield return Text.Substring(start);
    }
}

/// <summary>Takes the saved log of a console apart: a transcript as <see cref="Transcript"/> writes it, or the text that a terminal program saved.</summary>
internal sealed class LogText
{
    private const int MostProblems = 20;
    private static readonly TimeSpan HalfDay = TimeSpan.FromHours(12);

    private readonly string _path;
    private readonly Dialect _dialect;
    private readonly TimeStampRule? _stamp;
    private readonly IList<Problem> _problems;
    private readonly Decoder _decoder;
    private DateTime? _last;
    private int _wrong;

    /// <summary>Prepares to take a log apart.</summary>
    public LogText(string path, Dialect dialect, TimeStampRule? stamp, IList<Problem> problems)
    {
        _path = path;
        _dialect = dialect;
        _stamp = stamp ?? dialect.Refresh?.TimeStamp;
        _problems = problems;
        _decoder = Encoding.GetEncoding(dialect.Encoding).GetDecoder();
    }

    /// <summary>Its pieces in order; none where the file cannot be had.</summary>
    public IReadOnlyList<LogPiece> Read()
    {
        byte[]? bytes = CaptureBytes.Read(_path, out Problem? problem);
        if (bytes is null)
        {
            _problems.Add(problem!);
            return [];
        }

        IReadOnlyList<CaptureLine> lines = new CaptureLines(_path, _problems, raw: true).Decode(bytes, _dialect.Encoding);
        bool ofOurs = lines.FirstOrDefault(line => line.Text.Trim().Length > 0) is { } first && TranscriptText.Read(first.Text.TrimEnd('\r')) is not null;
        return [.. lines.Where(line => line.Kind == CaptureLineKind.Text).Select(line => ofOurs ? OfTranscript(line) : OfConsole(line)).Where(piece => piece.Text.Length > 0)];
    }

    private LogPiece OfConsole(CaptureLine line)
    {
        string text = LineStamp.Off(_stamp, line.Text, out string? time);
        DateTime? at = time is null ? null : _stamp!.Read(time);
        if (time is not null && at is null)
        {
            Report(ProblemId.ValueUnreadable, line, $"The time '{Excerpt.Of(time)}' is written in none of the formats given.", "Give its format, such as HH:mm:ss.");
        }

        return new LogPiece(line.Number, false, line.Cut ? text : text + "\n", time ?? string.Empty, at is { } read ? Onward(read) : null);
    }

    private LogPiece OfTranscript(CaptureLine line)
    {
        if (TranscriptText.Read(line.Text.TrimEnd('\r')) is not { } read)
        {
            if (line.Text.Trim().Length > 0)
            {
                Report(ProblemId.TranscriptUnreadable, line, "The line is not written as a transcript's are: a time, < or >, and what went over the link.", "Give the transcript as it was written.");
            }

            return new LogPiece(line.Number, false, string.Empty, string.Empty, null);
        }

        string text = read.Sent ? Encoding.GetEncoding(_dialect.Encoding).GetString(read.Bytes) : Decode(read.Bytes);
        return new LogPiece(line.Number, read.Sent, text, read.Time, read.Utc);
    }

    private string Decode(byte[] bytes)
    {
        char[] characters = new char[bytes.Length + 4];
        return new string(characters, 0, _decoder.GetChars(bytes, 0, bytes.Length, characters, 0));
    }

    // A time without a date that is half a day back is of the next day.
    private DateTime Onward(DateTime time)
    {
        if (_last is { } last && time.Year == 1)
        {
            time = last.Date + time.TimeOfDay;
            time = last - time > HalfDay && last.Date < DateTime.MaxValue.Date ? time.AddDays(1) : time;
        }

        _last = time;
        return time;
    }

    private void Report(ProblemId id, CaptureLine line, string sentence, string advice)
    {
        if (++_wrong <= MostProblems)
        {
            _problems.Add(new Problem(id, sentence, advice) { File = _path, Line = line.Number, Text = Excerpt.Of(line.Text) });
        }
    }
}
