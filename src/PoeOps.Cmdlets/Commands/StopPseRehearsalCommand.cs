using System.Management.Automation;
using PoeOps.Rehearsal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Ends rehearsals: closes their consoles and deletes what they wrote. Without input, all of this process.</summary>
/// <example><code>$r | Stop-PseRehearsal</code><para>Ends one.</para></example>
/// <example><code>Stop-PseRehearsal</code><para>Ends all that this process started.</para></example>
/// <remarks>
/// <para>A rehearsal ends with its PowerShell as well.</para>
/// </remarks>
/// <whatif>Names each rehearsal that would be ended, and lets it run.</whatif>
/// <confirm>Asks before each rehearsal is ended.</confirm>
/// <seealso cref="StartPseRehearsalCommand"/>
/// <seealso topic="about_PoeOps_Rehearsal"/>
[Cmdlet(VerbsLifecycle.Stop, "PseRehearsal", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(void))]
public sealed class StopPseRehearsalCommand : PoeCommand
{
    private bool _named;

    /// <summary>A rehearsal as <c>Start-PseRehearsal</c> gives it.</summary>
    [Parameter(ValueFromPipeline = true, Position = 0)]
    public RunningRehearsal? InputObject { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if (InputObject is { } rehearsal)
        {
            _named = true;
            End(rehearsal);
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (_named || MyInvocation.ExpectingInput)
        {
            return;
        }

        foreach (RunningRehearsal rehearsal in RunningRehearsal.All)
        {
            End(rehearsal);
        }
    }

    private void End(RunningRehearsal rehearsal)
    {
        if (ShouldProcess(rehearsal.EstatePath, "End the rehearsal"))
        {
            rehearsal.Dispose();
        }
    }
}
