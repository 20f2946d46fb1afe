using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that shows how far the run is, and tells its story where somebody wants it.
public sealed partial class InvokePseRefreshCommand
{
    private StageProgress? _shown;
    private Func<IReadOnlyList<PlannedUnit>> _remaining = () => [];

    private volatile bool _pumpIsOver;

    // Each entry that is on disk, in words: said when the pipeline's thread has time, so that the run waits for nobody who reads.
    private IRunRecord Told(IRunRecord record, PipelinePump pump) => ShowsVerbose ? new ToldRecord(record, line => Narrate(line, pump)) : record;

    private void Narrate(string line, PipelinePump pump)
    {
        if (_pumpIsOver)
        {
            UnlessStopped(() => WriteVerbose(line));
        }
        else
        {
            SayBeside(() => WriteVerbose(line), pump);
        }
    }

    // Reckoned on the run's thread, on which nothing else moves meanwhile, and shown when the pipeline's has time.
    private void Watch(StageProgress shown, RunProgress progress, PipelinePump pump)
    {
        StageProgress.Shown reckoned = shown.Of(progress, _remaining());
        pump.Show(() => shown.Show(reckoned));
    }
}
