using System.Text;

namespace PoeOps.Files;

/// <summary>Writes files whole or not at all.</summary>
public static class WholeFile
{
    /// <summary>Writes a UTF-8 file without byte-order mark: to a temporary file beside it, flushed to disk, then renamed, so that nobody ever sees half of it.</summary>
    /// <param name="path">The file; problems name it as it is given here. Its folder must exist.</param>
    /// <param name="text">The whole content.</param>
    /// <param name="overwrite">True to replace a file that stands there. Of two who write the same new file in the same moment both may succeed; the file is then the whole text of one.</param>
    /// <exception cref="PoeOpsException">
    /// A file stands there and may not be replaced (<see cref="ProblemId.FileExists"/>), or it cannot be written (<see cref="ProblemId.FileNotWritable"/>); what stood there still does.
    /// </exception>
    public static void Write(string path, string text, bool overwrite) => Write(path, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false).GetBytes(text), overwrite);

    /// <summary>Writes a file of bytes in the same way.</summary>
    /// <param name="path">The file; problems name it as it is given here. Its folder must exist.</param>
    /// <param name="bytes">The whole content.</param>
    /// <param name="overwrite">True to replace a file that stands there.</param>
    /// <exception cref="PoeOpsException">As for text.</exception>
    public static void Write(string path, byte[] bytes, bool overwrite)
    {
        try
        {
            string full = Path.GetFullPath(path);
            if (WrongTarget(path, full, overwrite) is { } wrong)
            {
                throw new PoeOpsException(wrong);
            }

            WriteBeside(path, full, bytes, overwrite);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            throw new PoeOpsException(NotWritable(path, TextFile.OneSentence(exception)), exception);
        }
    }

    /// <summary>Says why a file is not written, as far as it can be told without writing.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <param name="overwrite">True where a file that stands there may be replaced.</param>
    /// <returns>The problem that <see cref="Write(string, string, bool)"/> would throw, or null.</returns>
    public static Problem? Check(string path, bool overwrite)
    {
        try
        {
            return WrongTarget(path, Path.GetFullPath(path), overwrite);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            return NotWritable(path, TextFile.OneSentence(exception));
        }
    }

    private static void WriteBeside(string path, string full, byte[] bytes, bool overwrite)
    {
        string temporary = full + "." + Path.GetRandomFileName();
        try
        {
            WriteToDisk(temporary, bytes);
            Rename(path, temporary, full, overwrite);
        }
        finally
        {
            // Gone already where the renaming worked; deleting what is not there does nothing.
            File.Delete(temporary);
        }
    }

    private static Problem? WrongTarget(string path, string full, bool overwrite) =>
        Directory.Exists(full) ? NotWritable(path, "a folder stands there.")
        : Path.GetDirectoryName(full) is { } folder && !Directory.Exists(folder) ? NotWritable(path, "its folder does not exist.")
        : File.Exists(full) && !overwrite ? Exists(path)
        : null;

    private static void WriteToDisk(string temporary, byte[] bytes)
    {
        using FileStream stream = new(temporary, FileMode.CreateNew, FileAccess.Write, FileShare.None);
        stream.Write(bytes, 0, bytes.Length);
        stream.Flush(flushToDisk: true);
    }

    private static void Rename(string path, string temporary, string full, bool overwrite)
    {
        if (overwrite && File.Exists(full))
        {
            File.Replace(temporary, full, destinationBackupFileName: null);
            return;
        }

        try
        {
            File.Move(temporary, full);
        }
        catch (IOException exception) when (File.Exists(full))
        {
            // Somebody else was faster; theirs stays.
            throw new PoeOpsException(Exists(path), exception);
        }
    }

    private static Problem Exists(string path) =>
        new(ProblemId.FileExists, $"The file '{path}' exists already.", "Choose another name, or say that it may be replaced (-Force).") { File = path };

    private static Problem NotWritable(string path, string why) =>
        new(ProblemId.FileNotWritable, $"The file '{path}' cannot be written: {why}", "Check the folder, your rights in it and the space on the disk.") { File = path };
}
