namespace PoeOps.Refresh;

/// <summary>
/// A clock that adds up what goes by in its waits and in people's answers, in the machine's time. Together with what a link waited, it tells our own time
/// from everybody else's.
/// </summary>
internal sealed class UnitTime : Clock
{
    private readonly Clock _clock;
    private readonly TimeSpan _start = SystemClock.Instance.Elapsed;
    private readonly Waits _others = new();

    /// <summary>Begins to count.</summary>
    public UnitTime(Clock clock) => _clock = clock;

    /// <inheritdoc/>
    public override DateTime UtcNow => _clock.UtcNow;

    /// <inheritdoc/>
    public override TimeSpan Elapsed => _clock.Elapsed;

    /// <inheritdoc/>
    public override double Speed => _clock.Speed;

    /// <inheritdoc/>
    public override TimeSpan MachineTime(TimeSpan span) => _clock.MachineTime(span);

    /// <inheritdoc/>
    public override bool Wait(TimeSpan span, CancellationToken cancel) => Others(() => _clock.Wait(span, cancel));

    /// <summary>Does what is not ours to hurry.</summary>
    public T Others<T>(Func<T> work) => _others.Count(work);

    /// <summary>What of the machine's time since the beginning was ours, and what went by in waiting.</summary>
    /// <param name="link">What the link waited for the device; null where there is none.</param>
    public (double OwnSeconds, double WaitedSeconds) Sum(IUnitLink? link)
    {
        TimeSpan waited = _others.Total + (link?.Waited ?? TimeSpan.Zero);
        TimeSpan all = SystemClock.Instance.Elapsed - _start;
        return (Math.Round(Math.Max(0, (all - waited).TotalSeconds), 3), Math.Round(waited.TotalSeconds, 3));
    }
}
