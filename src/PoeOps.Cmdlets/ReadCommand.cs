using System.Management.Automation;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>Reads controllers from the switches of an estate, from single agents, from captures or from saved walks, and hands each on.</summary>
public abstract partial class ReadCommand : PoeCommand
{
    private readonly List<string> _captures = [];

    private bool FromFiles => ParameterSetName is "Capture" or "LiteralCapture";

    /// <summary>The estate file. With captures and walks it is optional, and says what hangs on the ports.</summary>
    [Parameter(Mandatory = true, Position = 0, ParameterSetName = "Estate", ValueFromPipelineByPropertyName = true)]
    [Parameter(ParameterSetName = "Capture")]
    [Parameter(ParameterSetName = "LiteralCapture")]
    [Parameter(ParameterSetName = "Walk")]
    [Alias("EstatePath")]
    public string Estate { get; set; } = string.Empty;

    /// <summary>Files that hold what a device printed; wildcards are allowed, and a file of that very name comes first.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Capture", ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    public string[] Capture { get; set; } = [];

    /// <summary>Captures by their very names: no character stands for others. Files from the pipeline are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "LiteralCapture", ValueFromPipelineByPropertyName = true)]
    [Alias("FullName", "PSPath")]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>The dialect of the captures: a name, or the path of a dialect file.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Capture")]
    [Parameter(Mandatory = true, ParameterSetName = "LiteralCapture")]
    public string Dialect { get; set; } = string.Empty;

    /// <summary>
    /// The switches to read, by name; wildcards are allowed. With captures and walks, the one switch that all of them are of; without it each file is a
    /// switch of its own, named like the file.
    /// </summary>
    [Parameter]
    public string[] Switch { get; set; } = [];

    /// <summary>The sites to read, by name; wildcards are allowed.</summary>
    [Parameter(ParameterSetName = "Estate")]
    public string[] Site { get; set; } = [];

    /// <summary>User and password for the consoles. A rehearsal brings its own.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [Credential]
    public PSCredential? Credential { get; set; }

    /// <summary>The secret for elevation, where a console asks for another than the password.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [Credential]
    public PSCredential? ElevationCredential { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if (FromFiles)
        {
            _captures.AddRange(Capture.SelectMany(FilePaths).Concat(LiteralPath.Select(FilePath)));
        }
        else if (ParameterSetName == "Address")
        {
            ReadAddresses();
        }
        else if (ParameterSetName == "Walk")
        {
            ReadWalks();
        }
        else
        {
            ReadEstate(EstateAt(Estate));
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        if (FromFiles)
        {
            ReadCaptures();
        }
    }

    /// <summary>Hands a controller on.</summary>
    protected abstract void Emit(Controller controller);

    private void ReadEstate(EstateMap estate)
    {
        var dialects = new DialectFinder(estate);
        var secrets = new SecretSource(estate, Credential, ElevationCredential);
        var reading = new EstateReading(estate, new SwitchLinks(dialects.Find, secrets.Of, estate.Clock(), transcriptFolder: null));
        List<Switch> selected = Selected(estate);
        if (selected.Any(WantsSnmp))
        {
            ReadBySnmp(estate, selected, reading);
            return;
        }

        foreach (Switch place in selected)
        {
            Stopped.ThrowIfCancellationRequested();
            WriteVerbose($"Reading {place.Name} at {place.Address}.");
            Give(reading.Read(place));
        }
    }

    private List<Switch> Selected(EstateMap estate)
    {
        var wanted = NamePatterns.Of(Switch);
        var sites = NamePatterns.Of(Site);
        var selected = estate.Switches.Where(place => wanted.Fits(place.Name) && sites.Fits(place.Site)).ToList();
        if (selected.Count == 0)
        {
            WriteProblem(new Problem(
                ProblemId.NotInEstate,
                $"No switch of '{estate.Name}' fits {wanted.Describe("switch")} and {sites.Describe("site")}.",
                "Compare with the names in the estate file."));
        }

        return selected;
    }

    private void ReadCaptures()
    {
        EstateMap? estate = Estate.Length == 0 ? null : EstateAt(Estate);
        DialectResult found = FindDialect(Dialect, estate);
        Dialect dialect = Demand(found.Dialect, found.Problems);
        foreach (IGrouping<string, string> files in _captures.GroupBy(SwitchName, StringComparer.OrdinalIgnoreCase))
        {
            Stopped.ThrowIfCancellationRequested();
            Give(CaptureFiles.Read(dialect, files.Key, [.. files], estate, SystemClock.Instance.UtcNow));
        }
    }

    private string SwitchName(string file) => Switch.Length > 0 ? Switch[0] : CaptureName.SwitchOf(file);

    private EstateMap EstateAt(string path)
    {
        EstateResult result = EstateFile.Read(FilePath(path));
        return Demand(result.Estate, result.Problems);
    }

    private void Give(SwitchReading reading)
    {
        foreach (Controller controller in reading.Controllers)
        {
            Emit(controller);
        }

        WriteProblems(reading.Problems);
    }
}
