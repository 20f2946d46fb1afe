using System.Globalization;
using System.Text;

namespace PoeOps.Report;

/// <summary>Text of a device as a page can show it: what cannot be seen, or would turn the text around, is shown by a sign of its own.</summary>
internal static class ShownText
{
    // As much of a line as anybody reads; the rest is counted.
    private const int Most = 2000;

    /// <summary>Makes a text one that can be shown, on one line.</summary>
    public static string Of(string text)
    {
        // No character is cut in two.
        int length = text.Length <= Most ? text.Length : char.IsHighSurrogate(text[Most - 1]) && char.IsLowSurrogate(text[Most]) ? Most + 1 : Most;
        StringBuilder shown = new(length);
        for (int i = 0; i < length; i++)
        {
            char c = text[i];
            if (char.IsHighSurrogate(c) && i + 1 < text.Length && char.IsLowSurrogate(text[i + 1]))
            {
                // Among these are letters that nobody sees, which may carry another text.
                if (PlainText.IsHidden(text, i))
                {
                    shown.Append("⟨U+").Append(char.ConvertToUtf32(c, text[i + 1]).ToString("X", CultureInfo.InvariantCulture)).Append('⟩');
                }
                else
                {
                    shown.Append(c).Append(text[i + 1]);
                }

                i++;
            }
            else
            {
                Append(shown, c);
            }
        }

        return text.Length <= length ? shown.ToString() : shown + FormattableString.Invariant($" … and {text.Length - length} more characters");
    }

    private static void Append(StringBuilder shown, char c)
    {
        if (c < ' ')
        {
            // Unicode's pictures of the control characters.
            shown.Append((char)(0x2400 + c));
        }
        else if (c == '\u007f')
        {
            shown.Append('\u2421');
        }
        else if (char.IsSurrogate(c) || c >= '\ufffe' || char.IsControl(c) || IsFormat(c) || PlainText.IsHidden(c.ToString(), 0))
        {
            shown.Append("⟨U+").Append(((int)c).ToString("X4", CultureInfo.InvariantCulture)).Append('⟩');
        }
        else
        {
            shown.Append(c);
        }
    }

    // Among them those that turn the direction of what stands behind them.
    private static bool IsFormat(char c) => char.GetUnicodeCategory(c) is UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator;
}
