using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Refresh;

/// <summary>Who holds a lock, as it stands in the lock's file: host, user, process, when that process started, when the lock was taken.</summary>
/// <param name="Host">The machine.</param>
/// <param name="User">The user.</param>
/// <param name="Process">The process.</param>
/// <param name="Start">What tells that process from a later one of the same number.</param>
/// <param name="Since">When the lock was taken, by the machine's clock, UTC, as text.</param>
/// <param name="Mark">What tells this lock from any other.</param>
internal sealed record LockHolder(string Host, string User, int Process, string Start, string Since, string Mark)
{
    /// <summary>This process as a holder.</summary>
    public static LockHolder Self()
    {
        using var process = System.Diagnostics.Process.GetCurrentProcess();
        return new LockHolder(Environment.MachineName, Environment.UserName, process.Id, StartOf(process), IsoText.Write(SystemClock.Instance.UtcNow), Guid.NewGuid().ToString("N"));
    }

    /// <summary>Reads what a lock's file says; null where it does not say who holds it.</summary>
    public static LockHolder? Read(string text)
    {
        string[] lines = text.Split('\n');
        return lines.Length == 6 && int.TryParse(lines[2], NumberStyles.None, CultureInfo.InvariantCulture, out int process)
            ? new LockHolder(lines[0], lines[1], process, lines[3], lines[4], lines[5])
            : null;
    }

    /// <summary>What stands in the lock's file.</summary>
    public string Write() => string.Join("\n", Host, User, Process.ToString(CultureInfo.InvariantCulture), Start, Since, Mark);

    /// <summary>True for a process of another host.</summary>
    public bool IsElsewhere => !string.Equals(Host, Environment.MachineName, StringComparison.OrdinalIgnoreCase);

    /// <summary>True only where the process is one of this host and is known to be gone.</summary>
    public bool IsGone()
    {
        if (IsElsewhere)
        {
            return false;
        }

        try
        {
            using var process = System.Diagnostics.Process.GetProcessById(Process);
            return StartOf(process) != Start;
        }
        catch (Exception exception) when (exception is ArgumentException or InvalidOperationException)
        {
            return true;
        }
        catch (Exception exception) when (exception is Win32Exception or NotSupportedException or IOException or UnauthorizedAccessException)
        {
            // There is such a process, and the system does not say since when: it may well be the holder.
            return false;
        }
    }

    /// <summary>The holder for people.</summary>
    public override string ToString() => $"{User} on {Host}, process {Process.ToString(CultureInfo.InvariantCulture)}, since {Since}";

    // Where the system counts a process's start from its own boot, every process that asks gets the same figure, and setting the clock does not
    // change it; elsewhere the moment itself is kept by the system. Lines of that file hold the name in brackets first, which may contain anything.
    private static string StartOf(Process process)
    {
        string id = process.Id.ToString(CultureInfo.InvariantCulture);
        string stat = $"/proc/{id}/stat";
        const string Boot = "/proc/sys/kernel/random/boot_id";
        if (!File.Exists(Boot) || !File.Exists(stat))
        {
            return process.StartTime.ToUniversalTime().ToString("yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'", CultureInfo.InvariantCulture);
        }

        // proc(5): the start is field 22, and the name before it is field 2.
        string text = File.ReadAllText(stat);
        string[] fields = text.Substring(text.LastIndexOf(')') + 1).Split([' '], StringSplitOptions.RemoveEmptyEntries);
        return $"{fields[22 - 3]} ticks after boot {File.ReadAllText(Boot).Trim()}";
    }
}
