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
                '\u001b' => EndOfSequence(text, at),
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
    /// <param name="at">The place of the escape.</param>
    /// <remarks>ECMA-48, 5.4: a control sequence ends with the first byte from 40 to 7E (hexadecimal) behind its introducer.</remarks>
    public static int EndOfSequence(string text, int at)
    {
        at++;
        if (at < text.Length && text[at] == '[')
        {
            at++;
            while (at < text.Length && text[at] is >= ' ' and <= '?')
            {
                at++;
            }
        }

        return Math.Min(at + 1, text.Length);
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
