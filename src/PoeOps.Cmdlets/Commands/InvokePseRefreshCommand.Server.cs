using System.Management.Automation;
using PoeOps.Images;
using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that says where the units fetch their images from.
public sealed partial class InvokePseRefreshCommand
{
    /// <summary>The host that the units fetch their image from: this machine as they see it. The estate's where not given.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? FileServer { get; set; }

    /// <summary>
    /// Lets the units fetch from this machine, by the module's own server: each image for its unit alone, while that is at work. That is so where nothing is said;
    /// with <c>-Resume</c> it takes the place of the file server that the run had.
    /// </summary>
    [Parameter]
    public SwitchParameter Serve { get; set; }

    /// <summary>
    /// Somebody else's file server, such as tftp://192.0.2.5, from which the units fetch in the place of this machine. Each image is fetched from it and compared
    /// before its unit starts.
    /// </summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? ImageServer { get; set; }

    /// <summary>The UDP port of the image server; 69 where not given.</summary>
    [Parameter]
    [ValidateRange(1, 65535)]
    public int? ServerPort { get; set; }

    private Problem? TwoServers() => Serve && ImageServer is not null
        ? new Problem(ProblemId.ImageServerTwice, $"The units are to fetch from this machine (-Serve) and from '{ImageServer}' (-ImageServer).", "Give one of the two.")
        : null;

    private ImageServing External(ImageServing own)
    {
        ExternalServer? server = ImageServer is null ? null : ExternalServer.Parse(ImageServer);
        return server is null ? own : own with { Host = server.Host, External = server };
    }
}
