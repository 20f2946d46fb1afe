namespace PoeOps.Journal;

/// <summary>Takes the bytes of a journal apart into its lines, one after the other, however large the file is.</summary>
internal static class JournalBytes
{
    /// <summary>The longest line that is kept, in bytes (1 MiB); no entry comes near it.</summary>
    public const int LongestLine = 1024 * 1024;

    /// <summary>The lines of a journal in order.</summary>
    /// <param name="stream">The file from its start.</param>
    public static IEnumerable<RawLine> Lines(Stream stream)
    {
        byte[] buffer = new byte[81920];
        using MemoryStream line = new();
        long start = 0;
        long position = 0;
        int count;
        while ((count = stream.Read(buffer, 0, buffer.Length)) > 0)
        {
            int from = 0;
            for (int end; (end = Array.IndexOf(buffer, (byte)'\n', from, count - from)) >= 0; from = end + 1)
            {
                Keep(line, buffer, from, end - from);
                yield return new RawLine(line.ToArray(), start, position + end + 1 - start, true);
                line.SetLength(0);
                start = position + end + 1;
            }

            Keep(line, buffer, from, count - from);
            position += count;
        }

        if (position > start)
        {
            yield return new RawLine(line.ToArray(), start, position - start, false);
        }
    }

    private static void Keep(MemoryStream line, byte[] buffer, int from, int count) =>
        line.Write(buffer, from, (int)Math.Min(count, Math.Max(0, LongestLine - line.Length)));
}

/// <summary>One line as it stands in the file.</summary>
/// <param name="Bytes">Its bytes without the line's end; cut where it is longer than any entry.</param>
/// <param name="Start">Where it starts in the file.</param>
/// <param name="Length">How many bytes it takes up there, its end included.</param>
/// <param name="Ended">True where its end was written.</param>
internal sealed record RawLine(byte[] Bytes, long Start, long Length, bool Ended)
{
    /// <summary>True where it is longer than any entry, and was cut.</summary>
    public bool IsCut => Length > Bytes.Length + 1;
}
