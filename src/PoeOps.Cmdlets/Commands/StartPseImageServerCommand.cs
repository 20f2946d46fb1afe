using System.Management.Automation;
using System.Net;
using PoeOps.Baselines;
using PoeOps.Calendar;
using PoeOps.Cmdlets.Completion;
using PoeOps.Estate;
using PoeOps.Images;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Serves images over TFTP: the files that are named, or the approved images of a baseline and nothing else, each by its own name and only to the clients that
/// are named. It listens at the one local address that reaches them, which the result says, until <c>Stop-PseImageServer</c> or this PowerShell ends it.
/// </summary>
/// <example><code>$s = Start-PseImageServer -Path .\images -Baseline .\winter.baseline.json -Estate .\harbour.estate.json</code><para>The approved images in a folder, for every switch of an estate. Each is checked first.</para></example>
/// <example><code>$s = Start-PseImageServer .\images\kelp-3.10.2.img -Client 192.0.2.11, 192.0.2.12 -Port 6969; $s.Transfers</code><para>One file for two switches; then who has fetched what, and how it ended.</para></example>
/// <remarks>
/// <para>TFTP knows no password, and carries the image in clear. Only the clients that are named are answered, and only the files that are named are read; nothing is ever taken in.</para>
/// <para>A run of Invoke-PseRefresh serves its images itself; this is for units that are loaded by hand, and to try what a switch can reach.</para>
/// </remarks>
/// <whatif>Says what would be served, to how many clients and at which port; no port is opened.</whatif>
/// <confirm>Asks before the port is opened.</confirm>
/// <seealso cref="StopPseImageServerCommand"/>
/// <seealso cref="TestPseImageCommand"/>
/// <seealso cref="InvokePseRefreshCommand"/>
/// <seealso topic="about_PoeOps_Images"/>
[Cmdlet(VerbsLifecycle.Start, "PseImageServer", DefaultParameterSetName = "Path", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(ImageServer))]
public sealed class StartPseImageServerCommand : PoeCommand
{
    private readonly List<string> _paths = [];

    /// <summary>The files to serve; with <c>-Baseline</c>, the folder that holds its images, or some of them. Wildcards are allowed, and what has that very name comes first.</summary>
    [Parameter(Mandatory = true, Position = 0, ParameterSetName = "Path", ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    public string[] Path { get; set; } = [];

    /// <summary>The same by their very names: no character stands for others. Files and folders from the pipeline are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "LiteralPath", ValueFromPipelineByPropertyName = true)]
    [Alias("FullName", "PSPath")]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>The baseline file: nothing but its approved images is served, and none that is not whole.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? Baseline { get; set; }

    /// <summary>Who may fetch: addresses of IPv4 or IPv6, or names that stand for one. Nobody else may.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string[] Client { get; set; } = [];

    /// <summary>An estate file, whose switches may fetch.</summary>
    [Parameter]
    [Alias("EstatePath")]
    [ValidateNotNullOrEmpty]
    public string? Estate { get; set; }

    /// <summary>The switches of the estate that may fetch, by name; wildcards are allowed. All where not given.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(SwitchPatternCompleter))]
    [ValidateNotNullOrEmpty]
    public string[] Switch { get; set; } = [];

    /// <summary>The local address to listen at. The one that reaches the clients where not given.</summary>
    [Parameter]
    [ValidateNotNull]
    public IPAddress? Address { get; set; }

    /// <summary>The UDP port: 69 where not given, which is the one that most devices ask. 0 takes any that is free.</summary>
    [Parameter]
    [ValidateRange(0, 65535)]
    public int Port { get; set; } = ImageServerOptions.TftpPort;

    /// <inheritdoc/>
    protected override void ProcessRecord() => _paths.AddRange(Path.SelectMany(Places).Concat(LiteralPath.Select(FilePath)));

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (_paths.Count == 0)
        {
            return;
        }

        EstateMap? estate = Estate is null ? null : ReadEstate(Estate);
        var options = new ImageServerOptions
        {
            Paths = _paths,
            Baseline = Baseline is null ? null : ReadBaseline(Baseline),
            Clients = [.. Client, .. estate is null ? [] : Selected(estate)],
            Address = Address,
            Port = Port,
            Clock = estate?.Clock() ?? SystemClock.Instance,
        };
        if (ShouldProcess($"{string.Join(", ", _paths)}, to {options.Clients.Count} client{(options.Clients.Count == 1 ? string.Empty : "s")}", $"Serve over TFTP at port {Port}"))
        {
            ImageServerResult result = Run(() => ImageServer.Start(options));
            if (result.Server is null)
            {
                Demand(result.Server, result.Problems);
            }

            WriteProblems(result.Problems);
            WriteVerbose($"Listening at {result.Server!.Address}, port {result.Server.Port}.");
            WriteObject(result.Server);
        }
    }

    private IReadOnlyList<string> Places(string path)
    {
        string literal = FilePath(path);
        return Directory.Exists(literal) ? [literal] : FilePaths(path);
    }

    private EstateMap ReadEstate(string path)
    {
        EstateResult result = CheckedEstate.Read(FilePath(path));
        return Demand(result.Estate, result.Problems);
    }

    private Baseline ReadBaseline(string path)
    {
        BaselineResult result = BaselineFile.Read(FilePath(path));
        return Demand(result.Baseline, result.Problems);
    }

    private string[] Selected(EstateMap estate)
    {
        var wanted = NamePatterns.Of(Switch);
        string[] addresses = [.. estate.Switches.Where(place => wanted.Fits(place.Name)).Select(place => place.Address)];
        if (addresses.Length == 0)
        {
            Fail(new Problem(ProblemId.NotInEstate, $"No switch of '{estate.Name}' fits {wanted.Describe("switch")}.", "Compare with the names in the estate file."));
        }

        return addresses;
    }
}
