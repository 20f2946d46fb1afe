using System.Diagnostics;

namespace PoeOps;

/// <summary>The machine's own clock. The one place where the machine is asked for the time.</summary>
public sealed class SystemClock : Clock
{
    private SystemClock()
    {
    }

    /// <summary>The one there is; safe to use from any thread.</summary>
    public static SystemClock Instance { get; } = new();

    /// <inheritdoc/>
    public override DateTime UtcNow => DateTime.UtcNow;

    /// <inheritdoc/>
    public override TimeSpan Elapsed => TimeSpan.FromSeconds(Stopwatch.GetTimestamp() / (double)Stopwatch.Frequency);

    /// <inheritdoc/>
    public override double Speed => 1;

    /// <inheritdoc/>
    public override bool Wait(TimeSpan span, CancellationToken cancel) =>
        span <= TimeSpan.Zero ? !cancel.IsCancellationRequested : !cancel.WaitHandle.WaitOne(span);

    /// <inheritdoc/>
    public override TimeSpan MachineTime(TimeSpan span) => span;
}
