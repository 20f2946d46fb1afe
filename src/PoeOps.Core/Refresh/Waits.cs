namespace PoeOps.Refresh;

/// <summary>Adds up the machine's time that went by in waiting for others, so that it can be told from our own. For one thread at a time.</summary>
internal sealed class Waits
{
    /// <summary>The machine's time so far.</summary>
    public TimeSpan Total { get; set; }

    /// <summary>Does what waits, and counts it.</summary>
    public T Count<T>(Func<T> wait)
    {
        TimeSpan start = SystemClock.Instance.Elapsed;
        try
        {
            return wait();
        }
        finally
        {
            Total += SystemClock.Instance.Elapsed - start;
        }
    }
}
