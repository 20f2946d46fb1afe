using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that shows how far the run is.
public sealed partial class InvokePseRefreshCommand
{
    private StageProgress? _shown;
    private Func<IReadOnlyList<PlannedUnit>> _remaining = () => [];

    // Reckoned on the run's thread, on which nothing else moves meanwhile, and shown when the pipeline's has time.
    private void Watch(StageProgress shown, RunProgress progress, PipelinePump pump)
    {
        StageProgress.Shown reckoned = shown.Of(progress, _remaining());
        pump.Show(() => shown.Show(reckoned));
    }
}
