using System.Globalization;
using System.Security;
using System.Text;

namespace PoeOps.Files;

/// <summary>Reads whole text files that a user owns: bounded in size, strictly UTF-8, and never with a guess.</summary>
public static class TextFile
{
    /// <summary>The largest file that is read, in bytes (16 MiB); a larger one is refused before it is read.</summary>
    public const long MostBytes = 16L * 1024 * 1024;

    private static readonly UTF8Encoding Strict = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>Reads a UTF-8 file, with or without a byte-order mark.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <returns>
    /// The text without the mark, or the problem: <see cref="ProblemId.FileNotFound"/>, <see cref="ProblemId.FileEmpty"/>,
    /// <see cref="ProblemId.FileTooLarge"/>, <see cref="ProblemId.FileNotUtf8"/> or <see cref="ProblemId.FileUnreadable"/>.
    /// </returns>
    public static TextFileResult Read(string path) => Read(path, Decode);

    /// <summary>Reads a file as <see cref="Read(string)"/> does, and one in UTF-16 that says so by its byte-order mark as well, as spreadsheets write it.</summary>
    /// <param name="path">The file.</param>
    internal static TextFileResult ReadMarked(string path) => Read(path, (named, bytes) => Utf16.IsMarked(bytes) && bytes.Length <= MostBytes ? DecodeUtf16(named, bytes) : Decode(named, bytes));

    private static TextFileResult Read(string path, Func<string, byte[], TextFileResult> decode)
    {
        if (string.IsNullOrWhiteSpace(path))
        {
            return Wrong(path ?? string.Empty, ProblemId.FileNotFound, "No file is named.", "Give the path of a file.");
        }

        if (Directory.Exists(path))
        {
            return Wrong(path, ProblemId.FileUnreadable, $"'{path}' is a folder, and a file was expected.", "Give the path of a file in it.");
        }

        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            return stream.Length > MostBytes ? TooLarge(path, stream.Length) : decode(path, Bytes(stream));
        }
        catch (Exception exception) when (exception is FileNotFoundException or DirectoryNotFoundException)
        {
            return Wrong(path, ProblemId.FileNotFound, $"The file '{path}' does not exist.", "Check the path and where it starts from.");
        }
        catch (Exception exception) when (IsAboutFiles(exception))
        {
            return Wrong(
                path, ProblemId.FileUnreadable, $"The file '{path}' cannot be read: {OneSentence(exception)}",
                "Check that the path is well formed, that you may read the file, and that no program holds it.");
        }
    }

    /// <summary>True for what the platform throws when a file or its path is the trouble.</summary>
    internal static bool IsAboutFiles(Exception exception) =>
        exception is IOException or UnauthorizedAccessException or SecurityException or NotSupportedException or ArgumentException;

    /// <summary>The platform's message on one line, ending with one full stop.</summary>
    internal static string OneSentence(Exception exception) => Excerpt.Line(exception.Message).TrimEnd('.') + ".";

    // A file may grow while it is read, and some say a length of 0 and have content: read to the end or one byte past the bound.
    private static byte[] Bytes(FileStream stream)
    {
        using MemoryStream bytes = new();
        byte[] buffer = new byte[81920];
        int count;
        while (bytes.Length <= MostBytes && (count = stream.Read(buffer, 0, buffer.Length)) > 0)
        {
            bytes.Write(buffer, 0, count);
        }

        return bytes.ToArray();
    }

    private static TextFileResult Decode(string path, byte[] bytes)
    {
        if (bytes.Length > MostBytes)
        {
            return TooLarge(path, bytes.Length);
        }

        if (Utf16.IsMarked(bytes))
        {
            return Wrong(path, ProblemId.FileNotUtf8, "The file starts with the byte-order mark of UTF-16, and UTF-8 was expected.", "Save it as UTF-8.", 1);
        }

        int start = bytes is [0xEF, 0xBB, 0xBF, ..] ? 3 : 0;
        int bad = Utf8.FirstBadByte(bytes, start);
        if (bad >= 0)
        {
            int line = 1 + bytes.Take(bad).Count(b => b == (byte)'\n');
            string found = bytes[bad].ToString("X2", CultureInfo.InvariantCulture);
            string offset = bad.ToString(CultureInfo.InvariantCulture);
            return Wrong(
                path, ProblemId.FileNotUtf8, $"The byte {found} (hexadecimal) at offset {offset} does not belong to any UTF-8 text.", "Save the file as UTF-8.", line);
        }

        return Content(path, Strict.GetString(bytes, start, bytes.Length - start));
    }

    private static TextFileResult DecodeUtf16(string path, byte[] bytes) => Utf16.Text(bytes) is { } text
        ? Content(path, text)
        : Wrong(path, ProblemId.FileNotUtf8, "The file starts with the byte-order mark of UTF-16, and what follows is none.", "Save it as UTF-8.", 1);

    private static TextFileResult Content(string path, string text) =>
        string.IsNullOrWhiteSpace(text)
            ? Wrong(path, ProblemId.FileEmpty, $"The file '{path}' has no content.", "Give a file that has been written to its end.")
            : new TextFileResult(text, null);

    private static TextFileResult TooLarge(string path, long length)
    {
        string found = length.ToString(CultureInfo.InvariantCulture);
        string most = MostBytes.ToString(CultureInfo.InvariantCulture);
        return Wrong(path, ProblemId.FileTooLarge, $"The file has {found} bytes, and at most {most} are read.", "Check that it is the file you mean; divide it if it is.");
    }

    private static TextFileResult Wrong(string path, ProblemId id, string sentence, string advice, int? line = null) =>
        new(null, new Problem(id, sentence, advice) { File = path, Line = line });
}

/// <summary>What came of reading a text file: exactly one of the two is there.</summary>
/// <param name="Text">The content, or null.</param>
/// <param name="Problem">Why there is no content, or null.</param>
public sealed record TextFileResult(string? Text, Problem? Problem);
