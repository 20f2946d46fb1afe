using System.Management.Automation;
using PoeOps.Images;

namespace PoeOps.Cmdlets.Commands;

/// <summary>Ends image servers: transfers that run are broken off, and their clients are told. Without input, all of this process.</summary>
/// <example><code>$s | Stop-PseImageServer; $s.Transfers</code><para>Ends one, and shows who had fetched what.</para></example>
/// <example><code>Stop-PseImageServer</code><para>Ends all that this process started.</para></example>
/// <remarks>
/// <para>An image server ends with its PowerShell as well.</para>
/// </remarks>
/// <whatif>Names each server that would be ended, and lets it run.</whatif>
/// <confirm>Asks before each server is ended.</confirm>
/// <seealso cref="StartPseImageServerCommand"/>
/// <seealso topic="about_PoeOps_Images"/>
[Cmdlet(VerbsLifecycle.Stop, "PseImageServer", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(void))]
public sealed class StopPseImageServerCommand : PoeCommand
{
    private bool _named;

    /// <summary>A server as <c>Start-PseImageServer</c> gives it.</summary>
    [Parameter(ValueFromPipeline = true, Position = 0)]
    public ImageServer? InputObject { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if (InputObject is { } server)
        {
            _named = true;
            End(server);
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (_named || MyInvocation.ExpectingInput)
        {
            return;
        }

        foreach (ImageServer server in ImageServer.All)
        {
            End(server);
        }
    }

    private void End(ImageServer server)
    {
        if (ShouldProcess($"{server.Address}, port {server.Port}", "End the image server"))
        {
            server.Dispose();
        }
    }
}
