using System.Globalization;
using System.Security;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the bytes of a capture, bounded.</summary>
internal static class CaptureBytes
{
    /// <summary>The largest capture that is read, in bytes (64 MiB).</summary>
    public const long Most = 64L * 1024 * 1024;

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

    private static byte[]? ReadFile(string path, out Problem? problem)
    {
        using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        string size = stream.Length.ToString(CultureInfo.InvariantCulture);
        problem = stream.Length > Most
            ? Wrong(path, ProblemId.FileTooLarge, $"The capture has {size} bytes, and at most {Most.ToString(CultureInfo.InvariantCulture)} are read.", "Split it, or save each answer to a file of its own.")
            : null;
        if (problem is not null)
        {
            return null;
        }

        using MemoryStream bytes = new();
        stream.CopyTo(bytes);
        if (bytes.Length == 0 || IsMarkAlone(bytes))
        {
            problem = Wrong(path, ProblemId.FileEmpty, "The capture is empty.", "Save the device's answer again.");
            return null;
        }

        return bytes.ToArray();
    }

    // A byte-order mark and nothing after it.
    private static bool IsMarkAlone(MemoryStream bytes) => bytes.Length <= 3 && bytes.ToArray() is [0xEF, 0xBB, 0xBF] or [0xFF, 0xFE] or [0xFE, 0xFF];

    private static Problem Wrong(string path, ProblemId id, string sentence, string advice) => new(id, sentence, advice) { File = path };
}
