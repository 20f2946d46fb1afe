using System.Globalization;
using System.Text;

namespace PoeOps;

/// <summary>
/// The one rule for text that comes from devices and files and is shown: a character that nobody sees, and that a terminal, a page or a table could act
/// on, is written as an escape such as <c>\u001b</c>. Those are control characters (C0, DEL, C1), separators of lines and paragraphs, format characters
/// (Unicode's category Cf, with those that turn the direction of writing and the byte-order mark; not the two joiners, which letters are spelt with),
/// noncharacters, and surrogates without their other half. A pair beyond the basic plane becomes two escapes, as in JSON (RFC 8259, section 7).
/// </summary>
public static class PlainText
{
    private const char ZeroWidthNonJoiner = '\u200c';
    private const char ZeroWidthJoiner = '\u200d';

    /// <summary>A text with each hidden character as an escape; itself where it has none.</summary>
    /// <param name="text">The text.</param>
    /// <returns>The text on one line. A line feed, a carriage return and a tab are <c>\n</c>, <c>\r</c> and <c>\t</c>. Done twice, it changes nothing more.</returns>
    public static string Of(string text) => Of(text, string.Empty);

    /// <summary>The same for a line of a file or an answer, in which tabs stay.</summary>
    /// <param name="text">The line.</param>
    public static string OfLine(string text) => Of(text, "\t");

    /// <summary>The same for a text of several lines, in which tabs and line feeds stay.</summary>
    /// <param name="text">The text.</param>
    public static string OfLines(string text) => Of(text, "\t\n");

    /// <summary>True for a text without hidden characters; tabs and line ends are hidden characters here.</summary>
    /// <param name="text">The text.</param>
    public static bool IsPlain(string text)
    {
        for (int i = 0; i < text.Length; i += Length(text, i))
        {
            if (IsHidden(text, i))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>How many UTF-16 units the character at a place takes: 2 for a pair of surrogates, else 1.</summary>
    internal static int Length(string text, int at) => char.IsHighSurrogate(text[at]) && at + 1 < text.Length && char.IsLowSurrogate(text[at + 1]) ? 2 : 1;

    /// <summary>True where the character at a place is a hidden one.</summary>
    internal static bool IsHidden(string text, int at)
    {
        char c = text[at];
        if (c is >= ' ' and <= '~')
        {
            return false;
        }

        bool pair = Length(text, at) == 2;
        if (IsNoncharacter(pair ? char.ConvertToUtf32(c, text[at + 1]) : c))
        {
            return true;
        }

        return (pair ? CharUnicodeInfo.GetUnicodeCategory(text, at) : char.GetUnicodeCategory(c)) switch
        {
            UnicodeCategory.Control or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator or UnicodeCategory.Surrogate => true,
            UnicodeCategory.Format => c is not (ZeroWidthNonJoiner or ZeroWidthJoiner),
            _ => false,
        };
    }

    /// <summary>The character at a place as it is shown: itself, or its escape.</summary>
    internal static string Shown(string text, int at)
    {
        string one = text.Substring(at, Length(text, at));
        return IsHidden(text, at) ? string.Concat(one.Select(Escape)) : one;
    }

    private static string Of(string text, string kept)
    {
        int first = 0;
        while (first < text.Length && (!IsHidden(text, first) || kept.IndexOf(text[first]) >= 0))
        {
            first += Length(text, first);
        }

        if (first >= text.Length)
        {
            return text;
        }

        var shown = new StringBuilder(text, 0, first, text.Length + 16);
        for (int i = first; i < text.Length; i += Length(text, i))
        {
            shown.Append(kept.IndexOf(text[i]) >= 0 ? text[i].ToString() : Shown(text, i));
        }

        return shown.ToString();
    }

    // The Unicode Standard, section 23.7: U+FDD0 to U+FDEF, and the last two of every plane.
    private static bool IsNoncharacter(int code) => code is >= 0xfdd0 and <= 0xfdef || (code & 0xfffe) == 0xfffe;

    private static string Escape(char c) => c switch
    {
        '\n' => @"\n",
        '\r' => @"\r",
        '\t' => @"\t",
        _ => @"\u" + ((int)c).ToString("x4", CultureInfo.InvariantCulture),
    };
}
