using System.Globalization;
using System.Text;

namespace PoeOps.Report;

/// <summary>Writes the lines of an iCalendar file (RFC 5545): each ends with CR LF, and one above 75 octets goes on in the next, behind a space.</summary>
internal sealed class CalendarText
{
    private const int MostOctets = 75;

    private readonly StringBuilder _text = new();

    /// <summary>Writes a line whose value stands as it is.</summary>
    /// <param name="name">The property.</param>
    /// <param name="value">Its value.</param>
    public void Line(string name, string value) => Fold($"{name}:{value}");

    /// <summary>Writes a line whose value is text, with what has a meaning in texts escaped (section 3.3.11).</summary>
    /// <param name="name">The property.</param>
    /// <param name="text">The text; may have several lines.</param>
    public void Words(string name, string text) =>
        Line(name, PlainText.OfLines(text).Replace("\\", @"\\").Replace(";", @"\;").Replace(",", @"\,").Replace("\n", @"\n"));

    /// <summary>Writes a line whose value is a time (section 3.3.5, form 2).</summary>
    /// <param name="name">The property.</param>
    /// <param name="utc">The time, UTC.</param>
    public void Time(string name, DateTime utc) => Line(name, utc.ToString("yyyyMMdd'T'HHmmss'Z'", CultureInfo.InvariantCulture));

    /// <inheritdoc/>
    public override string ToString() => _text.ToString();

    // Section 3.1. No character is cut in two, though the standard would allow it.
    private void Fold(string line)
    {
        int octets = 0;
        for (int i = 0; i < line.Length; i += PlainText.Length(line, i))
        {
            int length = PlainText.Length(line, i);
            int more = Octets(line, i, length);
            if (octets + more > MostOctets)
            {
                _text.Append("\r\n ");
                octets = 1;
            }

            _text.Append(line, i, length);
            octets += more;
        }

        _text.Append("\r\n");
    }

    // RFC 3629, section 3.
    private static int Octets(string text, int at, int length) => length == 2 ? 4 : text[at] switch { < '\u0080' => 1, < '\u0800' => 2, _ => 3 };
}
