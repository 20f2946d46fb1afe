using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>
/// How a line of a <see cref="Transcript"/> is written, and read back: UTC time, <c>&lt;</c> or <c>&gt;</c>, and the bytes, printable ASCII as it is, a
/// backslash doubled, everything else as <c>\r \n \t \xNN</c>.
/// </summary>
internal static class TranscriptText
{
    private static readonly Regex Written = new(
        @"\A(?<Time>\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z) (?<Way>[<>]) (?<Text>.*)\z", RegexOptions.CultureInvariant | RegexOptions.Singleline, OwnPattern.Longest);

    /// <summary>Writes a line, without its end.</summary>
    /// <param name="utc">When, UTC.</param>
    /// <param name="direction"><c>&lt;</c> for what the device said, <c>&gt;</c> for what was sent.</param>
    /// <param name="escaped">The bytes as <see cref="Escape"/> gives them.</param>
    public static string Line(DateTime utc, char direction, string escaped) =>
        $"{utc.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture)} {direction} {escaped}";

    /// <summary>Reads a line, without its end; null where it is not written so.</summary>
    public static (string Time, DateTime? Utc, bool Sent, byte[] Bytes)? Read(string line)
    {
        if (Written.Match(line) is not { Success: true } match)
        {
            return null;
        }

        string time = match.Groups["Time"].Value;
        return (time, IsoText.Utc(time), match.Groups["Way"].Value == ">", Unescape(match.Groups["Text"].Value));
    }

    /// <summary>Bytes as they stand in a transcript.</summary>
    public static string Escape(IEnumerable<byte> bytes)
    {
        var text = new StringBuilder();
        foreach (byte b in bytes)
        {
            text.Append(b switch
            {
                (byte)'\r' => @"\r",
                (byte)'\n' => @"\n",
                (byte)'\t' => @"\t",
                (byte)'\\' => @"\\",
                >= 0x20 and < 0x7f => ((char)b).ToString(),
                _ => @"\x" + b.ToString("x2", CultureInfo.InvariantCulture),
            });
        }

        return text.ToString();
    }

    private static byte[] Unescape(string text)
    {
        using MemoryStream bytes = new(text.Length);
        for (int i = 0; i < text.Length; i++)
        {
            bool escaped = text[i] == '\\' && i + 1 < text.Length;
            char c = escaped ? text[++i] : text[i];
            if (escaped && c == 'x' && i + 2 < text.Length && byte.TryParse(text.Substring(i + 1, 2), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out byte value))
            {
                bytes.WriteByte(value);
                i += 2;
            }
            else
            {
                bytes.WriteByte((byte)(!escaped ? c : c switch { 'r' => '\r', 'n' => '\n', 't' => '\t', _ => c }));
            }
        }

        return bytes.ToArray();
    }
}
