using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Devices;

/// <summary>What the simulated devices did, in the order in which it happened; safe to read while they work.</summary>
internal sealed class DeviceLog(Clock clock)
{
    // Enough for thousands of refreshes; what comes after is counted, not kept.
    private const int MostEntries = 2_000_000;

    private readonly List<DeviceEntry> _entries = [];

    // Both are taken once: a thread that is put aside between two readings of the clock must not shift an entry.
    private readonly (DateTime Utc, TimeSpan Elapsed) _start = Start(clock);

    /// <summary>How many entries came when the log was full.</summary>
    public int LeftOut { get; private set; }

    /// <summary>A copy of what was written so far, in order of time.</summary>
    public IReadOnlyList<DeviceEntry> Entries
    {
        get
        {
            lock (_entries)
            {
                return [.. _entries.OrderBy(entry => entry.Utc)];
            }
        }
    }

    /// <summary>Writes an entry of now.</summary>
    public void Write(DeviceEntryKind kind, string switchName, string unit, string text, Stage? stage = null) =>
        Write(kind, switchName, unit, text, stage, clock.Elapsed);

    /// <summary>Writes an entry of a moment that has gone by: a unit that nobody looked at catches up when somebody does.</summary>
    /// <param name="kind">What it was.</param>
    /// <param name="switchName">The switch.</param>
    /// <param name="unit">The unit; empty for the switch as a whole.</param>
    /// <param name="text">The same in words.</param>
    /// <param name="at">When, in the clock's time gone by.</param>
    public void WriteAt(DeviceEntryKind kind, string switchName, string unit, string text, TimeSpan at) =>
        Write(kind, switchName, unit, text, null, at);

    private void Write(DeviceEntryKind kind, string switchName, string unit, string text, Stage? stage, TimeSpan at)
    {
        DateTime utc = _start.Utc + (at - _start.Elapsed);
        lock (_entries)
        {
            if (_entries.Count == MostEntries)
            {
                LeftOut++;
                return;
            }

            _entries.Add(new DeviceEntry(utc, switchName, unit, kind, text) { Stage = stage });
        }
    }

    // On a fast clock a moment between the two readings is minutes: the pair of several that was taken in the shortest time is the truest.
    private static (DateTime Utc, TimeSpan Elapsed) Start(Clock clock) =>
        Enumerable.Range(0, 5).Select(_ => (Before: clock.Elapsed, clock.UtcNow, After: clock.Elapsed)).OrderBy(one => one.After - one.Before)
            .Select(one => (one.UtcNow, one.Before + TimeSpan.FromTicks((one.After - one.Before).Ticks / 2))).First();
}
