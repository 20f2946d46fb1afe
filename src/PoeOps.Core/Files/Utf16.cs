using System.Text;

namespace PoeOps.Files;

/// <summary>Reads UTF-16 that says so by a byte-order mark (RFC 2781, section 3.2).</summary>
internal static class Utf16
{
    /// <summary>True where the mark of either order of bytes stands first.</summary>
    public static bool IsMarked(byte[] bytes) => bytes is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..];

    /// <summary>The text behind the mark; null where it is no UTF-16: half a character at the end, or half a pair. UTF-32, whose mark begins in the same way, is none either.</summary>
    /// <param name="bytes">All bytes, the mark first.</param>
    public static string? Text(byte[] bytes)
    {
        if (bytes is [0xFF, 0xFE, 0, 0, ..])
        {
            return null;
        }

        UnicodeEncoding strict = new(bigEndian: bytes[0] == 0xFE, byteOrderMark: false, throwOnInvalidBytes: true);
        try
        {
            return strict.GetString(bytes, 2, bytes.Length - 2);
        }
        catch (ArgumentException)
        {
            return null;
        }
    }
}
