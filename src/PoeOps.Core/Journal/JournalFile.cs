using System.Text;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Journal;

/// <summary>
/// A run's record on disk, one entry a line, never rewritten. A write that returns has reached the disk. One writer at a time; an existing journal
/// is checked and continued, and a last line that was not written to its end is set aside beside it.
/// </summary>
public sealed class JournalFile : IRunRecord, IDisposable
{
    // Readers may look on. Elsewhere than on Windows only a share of nothing keeps a second writer out, and readers are not kept out by it.
    private static readonly FileShare OneWriter = Environment.OSVersion.Platform == PlatformID.Win32NT ? FileShare.Read : FileShare.None;

    private readonly FileStream _file;
    private string _previous;
    private int _lines;

    private JournalFile(FileStream file, string path, string previous, int lines)
    {
        _file = file;
        _previous = previous;
        _lines = lines;
        Path = path;
    }

    /// <summary>The file.</summary>
    public string Path { get; }

    /// <summary>Opens a journal to be continued, or begins one.</summary>
    /// <param name="path">The file; its folder must exist.</param>
    /// <exception cref="PoeOpsException">
    /// It cannot be written (<see cref="ProblemId.JournalNotWritable"/>), or what stands in it cannot be relied on
    /// (<see cref="ProblemId.JournalChainBroken"/>, <see cref="ProblemId.JournalUnreadable"/>).
    /// </exception>
    public static JournalFile Open(string path)
    {
        FileStream? file = null;
        try
        {
            file = new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, OneWriter);
            JournalFile journal = Continue(file, path);
            file = null;
            return journal;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new PoeOpsException(NotWritable(path, exception), exception);
        }
        finally
        {
            file?.Dispose();
        }
    }

    /// <inheritdoc/>
    public void Write(RunEntry entry)
    {
        string line = JournalLine.Write(entry, _lines + 1, _previous, out string digest);
        byte[] bytes = Encoding.UTF8.GetBytes(line + "\n");
        long before = _file.Length;
        try
        {
            _file.Seek(0, SeekOrigin.End);
            _file.Write(bytes, 0, bytes.Length);
            _file.Flush(flushToDisk: true);
        }
        catch (Exception exception) when (exception is IOException or ObjectDisposedException)
        {
            CutBack(before);
            throw new PoeOpsException(NotWritable(Path, exception), exception);
        }

        _previous = digest;
        _lines++;
    }

    /// <inheritdoc/>
    public void Dispose() => _file.Dispose();

    private static JournalFile Continue(FileStream file, string path)
    {
        byte[] bytes = new byte[file.Length];
        int read = 0;
        while (read < bytes.Length)
        {
            int count = file.Read(bytes, read, bytes.Length - read);
            read = count == 0 ? throw new EndOfStreamException("The journal became shorter while it was read.") : read + count;
        }

        int whole = Array.LastIndexOf(bytes, (byte)'\n') + 1;
        if (whole < bytes.Length)
        {
            SetAside(file, path, bytes, whole);
        }

        JournalReading reading = JournalReplay.Parse(Encoding.UTF8.GetString(bytes, 0, whole), path);
        if (reading.Problems.Count > 0)
        {
            throw new PoeOpsException(reading.Problems[0]);
        }

        string previous = reading.Entries.Count == 0 ? JournalLine.Start : reading.Entries[reading.Entries.Count - 1].Sha256;
        return new JournalFile(file, path, previous, reading.Entries.Count);
    }

    private static void SetAside(FileStream file, string path, byte[] bytes, int whole)
    {
        using (FileStream torn = new(path + ".torn", FileMode.Append, FileAccess.Write))
        {
            torn.Write(bytes, whole, bytes.Length - whole);
            torn.WriteByte((byte)'\n');
            torn.Flush(flushToDisk: true);
        }

        file.SetLength(whole);
        file.Flush(flushToDisk: true);
    }

    // Half an entry is worse than none: the next one would stand in the middle of it.
    private void CutBack(long length)
    {
        try
        {
            _file.SetLength(length);
        }
        catch (Exception exception) when (exception is IOException or ObjectDisposedException)
        {
            // The disk takes nothing at all; a torn line is set aside when the journal is opened again.
            return;
        }
    }

    private static Problem NotWritable(string path, Exception exception) =>
        new(ProblemId.JournalNotWritable, $"The journal '{path}' cannot be written: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that the folder exists, that you may write in it, that the disk has room, and that no other run writes this journal.") { File = path };
}
