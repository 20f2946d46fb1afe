namespace PoeOps;

/// <summary>A moment by which something must have happened. Counted in time gone by, so setting the machine's clock does not move it.</summary>
public sealed class Deadline
{
    private readonly TimeSpan _machineEnd;

    internal Deadline(Clock clock, TimeSpan span)
    {
        Span = span;
        _machineEnd = SystemClock.Instance.Elapsed + clock.MachineTime(span);
    }

    /// <summary>How long it was when it was set, in its clock's time.</summary>
    public TimeSpan Span { get; }

    /// <summary>True from the moment itself on.</summary>
    public bool HasPassed => MachineTimeLeft == TimeSpan.Zero;

    /// <summary>The machine's time until the moment; zero when it has passed.</summary>
    public TimeSpan MachineTimeLeft
    {
        get
        {
            TimeSpan left = _machineEnd - SystemClock.Instance.Elapsed;
            return left > TimeSpan.Zero ? left : TimeSpan.Zero;
        }
    }
}
