using System.Globalization;
using System.Security;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the bytes of a capture, bounded.</summary>
internal static class CaptureBytes
{
    /// <summary>The largest capture that is read, in bytes (64 MiB).</summary>
    public const long Most = 64L * 1024 * 1024;

    private const long Least = 4096;

    /// <summary>Reads a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="problem">Why it is not read, or null.</param>
    /// <returns>Its bytes, at least one; or null.</returns>
    public static byte[]? Read(string path, out Problem? problem)
    {
        try
        {
            problem = Directory.Exists(path)
                ? Wrong(path, ProblemId.FileUnreadable, $"'{path}' is a folder, and a capture was expected.", "Give the files in it, such as folder/*.txt.")
                : null;
            return problem is null ? ReadFile(path, out problem) : null;
        }
        catch (Exception exception) when (exception is FileNotFoundException or DirectoryNotFoundException)
        {
            problem = Wrong(path, ProblemId.FileNotFound, $"The file '{path}' does not exist.", "Check the path and where it starts from.");
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or SecurityException or NotSupportedException or ArgumentException)
        {
            problem = Wrong(path, ProblemId.FileUnreadable, $"The file '{path}' cannot be read: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that you may read the file and that no program holds it.");
        }

        return null;
    }

    /// <summary>Puts line feeds in the place of carriage returns, for devices that end their lines with these; CR LF and CR NUL are one end. UTF-16 is left as it is.</summary>
    public static byte[] FeedsForReturns(byte[] bytes)
    {
        if (bytes is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..])
        {
            return bytes;
        }

        List<byte> feeds = new(bytes.Length);
        for (int i = 0; i < bytes.Length; i++)
        {
            bool isRest = i > 0 && bytes[i - 1] == '\r' && bytes[i] is 0 or (byte)'\n';
            if (!isRest)
            {
                feeds.Add(bytes[i] == '\r' ? (byte)'\n' : bytes[i]);
            }
        }

        return [.. feeds];
    }

    private static byte[]? ReadFile(string path, out Problem? problem)
    {
        using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        problem = stream.Length > Most ? TooLarge(path, string.Empty, stream.Length) : null;
        if (problem is not null)
        {
            return null;
        }

        byte[] bytes = Bytes(stream);
        if (bytes.LongLength > Most)
        {
            problem = TooLarge(path, "more than ", Most);
            return null;
        }

        if (bytes.Length == 0 || bytes is [0xEF, 0xBB, 0xBF] or [0xFF, 0xFE] or [0xFE, 0xFF])
        {
            problem = Wrong(path, ProblemId.FileEmpty, "The capture is empty.", "Save the device's answer again.");
            return null;
        }

        return bytes;
    }

    // A file may say less than it has, as one does that is still written, or nothing, as a device does: it is read to its end, and no further than
    // one byte beyond what may be read.
    private static byte[] Bytes(FileStream stream)
    {
        byte[] bytes = new byte[Math.Max(stream.Length, Least)];
        int count = 0;
        for (int read = stream.Read(bytes, 0, bytes.Length); read > 0 && count <= Most; read = stream.Read(bytes, count, bytes.Length - count))
        {
            count += read;
            if (count == bytes.Length && stream.Length != count)
            {
                Array.Resize(ref bytes, (int)Math.Min(2L * bytes.Length, Most + 1));
            }
        }

        Array.Resize(ref bytes, count);
        return bytes;
    }

    private static Problem TooLarge(string path, string than, long size) =>
        Wrong(
            path, ProblemId.FileTooLarge, $"The capture has {than}{size.ToString(CultureInfo.InvariantCulture)} bytes, and at most {Most.ToString(CultureInfo.InvariantCulture)} are read.",
            "Split it, or save each answer to a file of its own.");

    private static Problem Wrong(string path, ProblemId id, string sentence, string advice) => new(id, sentence, advice) { File = path };
}
