using System.Globalization;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Cuts a capture into lines: a line ends at LF or CR LF; what happens inside one is played out by <see cref="ConsoleText"/>.</summary>
internal sealed class CaptureLines
{
    /// <summary>The longest line that is read, in characters.</summary>
    public const int LongestLine = 65536;

    private readonly string _source;
    private readonly IList<Problem> _problems;

    /// <summary>Cuts for a source.</summary>
    /// <param name="source">What problems call it.</param>
    /// <param name="problems">Where problems are added.</param>
    public CaptureLines(string source, IList<Problem> problems)
    {
        _source = source;
        _problems = problems;
    }

    /// <summary>Decodes and cuts the bytes of a file.</summary>
    public IReadOnlyList<CaptureLine> Decode(byte[] bytes, string encodingName)
    {
        int mark = MarkOf(bytes, out Encoding? marked);
        if (marked is UnicodeEncoding)
        {
            return DecodeWhole(bytes, mark, marked);
        }

        if (Array.IndexOf(bytes, (byte)0) is var zero and >= 0 && !IsTelnetNull(bytes, zero))
        {
            Report(ProblemId.CaptureBinary, LineAt(bytes, zero), "The file holds bytes that no console prints as text.", "Save the console's text again; a UTF-16 file needs its byte-order mark.");
            return [];
        }

        return DecodeByLine(bytes, mark, marked ?? Strict(encodingName));
    }

    /// <summary>Cuts a text.</summary>
    public IReadOnlyList<CaptureLine> Split(string text, string source, string? unit)
    {
        List<CaptureLine> lines = [];
        string[] raw = text.Split('\n');
        int count = raw[raw.Length - 1].Length == 0 ? raw.Length - 1 : raw.Length;
        for (int i = 0; i < count; i++)
        {
            lines.Add(Line(source, i + 1, raw[i], unit) with { Cut = i == raw.Length - 1 });
        }

        return lines;
    }

    private List<CaptureLine> DecodeByLine(byte[] bytes, int start, Encoding encoding)
    {
        List<CaptureLine> lines = [];
        int number = 0;
        while (start < bytes.Length)
        {
            int end = Array.IndexOf(bytes, (byte)'\n', start);
            int stop = end < 0 ? bytes.Length : end;
            number++;
            lines.Add(DecodeLine(bytes, start, stop - start, encoding, number) with { Cut = end < 0 });
            start = stop + 1;
        }

        return lines;
    }

    private CaptureLine DecodeLine(byte[] bytes, int start, int length, Encoding encoding, int number)
    {
        try
        {
            return Line(_source, number, encoding.GetString(bytes, start, length), null);
        }
        catch (DecoderFallbackException)
        {
            string shown = Excerpt.Of(Encoding.UTF8.GetString(bytes, start, Math.Min(length, LongestLine)));
            Report(ProblemId.CaptureUndecodable, number, $"The line holds bytes that are no {encoding.WebName}.", "Name the right encoding in the dialect, or save the capture again.", shown);
            return new CaptureLine(_source, number, shown, null, CaptureLineKind.Spoilt);
        }
    }

    private IReadOnlyList<CaptureLine> DecodeWhole(byte[] bytes, int mark, Encoding encoding)
    {
        try
        {
            return Split(encoding.GetString(bytes, mark, bytes.Length - mark), _source, null);
        }
        catch (DecoderFallbackException exception)
        {
            Report(ProblemId.CaptureUndecodable, 1, $"Byte {(exception.Index + mark).ToString(CultureInfo.InvariantCulture)} and after are no {encoding.WebName}.", "Save the capture again.");
            return [];
        }
    }

    private CaptureLine Line(string source, int number, string raw, string? unit)
    {
        if (raw.Length > LongestLine)
        {
            string length = raw.Length.ToString(CultureInfo.InvariantCulture);
            Report(ProblemId.LineTooLong, number, $"The line has {length} characters, and no console prints more than {LongestLine.ToString(CultureInfo.InvariantCulture)} on one.", "Check that the file is a capture.", Excerpt.Of(raw.Substring(0, 200)));
            return new CaptureLine(source, number, Excerpt.Of(raw.Substring(0, 200)), unit, CaptureLineKind.Spoilt);
        }

        return new CaptureLine(source, number, ConsoleText.Clean(raw), unit, CaptureLineKind.Text);
    }

    private void Report(ProblemId id, int line, string sentence, string advice, string? text = null) =>
        _problems.Add(new Problem(id, sentence, advice) { File = _source, Line = line, Text = text });

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
    private static bool IsTelnetNull(byte[] bytes, int zero)
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

    private static int LineAt(byte[] bytes, int index) => 1 + bytes.Take(index).Count(b => b == '\n');
}
