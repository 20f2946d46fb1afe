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
    private const string NoFile = "it is a device or a pipe, and a file was expected.";

    private readonly FileStream _file;
    private readonly RunLock _lock;
    private readonly bool _isNew;
    private string _previous;
    private long _length;
    private int _lines;
    private Problem? _trouble;

    private JournalFile(FileStream file, RunLock held, bool isNew, string path, string previous, int lines)
    {
        _file = file;
        _lock = held;
        _isNew = isNew;
        _length = file.Length;
        _previous = previous;
        _lines = lines;
        Path = path;
    }

    /// <summary>The file.</summary>
    public string Path { get; }

    /// <summary>The file that a last line, not written to its end, was set aside in when the journal was opened; null where there was none.</summary>
    public string? TornPath { get; private init; }

    /// <summary>What happened when it was opened and belongs into it, in a sentence each: a lock that was taken over, a line that was set aside.</summary>
    public IReadOnlyList<string> Remarks =>
    [
        .. _lock.TakenOverFrom is { } gone ? new[] { $"The lock of the journal was taken over from {gone}." } : [],
        .. TornPath is { } torn ? new[] { $"The last line had not been written to its end; it was set aside in '{torn}'." } : [],
    ];

    /// <summary>Says what would keep a journal from being continued or begun, and writes nothing.</summary>
    /// <param name="path">The file.</param>
    /// <returns>The problem that <see cref="Open(string)"/> would throw, as far as it can be told without writing; or null.</returns>
    public static Problem? Check(string path)
    {
        try
        {
            string full = System.IO.Path.GetFullPath(path);
            if (WrongPlace(path, full) is { } wrong)
            {
                return wrong;
            }

            if (!File.Exists(full))
            {
                return null;
            }

            // Opened as a run would open it: a pipe that is opened to be read only waits for a writer.
            using FileStream file = new(full, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite | FileShare.Delete);
            RequireFile(file);
            return WrongContent(JournalReplay.Parse(file, path, out RawLine? last), path, last);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            return NotWritable(path, TextFile.OneSentence(exception));
        }
    }

    /// <summary>Opens a journal to be continued, or begins one.</summary>
    /// <param name="path">The file; its folder must exist.</param>
    /// <exception cref="PoeOpsException">
    /// It cannot be written (<see cref="ProblemId.JournalNotWritable"/>), or what stands in it cannot be relied on
    /// (<see cref="ProblemId.JournalChainBroken"/>, <see cref="ProblemId.JournalUnreadable"/>).
    /// </exception>
    public static JournalFile Open(string path) => Open(path, force: false);

    /// <summary>Opens a journal to be continued, or begins one.</summary>
    /// <param name="path">The file; its folder must exist.</param>
    /// <param name="force">True to take over the lock of a run of another host.</param>
    /// <exception cref="PoeOpsException">As with <see cref="Open(string)"/>.</exception>
    public static JournalFile Open(string path, bool force)
    {
        RunLock held = Hold(path, force);
        FileStream? file = null;
        JournalFile? journal = null;
        try
        {
            bool isNew = !File.Exists(path);
            file = new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.Read);
            RequireFile(file);
            if (file.Length == 0)
            {
                // An empty file stays one, and a device that looks like an empty file refuses.
                file.SetLength(0);
            }

            journal = Continue(file, held, isNew, path);
            return journal;
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            throw new PoeOpsException(NotWritable(path, TextFile.OneSentence(exception)), exception);
        }
        finally
        {
            if (journal is null)
            {
                file?.Dispose();
                _ = held.Release();
            }
        }
    }

    /// <inheritdoc/>
    public void Write(RunEntry entry)
    {
        if (_trouble is not null)
        {
            throw new PoeOpsException(_trouble);
        }

        string line = JournalLine.Write(entry, _lines + 1, _previous, out string digest);
        byte[] bytes = Encoding.UTF8.GetBytes(line + "\n");
        try
        {
            // Some systems go on writing to a file that was deleted, where nobody would ever find it.
            if (!File.Exists(Path))
            {
                throw new FileNotFoundException("The file is no longer there.");
            }

            _file.Seek(_length, SeekOrigin.Begin);
            _file.Write(bytes, 0, bytes.Length);
            _file.Flush(flushToDisk: true);
        }
        catch (Exception exception) when (exception is IOException or ObjectDisposedException or UnauthorizedAccessException)
        {
            Problem problem = NotWritable(Path, TextFile.OneSentence(exception));
            CutBack(problem);
            throw new PoeOpsException(problem, exception);
        }

        _length += bytes.Length;
        _previous = digest;
        _lines++;
    }

    /// <summary>Closes the file; one that was begun here and got no entry is taken away again, for it records nothing.</summary>
    public void Dispose()
    {
        _file.Dispose();
        if (_isNew && _lines == 0)
        {
            TakeAway();
        }

        // A lock that stays behind is taken over by the next run: this process is gone then.
        _ = _lock.Release();
    }

    // A lock of its own beside it: the file itself stays open to readers, on every system.
    private static RunLock Hold(string path, bool force)
    {
        try
        {
            string full = System.IO.Path.GetFullPath(path);
            if (WrongPlace(path, full) is { } wrong)
            {
                throw new PoeOpsException(wrong);
            }

            return RunLock.Take(full + ".lock", force, out HeldLock? holder, out Exception? trouble)
                ?? throw new PoeOpsException(holder is null ? NotWritable(path, TextFile.OneSentence(trouble!)) : BeingWritten(path, full + ".lock", holder), trouble);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            throw new PoeOpsException(NotWritable(path, TextFile.OneSentence(exception)), exception);
        }
    }

    private static Problem? WrongPlace(string path, string full) =>
        !Directory.Exists(System.IO.Path.GetDirectoryName(full)) ? NotWritable(path, "its folder does not exist.")
        : Directory.Exists(full) ? NotWritable(path, "a folder stands there.")
        : IsDevice(full) ? NotWritable(path, NoFile)
        : null;

    // Told by the name, since some devices act when they are merely opened. Under /dev/shm are files.
    private static bool IsDevice(string full) =>
        full.StartsWith(@"\\.\", StringComparison.Ordinal)
        || (full.StartsWith("/dev/", StringComparison.Ordinal) && !full.StartsWith("/dev/shm/", StringComparison.Ordinal));

    // A link may lead to a device all the same: a pipe has no places, and some devices hold nothing and yet can be read for ever.
    private static void RequireFile(FileStream file)
    {
        if (!file.CanSeek || (file.Length == 0 && file.ReadByte() >= 0))
        {
            throw new IOException(NoFile);
        }

        file.Seek(0, SeekOrigin.Begin);
    }

    // The one line of a file that holds nothing else may be anything; only the beginning of a first entry is ours to move.
    private static Problem? WrongContent(JournalReading reading, string path, RawLine? last) =>
        reading.Problems.FirstOrDefault(problem => problem.Id != ProblemId.JournalTorn)
        ?? (last is { Ended: false } && reading.Entries.Count == 0 && !JournalLine.BeginsLikeFirst(last.Bytes) ? JournalReplay.NoJournal(path) : null);

    private static JournalFile Continue(FileStream file, RunLock held, bool isNew, string path)
    {
        JournalReading reading = JournalReplay.Parse(file, path, out RawLine? last);
        if (WrongContent(reading, path, last) is { } wrong)
        {
            throw new PoeOpsException(wrong);
        }

        string? aside = null;
        if (last is { Ended: false })
        {
            aside = path + ".torn";
            SetAside(file, aside, last);
        }

        int count = reading.Entries.Count;
        return new JournalFile(file, held, isNew, path, count == 0 ? JournalLine.Start : reading.Entries[count - 1].Sha256, count) { TornPath = aside };
    }

    private static void SetAside(FileStream file, string path, RawLine last)
    {
        byte[] bytes = new byte[81920];
        file.Seek(last.Start, SeekOrigin.Begin);
        using (FileStream torn = new(path, FileMode.Append, FileAccess.Write))
        {
            for (int count; (count = file.Read(bytes, 0, bytes.Length)) > 0;)
            {
                torn.Write(bytes, 0, count);
            }

            torn.WriteByte((byte)'\n');
            torn.Flush(flushToDisk: true);
        }

        file.SetLength(last.Start);
        file.Flush(flushToDisk: true);
    }

    private void TakeAway()
    {
        try
        {
            File.Delete(Path);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            // An empty file says nothing wrong, and the run has its own problem to tell.
            _ = exception;
        }
    }

    // Half an entry is worse than none: the next one would stand in the middle of it. Where it stays, nothing more is written.
    private void CutBack(Problem problem)
    {
        try
        {
            _file.SetLength(_length);
        }
        catch (Exception exception) when (exception is IOException or ObjectDisposedException or UnauthorizedAccessException)
        {
            _trouble = problem;
        }
    }

    private static Problem BeingWritten(string path, string lockPath, HeldLock holder) =>
        new(ProblemId.JournalNotWritable, $"The journal '{path}' cannot be written: it is being written by {holder.By}.", SwitchLock.Advice(lockPath, holder)) { File = path };

    private static Problem NotWritable(string path, string because) =>
        new(ProblemId.JournalNotWritable, $"The journal '{path}' cannot be written: {because}", "Check that the folder exists, that you may write in it, that the disk has room, and that no other run writes this journal.") { File = path };
}
