namespace PoeOps.Terminal;

/// <summary>
/// Pauses between attempts that grow: 1, 2, 4, 8 and then 15 s. Together they are no longer than the patience, the last one as long as what is left of it;
/// attempts that take long themselves end it sooner.
/// </summary>
internal sealed class BackOff
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(15);

    private readonly Clock _clock;
    private readonly CancellationToken _stop;
    private readonly Deadline _deadline;
    private TimeSpan _next = TimeSpan.FromSeconds(1);
    private TimeSpan _left;

    /// <summary>Begins to count.</summary>
    /// <param name="clock">Counts the pauses.</param>
    /// <param name="patience">For how long it may be tried again.</param>
    /// <param name="stop">Ends a pause at once, and allows no other.</param>
    public BackOff(Clock clock, TimeSpan patience, CancellationToken stop)
    {
        _clock = clock;
        _stop = stop;
        _left = patience;
        _deadline = clock.DeadlineIn(patience);
    }

    /// <summary>Waits until the next attempt.</summary>
    /// <returns>False where there is none: the patience is over, or a stop was asked for.</returns>
    public bool Wait()
    {
        if (_left <= TimeSpan.Zero || _deadline.HasPassed || _stop.IsCancellationRequested)
        {
            return false;
        }

        TimeSpan pause = _next < _left ? _next : _left;
        _left -= pause;
        _next = _next + _next < Longest ? _next + _next : Longest;
        return _clock.Wait(pause, _stop);
    }
}
