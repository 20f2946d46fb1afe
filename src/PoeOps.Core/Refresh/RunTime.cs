namespace PoeOps.Refresh;

/// <summary>
/// What time it is in a run, whose machine's clock may be set while it goes on. Counted from the run's beginning the time never jumps; where the two
/// disagree nobody knows which is right, and so both are held against a window.
/// </summary>
internal sealed class RunTime
{
    private static readonly TimeSpan LeastJump = TimeSpan.FromSeconds(60);
    private static readonly TimeSpan LeastJumpOfMachine = TimeSpan.FromMilliseconds(250);

    private readonly Clock _clock;
    private readonly DateTime _startUtc;
    private readonly TimeSpan _start;
    private TimeSpan _told;

    /// <summary>Begins to count.</summary>
    public RunTime(Clock clock)
    {
        _clock = clock;
        _startUtc = clock.UtcNow;
        _start = clock.Elapsed;
    }

    /// <summary>The earlier of what the clock shows and what was counted.</summary>
    public DateTime Earliest => _clock.UtcNow < Counted ? _clock.UtcNow : Counted;

    /// <summary>The later of what the clock shows and what was counted.</summary>
    public DateTime Latest => _clock.UtcNow > Counted ? _clock.UtcNow : Counted;

    private DateTime Counted => _startUtc + (_clock.Elapsed - _start);

    /// <summary>By how much the clock was set since this was asked the last time.</summary>
    /// <returns>Null where it was not; on a fast clock, less than a moment of the machine is nothing.</returns>
    public TimeSpan? Jump()
    {
        TimeSpan ahead = _clock.UtcNow - Counted;
        TimeSpan jump = ahead - _told;
        TimeSpan fast = TimeSpan.FromTicks((long)(LeastJumpOfMachine.Ticks * _clock.Speed));
        if (jump.Duration() < (fast > LeastJump ? fast : LeastJump))
        {
            return null;
        }

        _told = ahead;
        return jump;
    }
}
