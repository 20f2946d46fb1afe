using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that says that a run stops, and lets go of it where the process is made to end.
public sealed partial class InvokePseRefreshCommand
{
    /// <inheritdoc/>
    protected override void StopProcessing()
    {
        // The pipeline takes nothing more from here on, so the line goes to the host itself; nobody says it before the pipeline is known to be stopped.
        base.StopProcessing();
        _stop.Ask();
        SayStop(_notice?.Invoke());
    }

    private void SayStop(string? line)
    {
        if (line is not null)
        {
            WarnHost(line);
        }
    }

    // On a thread that the process's end calls: whatever cannot be written then can be told nobody.
    private static void Detach(RefreshRun run, string because)
    {
        try
        {
            run.Detach($"the process was made to end: {because}");
        }
        catch (PoeOpsException exception)
        {
            Console.Error.WriteLine(exception.Problem.Sentence);
        }
    }

    private void Say(string line, PipelinePump pump)
    {
        if (Stopped.IsCancellationRequested)
        {
            SayStop(line);
        }
        else
        {
            pump.Say(() => WriteWarning(line));
        }
    }
}
