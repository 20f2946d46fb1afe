using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that says that a run stops, and lets go of it where the process is made to end.
/// <remarks>
/// <para>Everything that the unit feeds is dark from Erase until its ports are powered again. Some loads keep people safe: inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.</para>
/// <para>A success message of a device is never believed: each unit is read again, and its loads and port settings are compared with those before.</para>
/// </remarks>
/// <whatif>Runs every gate of every unit against the real devices and says what would be done. No image is sent, no unit is changed, and neither journal nor transcript is written.</whatif>
/// <confirm>Asks before each unit: from which firmware to which, how many loads go dark for how long, and each life-safety load among them by name. It asks again before port settings are put back. With -Confirm:$false nobody is taken to be watching: a unit with life-safety loads is then refused unless the plan accepts it, and so is a link in clear that the estate does not allow.</confirm>
/// <seealso cref="NewPsePlanCommand"/>
/// <seealso cref="GetPseJournalCommand"/>
/// <seealso cref="StartPseRehearsalCommand"/>
/// <seealso cref="TestPseImageCommand"/>
/// <seealso topic="about_PoeOps_Refresh"/>
/// <seealso topic="about_PoeOps_StopAndResume"/>
/// <seealso topic="about_PoeOps_Unattended"/>
/// <seealso topic="about_PoeOps_Problems"/>
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
