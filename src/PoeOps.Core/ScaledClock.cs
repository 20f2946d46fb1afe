namespace PoeOps;

/// <summary>
/// A clock that runs a fixed number of times faster than the machine's. Two of them made from the same figures agree, in one process or in two.
/// </summary>
public sealed class ScaledClock : Clock
{
    /// <summary>
    /// No deadline is shorter than this in the machine's time, whatever the speed: a hundred-fold night still has to be run by a real machine
    /// that now and then has other things to do.
    /// </summary>
    public static readonly TimeSpan ShortestDeadline = TimeSpan.FromSeconds(4);

    private readonly DateTime _machineStartUtc;
    private readonly DateTime _startUtc;

    /// <summary>Makes a clock that showed <paramref name="startUtc"/> when the machine's showed <paramref name="machineStartUtc"/>.</summary>
    /// <param name="speed">Seconds of this clock in one second of the machine; above 0.</param>
    /// <param name="machineStartUtc">The machine's time at the start, UTC.</param>
    /// <param name="startUtc">What this clock showed then, UTC.</param>
    public ScaledClock(double speed, DateTime machineStartUtc, DateTime startUtc)
    {
        Speed = speed > 0 ? speed : throw new ArgumentOutOfRangeException(nameof(speed), speed, "A clock's speed is above 0.");
        _machineStartUtc = machineStartUtc;
        _startUtc = startUtc;
    }

    /// <inheritdoc/>
    public override DateTime UtcNow => _startUtc + Scale(SystemClock.Instance.UtcNow - _machineStartUtc, Speed);

    /// <inheritdoc/>
    public override TimeSpan Elapsed => Scale(SystemClock.Instance.Elapsed, Speed);

    /// <inheritdoc/>
    public override double Speed { get; }

    /// <inheritdoc/>
    public override bool Wait(TimeSpan span, CancellationToken cancel) => SystemClock.Instance.Wait(Scale(span, 1 / Speed), cancel);

    /// <inheritdoc/>
    public override TimeSpan MachineTime(TimeSpan span)
    {
        TimeSpan machine = Scale(span, 1 / Speed);
        TimeSpan least = span < ShortestDeadline ? span : ShortestDeadline;
        return machine > least ? machine : least;
    }

    private static TimeSpan Scale(TimeSpan span, double factor) => TimeSpan.FromTicks((long)(span.Ticks * factor));
}
