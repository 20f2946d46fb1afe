using System.Management.Automation;
using PoeOps.Baselines;
using PoeOps.Images;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Checks the images that a baseline names, in a folder, as files or on a file server: found, size, SHA-256, the family that the image says itself, and the
/// version in its name. One row each. From a server each is really fetched, as a unit would fetch it.
/// </summary>
/// <example><code>Test-PseImage -Path .\images -Baseline .\winter.baseline.json</code><para>A row for every image that the baseline names, hops included.</para></example>
/// <example><code>Test-PseImage -Uri tftp://192.0.2.5/ -Baseline .\winter.baseline.json -Quiet</code><para>True when every one of them comes whole from that server.</para></example>
/// <example><code>Get-ChildItem .\images\*.img | Test-PseImage -Baseline .\winter.baseline.json</code><para>A row for every file, those that the baseline does not name as well.</para></example>
/// <remarks>
/// <para>A digest is only as good as where it comes from: take the one in the baseline from whoever made the image, over another way than the image itself.</para>
/// </remarks>
/// <seealso cref="StartPseImageServerCommand"/>
/// <seealso cref="TestPseDriftCommand"/>
/// <seealso topic="about_PoeOps_Images"/>
/// <seealso topic="about_PoeOps_Baseline"/>
[Cmdlet(VerbsDiagnostic.Test, "PseImage", DefaultParameterSetName = "Path")]
[OutputType(typeof(ImageVerdict), typeof(bool))]
public sealed class TestPseImageCommand : PoeCommand
{
    private IReadOnlyList<ImageUse> _uses = [];
    private SshFiles? _ssh;
    private bool _good = true;
    private bool _any;

    /// <summary>The folder that holds the images, or images; wildcards are allowed, and a file or folder of that very name comes first.</summary>
    [Parameter(Mandatory = true, Position = 0, ParameterSetName = "Path", ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    [Alias("ImageFolder")]
    public string[] Path { get; set; } = [];

    /// <summary>The folder, or images, by their very names: no character stands for others. Files and folders from the pipeline are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "LiteralPath", ValueFromPipelineByPropertyName = true)]
    [Alias("FullName", "PSPath")]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>
    /// The server that holds the images, such as tftp://192.0.2.5/ or tftp://files.example.org:6969/pse/a.img. What has a full stop in its last part and
    /// no slash behind it is one image. sftp:// and scp:// need a module for SSH, which is named where it is missing.
    /// </summary>
    [Parameter(Mandatory = true, ParameterSetName = "Uri", ValueFromPipelineByPropertyName = true)]
    public string[] Uri { get; set; } = [];

    /// <summary>The baseline file.</summary>
    [Parameter(Mandatory = true, Position = 1)]
    public string Baseline { get; set; } = string.Empty;

    /// <summary>
    /// Octets in a block: what to ask a TFTP server for (1428 where not given), or what the server will use that is to serve a folder. An image that takes more
    /// than 65535 of them is warned about.
    /// </summary>
    [Parameter]
    [ValidateRange(8, 65464)]
    public int? BlockSize { get; set; }

    /// <summary>How long the fetch of one image over TFTP may take at the most.</summary>
    [Parameter(ParameterSetName = "Uri")]
    public TimeSpan Deadline { get; set; } = TimeSpan.FromMinutes(10);

    /// <summary>User and password for sftp and scp; with <c>-KeyFile</c>, user and passphrase.</summary>
    [Parameter(ParameterSetName = "Uri")]
    [Credential]
    public PSCredential? Credential { get; set; }

    /// <summary>A private key for sftp and scp.</summary>
    [Parameter(ParameterSetName = "Uri")]
    [ValidateNotNullOrEmpty]
    public string? KeyFile { get; set; }

    /// <summary>Accepts the host key of a server for sftp or scp that was never reached before, without asking, and keeps it. A key that has changed is refused all the same.</summary>
    [Parameter(ParameterSetName = "Uri")]
    public SwitchParameter TrustNewHost { get; set; }

    /// <summary>The file that keeps the host keys of SSH servers; one of this user's own on this machine where not given.</summary>
    [Parameter(ParameterSetName = "Uri")]
    [ValidateNotNullOrEmpty]
    public string? HostKeyPath { get; set; }

    /// <summary>Gives one Boolean instead of rows: true when there is any image and every one is whole. Warnings make no difference to it.</summary>
    [Parameter]
    public SwitchParameter Quiet { get; set; }

    /// <inheritdoc/>
    protected override void BeginProcessing()
    {
        BaselineResult result = BaselineFile.Read(FilePath(Baseline));
        Baseline baseline = Demand(result.Baseline, result.Problems);
        _uses = baseline.ImageUses;
        TellRead("the baseline", FilePath(Baseline), $"{Counted(baseline.Entries.Count, "entry", "entries")} and {Counted(_uses.Count, "image")}");
    }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        foreach (string place in Path.SelectMany(Places).Concat(LiteralPath.Select(FilePath)))
        {
            WriteVerbose($"Looking at '{place}'.");
            Tell(ImageCheck.CheckAll(place, _uses, BlockSize));
        }

        foreach (string uri in Uri)
        {
            WriteVerbose($"Fetching from {uri}.");
            Tell(On(uri));
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        _ssh?.Close();
        if (Quiet)
        {
            WriteObject(_good && _any);
        }
    }

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _ssh?.Dispose();
        }

        base.Dispose(disposing);
    }

    private IReadOnlyList<string> Places(string path)
    {
        string literal = FilePath(path);
        IReadOnlyList<string> places = Directory.Exists(literal) ? [literal] : FilePaths(path);
        _good &= places.Count > 0;
        return places;
    }

    private void Tell(IEnumerable<ImageVerdict> verdicts)
    {
        foreach (ImageVerdict verdict in verdicts)
        {
            _any = true;
            _good &= verdict.Good;
            WriteVerbose($"{verdict.File}: {verdict.Reason}");
            foreach (Problem caution in verdict.Warnings)
            {
                WriteWarning(caution.ToString());
            }

            if (!Quiet)
            {
                WriteObject(verdict);
            }
        }
    }

    // What is wrong with the address or the way there concerns this server alone; others may follow in the pipeline.
    private IEnumerable<ImageVerdict> On(string uri)
    {
        try
        {
            var address = ImageAddress.Parse(uri);
            return address.Scheme == "tftp"
                ? ServerCheck.CheckAll(address, _uses, new TftpClientOptions { BlockSize = BlockSize ?? new TftpClientOptions().BlockSize, Deadline = Deadline }, Stopped)
                : OverSsh(address);
        }
        catch (PoeOpsException exception)
        {
            _good = false;
            WriteProblem(exception.Problem, uri);
            return [];
        }
    }

    private IEnumerable<ImageVerdict> OverSsh(ImageAddress address)
    {
        _ssh ??= new SshFiles(new PoshSsh(SessionState), HostKeys(HostKeyPath, TrustNewHost), KeyFile is null ? null : FilePath(KeyFile), Stopped);
        _ssh.Load(address);
        if (Credential is null)
        {
            throw new PoeOpsException(new Problem(ProblemId.SecretMissing, $"The file server {address.Host} wants a user and a secret, and none were given.", "Give them with -Credential."));
        }

        IReadOnlyList<ImageUse> wanted = address.Choose(_uses, out ImageVerdict? notNamed);
        return notNamed is null ? wanted.Select(use => OverSsh(address, use)) : [notNamed];
    }

    private ImageVerdict OverSsh(ImageAddress address, ImageUse use)
    {
        string place = address.Of(use.Image.File);
        try
        {
            string path = _ssh!.Fetch(address, use.Image.File, use.Image.Bytes, Credential!);
            return ImageCheck.Fetched(path, place, use);
        }
        catch (PoeOpsException exception)
        {
            return ImageCheck.NotFetched(use, place, exception.Problem with { File = place });
        }
    }
}
