using System.Globalization;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Cuts a capture into lines: a line ends at LF or CR LF; what happens inside one is played out by <see cref="ConsoleText"/>.</summary>
internal sealed class CaptureLines
{
    /// <summary>The longest line that is read, in characters.</summary>
    public const int LongestLine = 65536;

    /// <summary>How many lines of a capture are read. A switch of 10,000 ports prints a hundredth of it.</summary>
    public const int MostLines = 2_000_000;

    private const int MostBytesOfACharacter = 4;

    // A file in another encoding has as many bad lines as it has letters of its language; beyond these, one more problem counts the rest.
    private const int MostSpoiltProblems = 200;

    private readonly string _source;
    private readonly IList<Problem> _problems;
    private readonly bool _raw;
    private int _spoilt;

    /// <summary>Cuts for a source.</summary>
    /// <param name="source">What problems call it.</param>
    /// <param name="problems">Where problems are added.</param>
    /// <param name="raw">True to leave what happens inside a line as it came.</param>
    public CaptureLines(string source, IList<Problem> problems, bool raw = false)
    {
        _raw = raw;
        _source = source;
        _problems = problems;
    }

    /// <summary>Decodes and cuts the bytes of a file.</summary>
    public IReadOnlyList<CaptureLine> Decode(byte[] bytes, string encodingName)
    {
        int mark = MarkOf(bytes, out Encoding? marked);
        Encoding encoding = marked ?? Strict(encodingName);
        if (encoding is not UnicodeEncoding && Array.IndexOf(bytes, (byte)0) is var zero and >= 0 && !AreTelnetNulls(bytes, zero))
        {
            Report(ProblemId.CaptureBinary, LineAt(bytes, zero), "The file holds bytes that no console prints as text.", "Save the console's text again; a UTF-16 file needs its byte-order mark.");
            return [];
        }

        if (HasTooMany(bytes))
        {
            string most = MostLines.ToString(CultureInfo.InvariantCulture);
            Report(ProblemId.FileTooLarge, null, $"The capture has more than {most} lines, and at most so many are read.", "Split it, or save each answer to a file of its own.");
            return [];
        }

        List<CaptureLine> lines = encoding is UnicodeEncoding ? DecodeWide(bytes, mark, encoding) : DecodeNarrow(bytes, mark, encoding);
        if (_spoilt > MostSpoiltProblems)
        {
            string count = (_spoilt - MostSpoiltProblems).ToString(CultureInfo.InvariantCulture);
            _problems.Add(new Problem(ProblemId.CaptureUndecodable, $"{count} more lines cannot be read either.", "Name the right encoding in the dialect, or save the capture again.") { File = _source });
        }

        return lines;
    }

    /// <summary>Cuts a text.</summary>
    /// <param name="text">What was printed.</param>
    /// <param name="unit">The unit that it was asked for, or null.</param>
    /// <param name="port">The port of the unit that it was asked for, or null.</param>
    public IReadOnlyList<CaptureLine> Split(string text, string? unit, string? port = null)
    {
        List<CaptureLine> lines = [];
        string[] raw = text.Split('\n');
        int count = raw[raw.Length - 1].Length == 0 ? raw.Length - 1 : raw.Length;
        for (int i = 0; i < count; i++)
        {
            CaptureLine line = Line(i + 1, raw[i], unit);
            line.Cut = i == raw.Length - 1;
            line.Port = port;
            lines.Add(line);
        }

        return lines;
    }

    // In every encoding of single bytes, and in UTF-8, a byte of value 10 is a line feed and nothing else.
    private List<CaptureLine> DecodeNarrow(byte[] bytes, int start, Encoding encoding)
    {
        List<CaptureLine> lines = [];
        while (start < bytes.Length)
        {
            int end = Array.IndexOf(bytes, (byte)'\n', start);
            int stop = end < 0 ? bytes.Length : end;
            lines.Add(DecodeLine(bytes, start, stop - start, encoding, lines.Count + 1));
            lines[lines.Count - 1].Cut = end < 0;
            start = stop + 1;
        }

        return lines;
    }

    private List<CaptureLine> DecodeWide(byte[] bytes, int start, Encoding encoding)
    {
        List<CaptureLine> lines = [];
        byte[] feed = encoding.GetBytes("\n");
        while (start < bytes.Length)
        {
            int end = start;
            while (end + 1 < bytes.Length && (bytes[end] != feed[0] || bytes[end + 1] != feed[1]))
            {
                end += 2;
            }

            bool ended = end + 1 < bytes.Length;
            lines.Add(DecodeLine(bytes, start, (ended ? end : bytes.Length) - start, encoding, lines.Count + 1));
            lines[lines.Count - 1].Cut = !ended;
            start = ended ? end + 2 : bytes.Length;
        }

        return lines;
    }

    private CaptureLine DecodeLine(byte[] bytes, int start, int length, Encoding encoding, int number)
    {
        try
        {
            // A line that is far too long is counted where it lies: it may be a whole file.
            return length > LongestLine * MostBytesOfACharacter && encoding.GetCharCount(bytes, start, length) is > LongestLine and int characters
                ? TooLong(number, characters, Beginning(bytes, start, encoding), null)
                : Line(number, encoding.GetString(bytes, start, length), null);
        }
        catch (DecoderFallbackException)
        {
            string shown = Excerpt.Of(new UTF8Encoding(false).GetString(bytes, start, Math.Min(length, LongestLine)));
            return Spoil(ProblemId.CaptureUndecodable, number, $"The line holds bytes that are no {encoding.WebName}.", "Name the right encoding in the dialect, or save the capture again.", shown, null);
        }
    }

    private CaptureLine Line(int number, string raw, string? unit)
    {
        if (raw.Length <= LongestLine)
        {
            string whole = raw.TrimEnd('\r');
            string seen = _raw ? raw : ConsoleText.Clean(whole);
            bool overwritten = !_raw && !ReferenceEquals(whole, seen) && whole.IndexOf('\r') >= 0;
            return new CaptureLine(_source, number, seen, unit, CaptureLineKind.Text) { Overwritten = overwritten };
        }

        return TooLong(number, raw.Length, raw.Substring(0, 200), unit);
    }

    private CaptureLine TooLong(int number, int length, string beginning, string? unit)
    {
        string sentence = $"The line has {length.ToString(CultureInfo.InvariantCulture)} characters, and no console prints more than {LongestLine.ToString(CultureInfo.InvariantCulture)} on one.";
        return Spoil(ProblemId.LineTooLong, number, sentence, "Check that the file is a capture.", Excerpt.Of(beginning), unit);
    }

    private static string Beginning(byte[] bytes, int start, Encoding encoding)
    {
        char[] characters = new char[200];
        encoding.GetDecoder().Convert(bytes, start, characters.Length * MostBytesOfACharacter, characters, 0, characters.Length, flush: false, out _, out int count, out _);
        return new string(characters, 0, count);
    }

    private CaptureLine Spoil(ProblemId id, int number, string sentence, string advice, string shown, string? unit)
    {
        _spoilt++;
        if (_spoilt <= MostSpoiltProblems)
        {
            Report(id, number, sentence, advice, shown, unit);
        }

        return new CaptureLine(_source, number, shown, unit, CaptureLineKind.Spoilt);
    }

    private void Report(ProblemId id, int? line, string sentence, string advice, string? text = null, string? unit = null) =>
        _problems.Add(new Problem(id, sentence, advice) { File = _source, Line = line, Text = text, Target = unit });

    private static int MarkOf(byte[] bytes, out Encoding? encoding)
    {
        encoding = bytes switch
        {
            [0xEF, 0xBB, 0xBF, ..] => new UTF8Encoding(false, throwOnInvalidBytes: true),
            [0xFF, 0xFE, ..] => new UnicodeEncoding(bigEndian: false, byteOrderMark: false, throwOnInvalidBytes: true),
            [0xFE, 0xFF, ..] => new UnicodeEncoding(bigEndian: true, byteOrderMark: false, throwOnInvalidBytes: true),
            _ => null,
        };
        return encoding is null ? 0 : encoding is UTF8Encoding ? 3 : 2;
    }

    private static Encoding Strict(string name) => Encoding.GetEncoding(name, EncoderFallback.ExceptionFallback, DecoderFallback.ExceptionFallback);

    // Telnet sends a carriage return that is not followed by a line feed as CR NUL (RFC 854).
    private static bool AreTelnetNulls(byte[] bytes, int zero)
    {
        for (int i = zero; i < bytes.Length; i++)
        {
            if (bytes[i] == 0 && (i == 0 || bytes[i - 1] != '\r'))
            {
                return false;
            }
        }

        return true;
    }

    // A byte of value 10 may be half a character of UTF-16, so that there this counts too many; no console comes near.
    private static bool HasTooMany(byte[] bytes)
    {
        int feeds = 0;
        for (int at = Array.IndexOf(bytes, (byte)'\n'); at >= 0 && feeds <= MostLines; at = Array.IndexOf(bytes, (byte)'\n', at + 1))
        {
            feeds++;
        }

        return feeds > MostLines;
    }

    private static int LineAt(byte[] bytes, int index) => 1 + bytes.Take(index).Count(b => b == '\n');
}
