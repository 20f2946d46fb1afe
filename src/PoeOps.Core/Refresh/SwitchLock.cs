using System.Text;
using PoeOps.Files;

namespace PoeOps.Refresh;

/// <summary>
/// Keeps two runs from holding one switch: a file that names its holder. A lock whose process is gone from this host is taken over; one of another
/// host never is, and neither is one that cannot be understood.
/// </summary>
internal sealed class SwitchLock
{
    private const int Attempts = 5;

    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(50);

    private readonly string _path;
    private readonly LockHolder _self;

    private SwitchLock(string path, LockHolder self)
    {
        _path = path;
        _self = self;
    }

    /// <summary>Who held the lock that was taken over, or null.</summary>
    public string? TakenOverFrom { get; private init; }

    /// <summary>Says who holds a switch, or null.</summary>
    public static Problem? Check(string folder, string switchName)
    {
        string path = PathOf(folder, switchName);
        FileInfo file = new(path);
        LockHolder? holder = Holder(path);
        return !file.Exists || file.Length == 0 || holder is not null && holder.IsGone() ? null : Held(switchName, path, holder);
    }

    /// <summary>Takes a switch.</summary>
    /// <exception cref="PoeOpsException">Another run holds it (<see cref="ProblemId.SwitchHeld"/>), or no lock can be written (<see cref="ProblemId.JournalNotWritable"/>).</exception>
    public static SwitchLock Take(string folder, string switchName, Clock clock)
    {
        string path = PathOf(folder, switchName);
        var self = LockHolder.Self(clock);
        Exception? trouble = null;
        for (int attempt = 0; attempt < Attempts; attempt++)
        {
            trouble = TryCreate(path, self);
            if (trouble is null)
            {
                return new SwitchLock(path, self);
            }

            if (TryTakeOver(path, self, out LockHolder? holder))
            {
                return new SwitchLock(path, self) { TakenOverFrom = holder?.ToString() ?? "a run that was cut short while it took it" };
            }

            if (holder is not null && !holder.IsGone())
            {
                throw new PoeOpsException(Held(switchName, path, holder));
            }

            // Somebody is writing it, or has just taken it away: both are over in a moment.
            _ = SystemClock.Instance.Wait(Moment, CancellationToken.None);
        }

        throw new PoeOpsException(File.Exists(path) ? Held(switchName, path, null) : NotWritable(path, trouble!), trouble);
    }

    /// <summary>Gives the switch back.</summary>
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

    private static string PathOf(string folder, string switchName) =>
        Path.Combine(folder, string.Concat(switchName.ToUpperInvariant().Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or '.' ? c : '_')) + ".lock");

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
    // that holds nothing, and that nobody has open, was left by a run that was cut short before it could write its name. The file may have been taken away between its opening and its reading; then what was written stands nowhere, and is not found again.
    private static bool TryTakeOver(string path, LockHolder self, out LockHolder? holder)
    {
        holder = null;
        try
        {
            using FileStream file = new(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
            string text = Text(file);
            holder = LockHolder.Read(text);
            bool gone = holder?.IsGone() ?? text.Length == 0;
            if (!gone)
            {
                return false;
            }

            file.SetLength(0);
            Put(file, self);
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

    private static Problem NotWritable(string path, Exception exception) =>
        new(ProblemId.JournalNotWritable, $"The lock '{path}' cannot be written: {TextFile.OneSentence(exception)}", "Check that the folder exists and that you may write in it.") { File = path };

    private static Problem Held(string switchName, string path, LockHolder? holder) =>
        new(ProblemId.SwitchHeld, $"The switch '{switchName}' is held by {holder?.ToString() ?? $"an unknown run: its lock '{path}' does not say whose it is"}.", "Wait for that run to end; where it is known to be dead, take its lock file away.")
        { Target = switchName, File = path };
}
