using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Rehearsal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Opens a simulated console on loopback for every switch of an estate, so that a dialect, a plan and a script can be tried before anything real is touched.
/// </summary>
/// <example><code>$r = Start-PseRehearsal -Estate .\examples\harbour.estate.json -Speed 60</code><para>Sixty times as fast as a real night.</para></example>
/// <example><code>Start-PseRehearsal .\examples\harbour.estate.json -Mishap 'quay-1/2:Program:StuckAt40'</code><para>One unit stops while it writes its firmware.</para></example>
/// <remarks>
/// <para>It listens at 127.0.0.1 alone, and reaches nothing. The estate that it gives back, EstatePath, has the same switches at those consoles: use it wherever the real one would stand.</para>
/// <para>What a rehearsal shows is how plan, dialect and script behave; how a real device behaves, only the device can show.</para>
/// </remarks>
/// <seealso cref="StopPseRehearsalCommand"/>
/// <seealso cref="InvokePseRefreshCommand"/>
/// <seealso cref="TestPseDialectCommand"/>
/// <seealso topic="about_PoeOps_Rehearsal"/>
[Cmdlet(VerbsLifecycle.Start, "PseRehearsal")]
[OutputType(typeof(RunningRehearsal))]
public sealed class StartPseRehearsalCommand : PoeCommand
{
    /// <summary>The estate to rehearse; its simulated devices are described in the world file beside it.</summary>
    [Parameter(Mandatory = true, Position = 0, ValueFromPipelineByPropertyName = true)]
    [Alias("EstatePath", "FullName")]
    public string Estate { get; set; } = string.Empty;

    /// <summary>How many seconds of the rehearsal go by in one second.</summary>
    [Parameter]
    [ValidateRange(1, RehearsalOptions.MostSpeed)]
    public double Speed { get; set; } = 60;

    /// <summary>Faults to play, each as switch or unit, stage and what happens, with colons between them.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(MishapCompleter))]
    [ValidateNotNull]
    public string[] Mishap { get; set; } = [];

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        string path = FilePath(Estate);
        RunningRehearsal rehearsal = Run(() => RehearsalEstate.Start(new RehearsalOptions { EstatePath = path, Speed = Speed, Mishaps = Mishap }));
        TellRead("the estate", path, $"{Counted(rehearsal.Switches.Count, "switch", "switches")} to rehearse, with {Counted(rehearsal.Mishaps.Count, "mishap")}");
        TellWritten("the estate of the rehearsal", rehearsal.EstatePath);
        foreach (RehearsalSwitch place in rehearsal.Switches)
        {
            WriteVerbose($"{place.Name} of the family '{place.Family}' listens at 127.0.0.1, TCP port {place.Port} for its console and UDP port {place.SnmpPort} for SNMP.");
        }

        WriteObject(rehearsal);
    }
}
