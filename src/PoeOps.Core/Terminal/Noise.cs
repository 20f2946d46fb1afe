namespace PoeOps.Terminal;

/// <summary>What a device puts between the characters of an echo: line ends and blanks where it wraps, sequences that colour, and what masks.</summary>
internal static class Noise
{
    /// <summary>The place of the next character that is none, or that is the wanted one.</summary>
    /// <param name="text">The text.</param>
    /// <param name="at">Where to begin.</param>
    /// <param name="wanted">A character that is not skipped although it may be noise elsewhere.</param>
    public static int Skip(string text, int at, char wanted)
    {
        while (at < text.Length && text[at] != wanted)
        {
            int next = text[at] switch
            {
                '\r' or '\n' or '\0' => at + 1,
                '\b' => Mask(text, at + 1),
                '\u001b' or '\u009b' or '\u009d' => EndOfSequence(text, at),
                ' ' => Blanks(text, at),
                _ => at,
            };
            if (next == at)
            {
                break;
            }

            at = next;
        }

        return at;
    }

    /// <summary>The place behind an escape sequence.</summary>
    /// <param name="text">The text.</param>
    /// <param name="at">The place of the escape, or of the one character of eight bits that begins a sequence.</param>
    /// <remarks>
    /// ECMA-48, 5.4: a control sequence ends with the first byte from 40 to 7E (hexadecimal) behind its introducer, which is one character or two; 5.6: a string, such
    /// as a window's title, ends with its terminator, and by custom with BEL.
    /// </remarks>
    public static int EndOfSequence(string text, int at)
    {
        char kind = text[at] == '\u001b' && at + 1 < text.Length ? text[++at] : text[at];
        at++;
        if (kind is '[' or '\u009b')
        {
            while (at < text.Length && text[at] is >= ' ' and <= '?')
            {
                at++;
            }

            return Math.Min(at + 1, text.Length);
        }

        if (kind is ']' or '\u009d')
        {
            int end = text.IndexOfAny(['\a', '\u009c', '\u001b', '\n'], at);
            return end < 0 ? text.Length : text[end] == '\n' ? end : Math.Min(end + (text[end] == '\u001b' ? 2 : 1), text.Length);
        }

        return Math.Min(at, text.Length);
    }

    // A back-space, and a star or a blank over the character.
    private static int Mask(string text, int at) => at < text.Length && text[at] is '*' or ' ' ? at + 1 : at;

    // Blanks fill a line up to the edge of the screen; elsewhere they are text.
    private static int Blanks(string text, int at)
    {
        int end = at;
        while (end < text.Length && text[end] == ' ')
        {
            end++;
        }

        return end == text.Length || text[end] is '\r' or '\n' or '\b' ? end : at;
    }
}
