namespace PoeOps.Refresh;

/// <summary>
/// How often progress is shown: four times a second of the machine at the most, and whenever a stage begins. What came too soon is kept, so that the last
/// of a stage can still be shown at its end.
/// </summary>
/// <param name="clock">The machine's clock.</param>
public sealed class ProgressPace(Clock clock)
{
    /// <summary>The least time between two updates of one stage.</summary>
    public static TimeSpan Least { get; } = TimeSpan.FromMilliseconds(250);

    private TimeSpan? _last;
    private (int Index, Stage Stage)? _stage;

    /// <summary>Takes an update.</summary>
    /// <param name="progress">The update.</param>
    /// <returns>True where it is to be shown now.</returns>
    public bool Takes(RunProgress progress)
    {
        (int Index, Stage Stage) stage = (progress.Index, progress.Stage);
        if (stage == _stage && _last is { } last && clock.Elapsed - last < Least)
        {
            Kept = progress;
            return false;
        }

        _stage = stage;
        _last = clock.Elapsed;
        Kept = null;
        return true;
    }

    /// <summary>The newest update where it came too soon to be shown; null where the newest was shown.</summary>
    public RunProgress? Kept { get; private set; }
}
