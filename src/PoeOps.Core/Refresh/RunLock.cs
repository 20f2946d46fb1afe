using System.Text;
using PoeOps.Files;

namespace PoeOps.Refresh;

/// <summary>
/// Keeps two runs from holding one thing: a file that names its holder. A lock whose process is gone from this host is taken over; one of another
/// host only by force, since nobody here can see whether it lives; one whose process lives on this host, or that cannot be understood, never is.
/// </summary>
internal sealed class RunLock
{
    private const int Attempts = 20;

    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(50);

    private readonly string _path;
    private readonly LockHolder _self;

    private RunLock(string path, LockHolder self)
    {
        _path = path;
        _self = self;
    }

    /// <summary>Who held the lock that was taken over, and why it could be, in a few words; or null.</summary>
    public string? TakenOverFrom { get; private init; }

    /// <summary>Says whose a lock is; null where it is free.</summary>
    /// <param name="path">Its file.</param>
    /// <param name="force">True where a lock of another host counts as free.</param>
    public static HeldLock? HeldBy(string path, bool force)
    {
        FileInfo file = new(path);
        LockHolder? holder = Holder(path);
        return !file.Exists || file.Length == 0 || Free(holder, force) is not null ? null : Held(path, holder);
    }

    /// <summary>Takes a lock.</summary>
    /// <param name="path">Its file.</param>
    /// <param name="force">True to take one of another host over as well.</param>
    /// <param name="heldBy">Whose it is, where another run has it.</param>
    /// <param name="trouble">Why no lock can be written there, where nobody has it.</param>
    /// <returns>The lock, to be released; or null.</returns>
    public static RunLock? Take(string path, bool force, out HeldLock? heldBy, out Exception? trouble)
    {
        var self = LockHolder.Self();
        (heldBy, trouble) = (null, null);
        bool sawFile = false;
        string? from = null;
        for (int attempt = 0; attempt < Attempts; attempt++)
        {
            trouble = TryCreate(path, self);
            if (trouble is null)
            {
                return new RunLock(path, self);
            }

            if (TryTakeOver(path, self, force, ref from, out LockHolder? holder))
            {
                return new RunLock(path, self) { TakenOverFrom = from };
            }

            if (holder is not null && holder != self && Free(holder, force) is null)
            {
                heldBy = Held(path, holder);
                return null;
            }

            // Somebody is writing it, or has just taken it away: both are over in a moment.
            sawFile |= File.Exists(path);
            _ = SystemClock.Instance.Wait(Moment, CancellationToken.None);
        }

        // No folder, no right or no room is a trouble; a file that always was another's is a run that comes and goes.
        heldBy = sawFile ? Held(path, null) : null;
        _ = new RunLock(path, self).Release();
        return null;
    }

    /// <summary>Gives it back.</summary>
    /// <returns>Why its lock's file is still there, in a sentence; or null.</returns>
    public string? Release()
    {
        string trouble = string.Empty;
        for (int attempt = 0; attempt < Attempts; attempt++)
        {
            try
            {
                // Only our own: somebody may have taken the file away by hand, and another run have put its own there.
                LockHolder? holder = Holder(_path);
                if (holder == _self)
                {
                    File.Delete(_path);
                }

                if (holder is not null || !File.Exists(_path))
                {
                    return null;
                }

                trouble = "It cannot be read.";
            }
            catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
            {
                trouble = TextFile.OneSentence(exception);
            }

            // Another run may be looking at it.
            _ = SystemClock.Instance.Wait(Moment, CancellationToken.None);
        }

        return $"The lock '{_path}' could not be taken away: {trouble}";
    }

    // Returns what stood in the way, or null where the lock is ours.
    private static Exception? TryCreate(string path, LockHolder self)
    {
        try
        {
            using FileStream file = new(path, FileMode.CreateNew, FileAccess.Write, FileShare.None);
            Put(file, self);
            return null;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return exception;
        }
    }

    // The holder is judged and replaced through one handle that nobody else has meanwhile, so that two runs cannot take over the same lock. A file
    // that holds nothing, and that nobody has open, was left by a run that was cut short before it could write its name. The file may have been
    // taken away between its opening and its reading, and then what was written stands nowhere: it is ours only when it is found there again.
    private static bool TryTakeOver(string path, LockHolder self, bool force, ref string? from, out LockHolder? holder)
    {
        holder = null;
        try
        {
            using FileStream file = new(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
            string text = Text(file);
            holder = LockHolder.Read(text);
            string? free = text.Length == 0 ? "a run that was cut short while it took it, and is gone" : Free(holder, force);
            if (free is not null)
            {
                from = free;
                file.SetLength(0);
                Put(file, self);
            }
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            holder = null;
            return false;
        }

        return Holder(path) == self;
    }

    private static void Put(FileStream file, LockHolder self)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(self.Write());
        file.Write(bytes, 0, bytes.Length);
        file.Flush(flushToDisk: true);
    }

    private static LockHolder? Holder(string path)
    {
        try
        {
            using FileStream file = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            return LockHolder.Read(Text(file));
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private static string Text(FileStream file)
    {
        byte[] bytes = new byte[4096];
        int length = 0;
        for (int count; length < bytes.Length && (count = file.Read(bytes, length, bytes.Length - length)) > 0;)
        {
            length += count;
        }

        return Encoding.UTF8.GetString(bytes, 0, length);
    }

    // Whose a lock was that may be taken over, and why it may; null where it may not.
    private static string? Free(LockHolder? holder, bool force) =>
        holder is null ? null
        : holder.IsGone() ? $"{holder}, which is gone"
        : force && holder.IsElsewhere ? $"{holder}, by force: nobody here can see whether it is gone"
        : null;

    private static HeldLock Held(string path, LockHolder? holder) =>
        new(holder?.ToString() ?? $"an unknown run: its lock '{path}' does not say whose it is", holder is { IsElsewhere: true });
}

/// <summary>Whose a lock is.</summary>
/// <param name="By">The run, for people.</param>
/// <param name="IsElsewhere">True where it is a run of another host.</param>
internal sealed record HeldLock(string By, bool IsElsewhere);
