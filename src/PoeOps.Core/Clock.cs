namespace PoeOps;

/// <summary>What time it is, and how to wait. Handed to everything that asks, so that a rehearsal can run faster than a night.</summary>
public abstract class Clock
{
    /// <summary>The time of day, UTC. May jump when the machine's clock is set.</summary>
    public abstract DateTime UtcNow { get; }

    /// <summary>Time that has gone by since some fixed moment. Never jumps, never runs backwards.</summary>
    public abstract TimeSpan Elapsed { get; }

    /// <summary>How many seconds of this clock go by in one second of the machine: 1, or more in a rehearsal.</summary>
    public abstract double Speed { get; }

    /// <summary>Waits for a span of this clock.</summary>
    /// <param name="span">How long, in this clock's time.</param>
    /// <param name="cancel">Ends the wait early.</param>
    /// <returns>True when the span went by, false when the wait was cancelled.</returns>
    public abstract bool Wait(TimeSpan span, CancellationToken cancel);

    /// <summary>A moment by which something must have happened, counted from now.</summary>
    /// <param name="span">How long, in this clock's time.</param>
    public Deadline DeadlineIn(TimeSpan span) => new(this, span);

    /// <summary>The machine's time that a deadline of this clock stands for.</summary>
    /// <param name="span">How long, in this clock's time.</param>
    /// <returns>How long to block at the most.</returns>
    public abstract TimeSpan MachineTime(TimeSpan span);
}
