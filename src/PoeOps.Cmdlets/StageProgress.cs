using System.Management.Automation;
using PoeOps.Refresh;

namespace PoeOps.Cmdlets;

/// <summary>Shows how far a run is, at most four times a second unless a stage begins.</summary>
internal sealed class StageProgress
{
    private static readonly TimeSpan Least = TimeSpan.FromMilliseconds(250);

    private readonly Cmdlet _cmdlet;
    private readonly Func<bool> _stopping;
    private TimeSpan _last = TimeSpan.MinValue;
    private string _stage = string.Empty;

    /// <summary>Shows through a cmdlet.</summary>
    /// <param name="cmdlet">The cmdlet, on whose thread everything is shown.</param>
    /// <param name="stopping">True once the pipeline takes no more.</param>
    public StageProgress(Cmdlet cmdlet, Func<bool> stopping)
    {
        _cmdlet = cmdlet;
        _stopping = stopping;
    }

    /// <summary>Shows how far a unit is.</summary>
    public void Show(RunProgress progress)
    {
        string stage = $"{progress.Unit} {progress.Stage}";
        TimeSpan now = SystemClock.Instance.Elapsed;
        if (_stopping() || (stage == _stage && now - _last < Least))
        {
            return;
        }

        _stage = stage;
        _last = now;
        try
        {
            _cmdlet.WriteProgress(new ProgressRecord(1, "Refreshing PSE controllers", $"{progress.Index} of {progress.Total}: {progress.Unit}")
            {
                CurrentOperation = PlainText.Of($"{progress.Stage}: {progress.Text}"),
                PercentComplete = progress.Percent ?? -1,
            });
        }
        catch (PipelineStoppedException)
        {
            // The pipeline was stopped in between; the unit is still watched to its end.
            _last = now;
        }
    }
}
