using System.Globalization;
using System.Text;
using PoeOps.Dialects;

namespace PoeOps.Snmp;

/// <summary>What a saved walk gave.</summary>
/// <param name="Rows">Its objects; none where the file could not be read at all.</param>
/// <param name="Problems">Every line that was not understood, up to a bound, and how many more there are.</param>
public sealed record WalkResult(SnmpRows Rows, IReadOnlyList<Problem> Problems);

/// <summary>
/// Reads a walk that was saved from net-snmp's programs with numeric names, as <c>snmpbulkwalk -On</c> prints it, with MIB files loaded or not: names may begin with
/// <c>iso</c>, values may be named beside their number, texts and octets may go over several lines. UTF-8, or UTF-16 with a byte-order mark.
/// </summary>
public sealed class WalkFile
{
    private const int MostTold = 100;
    private const int MostLines = 2_000_000;
    private const int LongestText = 65535;

    private readonly string _path;
    private readonly string[] _lines;
    private readonly SnmpRows _rows = new();
    private readonly List<Problem> _problems = [];
    private int _untold;
    private int _at;
    private (int Line, int Count)? _twice;
    private int _unclosedTo;

    private WalkFile(string path, string text)
    {
        _path = path;
        _lines = text.Split('\n');
        for (int i = 0; i < _lines.Length; i++)
        {
            _lines[i] = _lines[i].TrimEnd('\r');
        }
    }

    /// <summary>Reads a file.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <returns>
    /// Its objects and what is wrong: the problems of a file, <see cref="ProblemId.WalkUnreadable"/> for lines that no walk prints, and
    /// <see cref="ProblemId.WalkContradicts"/> for an object that stands twice with different values, of which the first is kept.
    /// </returns>
    public static WalkResult Read(string path)
    {
        byte[]? bytes = CaptureBytes.Read(path, out Problem? problem);
        return bytes is null ? new WalkResult(new SnmpRows(), [problem!]) : ReadText(Decode(bytes), path);
    }

    /// <summary>Reads the text of a walk.</summary>
    /// <param name="text">The text.</param>
    /// <param name="path">What problems call it.</param>
    /// <returns>As <see cref="Read"/>.</returns>
    public static WalkResult ReadText(string text, string path)
    {
        var walk = new WalkFile(path, text);
        walk.ReadAll();
        return new WalkResult(walk._rows, walk._problems);
    }

    private static string Decode(byte[] bytes) => bytes switch
    {
        [0xFF, 0xFE, ..] => Encoding.Unicode.GetString(bytes, 2, bytes.Length - 2),
        [0xFE, 0xFF, ..] => Encoding.BigEndianUnicode.GetString(bytes, 2, bytes.Length - 2),
        [0xEF, 0xBB, 0xBF, ..] => Encoding.UTF8.GetString(bytes, 3, bytes.Length - 3),
        _ => Encoding.UTF8.GetString(bytes),
    };

    private void ReadAll()
    {
        if (_lines.Length > MostLines)
        {
            _problems.Add(new Problem(ProblemId.FileTooLarge, $"The walk has more than {Say(MostLines)} lines.", "Save each subtree to a file of its own.") { File = _path });
            return;
        }

        while (_at < _lines.Length)
        {
            ReadOne();
        }

        if (_untold > 0)
        {
            _problems.Add(new Problem(ProblemId.WalkUnreadable, $"{Say(_untold)} more lines are nothing that a walk prints.", "Save the walk again with snmpbulkwalk -On.") { File = _path });
        }

        if (_twice is { } twice)
        {
            _problems.Add(new Problem(
                ProblemId.WalkContradicts, $"{Say(twice.Count)} objects stand twice with different values, the first of them here; what stands first was taken.",
                "Save one walk to a file, not two behind each other.") { File = _path, Line = twice.Line });
        }

        if (_rows.Count == 0 && _problems.Count == 0)
        {
            _problems.Add(new Problem(ProblemId.FileEmpty, "The walk holds no object.", "Save the walk again, and look at what the program said.") { File = _path });
        }
    }

    private void ReadOne()
    {
        int start = _at;
        string line = _lines[_at++];
        if (line.Trim().Length == 0)
        {
            return;
        }

        if (!TryName(line, out Oid name, out string rest))
        {
            Tell(start, "is no object with a numeric name");
            return;
        }

        SnmpValue? value = WalkValue.IsText(rest) ? Text(rest) : WalkValue.IsHex(rest) ? Hex(rest) : WalkValue.Read(rest);
        if (value is null)
        {
            _at = start + 1;
            Tell(start, "has a value that no walk prints, or one that is cut");
        }
        else if (!_rows.Add(new VarBind(name, value)))
        {
            _twice = (_twice?.Line ?? start + 1, (_twice?.Count ?? 0) + 1);
        }
    }

    private static bool TryName(string line, out Oid name, out string rest)
    {
        name = Oid.Empty;
        rest = string.Empty;
        int equals = line.IndexOf(" =", StringComparison.Ordinal);
        if (equals <= 0 || (equals + 2 < line.Length && line[equals + 2] != ' '))
        {
            return false;
        }

        rest = line.Substring(equals + 2).TrimStart(' ');
        return (line[0] is '.' or 'i' || char.IsDigit(line[0])) && Oid.TryParse(line.Substring(0, equals), out name) && name.Length > 1;
    }

    // A quoted text goes on to the quote that closes it, over line ends; an unquoted one as long as no new object begins.
    private SnmpValue? Text(string rest)
    {
        string first = WalkValue.TextOf(rest);
        var text = new StringBuilder();
        if (first.Length == 0 || first[0] != '"')
        {
            text.Append(first);
            while (_at < _lines.Length && !TryName(_lines[_at], out _, out _) && _lines[_at].Trim().Length > 0 && text.Length < LongestText)
            {
                text.Append('\n').Append(_lines[_at++]);
            }

            return Decoded(text.ToString());
        }

        string line = first.Substring(1);
        while (!TryQuoted(line, text))
        {
            if (_at >= _lines.Length || text.Length > LongestText || _at <= _unclosedTo)
            {
                // No line up to here closes a text, so that none that begins before needs to be followed again.
                _unclosedTo = Math.Max(_unclosedTo, _at);
                return null;
            }

            text.Append('\n');
            line = _lines[_at++];
        }

        return Decoded(text.ToString());
    }

    // Gives true at the quote that closes the text; nothing may stand behind it. A quote and a backslash have a backslash in front.
    private static bool TryQuoted(string line, StringBuilder text)
    {
        for (int i = 0; i < line.Length; i++)
        {
            if (line[i] == '"' && line.Substring(i + 1).Trim().Length == 0)
            {
                return true;
            }

            i += line[i] == '\\' && i + 1 < line.Length && line[i + 1] is '"' or '\\' ? 1 : 0;
            text.Append(line[i]);
        }

        return false;
    }

    private static SnmpValue? Decoded(string text) => text.IndexOf('\uFFFD') >= 0 ? null : SnmpValue.Of(text);

    private SnmpValue? Hex(string rest)
    {
        List<byte> octets = [];
        bool whole = WalkValue.AddHex(rest.Substring(rest.IndexOf(':') + 1), octets);
        while (whole && _at < _lines.Length && _lines[_at].Trim().Length > 0 && WalkValue.AddHex(_lines[_at], octets))
        {
            _at++;
        }

        return whole ? SnmpValue.Of(SnmpType.OctetString, [.. octets]) : null;
    }

    private void Tell(int line, string what)
    {
        if (_problems.Count >= MostTold)
        {
            _untold++;
            return;
        }

        _problems.Add(new Problem(
            ProblemId.WalkUnreadable, $"The line {what}: '{Files.Excerpt.Of(_lines[line])}'.",
            "Save the walk with snmpbulkwalk -On, and leave out what the program says of errors.") { File = _path, Line = line + 1, Text = Files.Excerpt.Of(_lines[line], 200) });
    }

    private static string Say(int number) => number.ToString(CultureInfo.InvariantCulture);
}
