using System.Diagnostics;
using System.Globalization;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Refresh;

/// <summary>
/// Keeps two runs from holding one switch: a file that names its holder (host, user, process, when it started). A lock whose process is gone from
/// this host is taken over; one of another host never is.
/// </summary>
internal sealed class SwitchLock : IDisposable
{
    private readonly string _path;
    private readonly string _mark;

    private SwitchLock(string path, string mark)
    {
        _path = path;
        _mark = mark;
    }

    /// <summary>Who held the lock that was taken over, or null.</summary>
    public string? TakenOverFrom { get; private init; }

    /// <summary>Says who holds a switch, or null.</summary>
    public static Problem? Check(string folder, string switchName) =>
        Holder(PathOf(folder, switchName)) is { } holder && !IsGone(holder) ? Held(switchName, holder) : null;

    /// <summary>Takes a switch.</summary>
    /// <exception cref="PoeOpsException">Another run holds it (<see cref="ProblemId.SwitchHeld"/>), or no lock can be written (<see cref="ProblemId.JournalNotWritable"/>).</exception>
    public static SwitchLock Take(string folder, string switchName, Clock clock)
    {
        string path = PathOf(folder, switchName);
        string mark = string.Join("\n", Environment.MachineName, Environment.UserName, Self(out string start), start, IsoText.Write(clock.UtcNow), Guid.NewGuid().ToString("N"));
        string? gone = null;
        for (int attempt = 0; attempt < 3; attempt++)
        {
            if (TryCreate(path, mark))
            {
                return new SwitchLock(path, mark) { TakenOverFrom = gone };
            }

            if (Holder(path) is { } holder)
            {
                if (!IsGone(holder))
                {
                    throw new PoeOpsException(Held(switchName, holder));
                }

                gone = Describe(holder);
                File.Delete(path);
            }
        }

        throw new PoeOpsException(new Problem(ProblemId.SwitchHeld, $"The lock '{path}' changes hands faster than it can be taken.", "Let one run at a time work on a switch.") { Target = switchName });
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        // Only our own: somebody may have taken the file away by hand and another run have put its own there.
        if (Holder(_path) is { } holder && string.Join("\n", holder) == _mark)
        {
            File.Delete(_path);
        }
    }

    private static string PathOf(string folder, string switchName) =>
        Path.Combine(folder, string.Concat(switchName.ToUpperInvariant().Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or '.' ? c : '_')) + ".lock");

    private static bool TryCreate(string path, string mark)
    {
        try
        {
            using FileStream file = new(path, FileMode.CreateNew, FileAccess.Write, FileShare.None);
            byte[] bytes = Encoding.UTF8.GetBytes(mark);
            file.Write(bytes, 0, bytes.Length);
            file.Flush(flushToDisk: true);
            return true;
        }
        catch (IOException) when (File.Exists(path))
        {
            return false;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new PoeOpsException(
                new Problem(ProblemId.JournalNotWritable, $"The lock '{path}' cannot be written: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that the folder exists and that you may write in it.") { File = path },
                exception);
        }
    }

    private static string[]? Holder(string path)
    {
        try
        {
            return File.ReadAllText(path).Split('\n');
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return File.Exists(path) ? [string.Empty] : null;
        }
    }

    // A lock that cannot be understood is somebody's all the same.
    private static bool IsGone(string[] holder)
    {
        if (holder.Length < 6 || !string.Equals(holder[0], Environment.MachineName, StringComparison.OrdinalIgnoreCase) ||
            !int.TryParse(holder[2], NumberStyles.None, CultureInfo.InvariantCulture, out int id))
        {
            return false;
        }

        try
        {
            using var process = Process.GetProcessById(id);
            return StartOf(process) != holder[3];
        }
        catch (Exception exception) when (exception is ArgumentException or InvalidOperationException)
        {
            return true;
        }
    }

    private static string Self(out string start)
    {
        using var process = Process.GetCurrentProcess();
        start = StartOf(process);
        return process.Id.ToString(CultureInfo.InvariantCulture);
    }

    private static string StartOf(Process process) => process.StartTime.ToUniversalTime().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);

    private static string Describe(string[] holder) => holder.Length < 6 ? "an unknown run" : $"{holder[1]} on {holder[0]}, process {holder[2]}, since {holder[4]}";

    private static Problem Held(string switchName, string[] holder) =>
        new(ProblemId.SwitchHeld, $"The switch '{switchName}' is held by {Describe(holder)}.", "Wait for that run to end; where it is known to be dead, take its lock file away.") { Target = switchName };
}
