namespace PoeOps.Files;

/// <summary>Finds bytes that are no UTF-8. The platforms' own decoders do not agree on where the first of them stands.</summary>
internal static class Utf8
{
    /// <summary>The offset of the first byte that does not belong to a well-formed sequence (RFC 3629, section 4), or -1.</summary>
    /// <param name="bytes">The bytes.</param>
    /// <param name="start">Where to begin.</param>
    public static int FirstBadByte(byte[] bytes, int start)
    {
        int at = start;
        while (at < bytes.Length)
        {
            int length = SequenceLength(bytes, at);
            if (length == 0)
            {
                return at;
            }

            at += length;
        }

        return -1;
    }

    /// <summary>The length of the well-formed sequence at an offset, or 0.</summary>
    private static int SequenceLength(byte[] bytes, int at)
    {
        byte lead = bytes[at];
        if (lead < 0x80)
        {
            return 1;
        }

        int length = lead switch { >= 0xC2 and <= 0xDF => 2, >= 0xE0 and <= 0xEF => 3, >= 0xF0 and <= 0xF4 => 4, _ => 0 };
        if (length == 0 || at + length > bytes.Length || !SecondFits(lead, bytes[at + 1]))
        {
            return 0;
        }

        for (int i = 2; i < length; i++)
        {
            if (bytes[at + i] is < 0x80 or > 0xBF)
            {
                return 0;
            }
        }

        return length;
    }

    // Overlong forms, surrogates and what lies above U+10FFFF show in the second byte.
    private static bool SecondFits(byte lead, byte second) => lead switch
    {
        0xE0 => second is >= 0xA0 and <= 0xBF,
        0xED => second is >= 0x80 and <= 0x9F,
        0xF0 => second is >= 0x90 and <= 0xBF,
        0xF4 => second is >= 0x80 and <= 0x8F,
        _ => second is >= 0x80 and <= 0xBF,
    };
}
