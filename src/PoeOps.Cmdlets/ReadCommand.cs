using System.Management.Automation;
using PoeOps.Calendar;
using PoeOps.Cmdlets.Completion;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>Reads controllers from the switches of an estate, from single agents, from captures or from saved walks, and hands each on.</summary>
public abstract partial class ReadCommand : LinkCommand
{
    private readonly List<string> _captures = [];

    // An estate may come down the pipeline more than once.
    private readonly HashSet<(string Address, int Port)> _warned = [];

    private bool FromFiles => ParameterSetName is "Capture" or "LiteralCapture";

    /// <summary>The estate file. With captures and walks it is optional, and says what hangs on the ports.</summary>
    [Parameter(Mandatory = true, Position = 0, ParameterSetName = "Estate", ValueFromPipelineByPropertyName = true)]
    [Parameter(ParameterSetName = "Capture")]
    [Parameter(ParameterSetName = "LiteralCapture")]
    [Parameter(ParameterSetName = "Walk")]
    [Alias("EstatePath")]
    [ValidateNotNullOrEmpty]
    public string Estate { get; set; } = string.Empty;

    /// <summary>Files that hold what a device printed; wildcards are allowed, and a file of that very name comes first.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Capture", ValueFromPipeline = true, ValueFromPipelineByPropertyName = true)]
    [ValidateNotNullOrEmpty]
    public string[] Capture { get; set; } = [];

    /// <summary>Captures by their very names: no character stands for others. Files from the pipeline are taken so.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "LiteralCapture", ValueFromPipelineByPropertyName = true)]
    [Alias("FullName", "PSPath")]
    [ValidateNotNullOrEmpty]
    public string[] LiteralPath { get; set; } = [];

    /// <summary>The dialect of the captures: a name, or the path of a dialect file.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Capture")]
    [Parameter(Mandatory = true, ParameterSetName = "LiteralCapture")]
    [ArgumentCompleter(typeof(DialectCompleter))]
    public string Dialect { get; set; } = string.Empty;

    /// <summary>
    /// The switches to read, by name; wildcards are allowed. With captures and walks, the one switch that all of them are of; without it each file is a
    /// switch of its own, named like the file.
    /// </summary>
    [Parameter]
    [ArgumentCompleter(typeof(SwitchPatternCompleter))]
    [ValidateNotNullOrEmpty]
    public string[] Switch { get; set; } = [];

    /// <summary>The sites to read, by name; wildcards are allowed.</summary>
    [Parameter(ParameterSetName = "Estate")]
    [ArgumentCompleter(typeof(SitePatternCompleter))]
    [ValidateNotNullOrEmpty]
    public string[] Site { get; set; } = [];

    /// <inheritdoc/>
    [Parameter(ParameterSetName = "Estate")]
    [Credential]
    public override PSCredential? Credential { get; set; }

    /// <inheritdoc/>
    [Parameter(ParameterSetName = "Estate")]
    [Credential]
    public override PSCredential? ElevationCredential { get; set; }

    /// <inheritdoc/>
    [Parameter(ParameterSetName = "Estate")]
    public override object? CredentialMap { get; set; }

    /// <inheritdoc/>
    [Parameter(ParameterSetName = "Estate")]
    [ValidateNotNullOrEmpty]
    public override string? KeyFile { get; set; }

    /// <inheritdoc/>
    [Parameter(ParameterSetName = "Estate")]
    [ValidateNotNull]
    public override PSObject[] SshSession { get; set; } = [];

    /// <inheritdoc/>
    [Parameter(ParameterSetName = "Estate")]
    public override SwitchParameter TrustNewHost { get; set; }

    /// <inheritdoc/>
    [Parameter(ParameterSetName = "Estate")]
    [ValidateNotNullOrEmpty]
    public override string? HostKeyPath { get; set; }

    /// <summary>
    /// How many switches are read at once, 1 to 256. With 1 they are read in the order of the estate; else the controllers of each come when it is read.
    /// 1 where it is left out, and 16 where SNMP alone is spoken.
    /// </summary>
    [Parameter(ParameterSetName = "Estate")]
    [Parameter(ParameterSetName = "Address")]
    [ValidateRange(1, EstateReading.MostAtOnce)]
    public int? ThrottleLimit { get; set; }

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
        List<Switch> places = Selected(estate);
        if (ClearTextRuleOf(estate).Warning(places.Where(place => WantsConsole(place) && _warned.Add((place.Address, place.TcpPort)))) is { } warning)
        {
            WriteWarning(warning);
        }

        using PipelinePump pump = new();
        SnmpAsking? snmp = places.Any(WantsSnmp) ? new SnmpAsking(Access(estate), WantsSnmp, WantsConsole) { Heard = HeardBy(pump) } : null;
        var reading = new EstateReading(estate, Links(estate, transcripts: null, pump)) { Snmp = snmp };
        void Begin(Switch place) => pump.Say(() => WriteVerbose($"Reading {place.Name} at {place.Address}{Ways(place)}."));
        int most = ThrottleLimit ?? (places.Any(WantsConsole) ? 1 : SnmpAtOnce);
        GiveEach(reading.ReadMany(places, most, Begin, Stopped), pump);
    }

    // Waited for, so that no more is read ahead than what whoever comes next in the pipeline takes.
    private void GiveEach(IEnumerable<SwitchReading> readings, PipelinePump pump) => _ = pump.Run(() =>
    {
        foreach (SwitchReading one in readings)
        {
            _ = pump.OnPipeline(() => Give(one));
        }

        return true;
    });

    private List<Switch> Selected(EstateMap estate)
    {
        var wanted = NamePatterns.Of(Switch);
        var sites = NamePatterns.Of(Site);
        var selected = estate.Switches.Where(place => wanted.Fits(place.Name) && sites.Fits(place.Site)).ToList();
        List<Problem> fitless = [.. NotInEstate(estate, "site", sites, [.. estate.Sites.Select(site => site.Name)]), .. NotInEstate(estate, "switch", wanted, [.. estate.Switches.Select(place => place.Name)])];
        WriteProblems(fitless);
        if (selected.Count == 0 && fitless.Count == 0)
        {
            WriteProblem(new Problem(
                ProblemId.NotInEstate,
                $"No switch of '{estate.Name}' fits {wanted.Describe("switch")} and {sites.Describe("site")}.",
                "Compare with the names in the estate file."));
        }

        if (selected.Count > 0)
        {
            WriteVerbose($"{selected.Count} of {estate.Switches.Count()} switches fit {wanted.Describe("switch")} and {sites.Describe("site")}.");
        }

        return selected;
    }

    // Told although others fit: a switch that is left out by a slip is missed by nobody until it is too late.
    private static IEnumerable<Problem> NotInEstate(EstateMap estate, string what, NamePatterns wanted, string[] known) => wanted.Fitless(known).Select(name => new Problem(
        ProblemId.NotInEstate, $"No {what} of '{estate.Name}' fits '{name}'{Nearest.Hint(name, known)}.", "Compare with the names in the estate file.") { Target = name });

    private void ReadCaptures()
    {
        EstateMap? estate = Estate.Length == 0 ? null : EstateAt(Estate);
        DialectResult found = FindDialect(Dialect, estate);
        Dialect dialect = Demand(found.Dialect, found.Problems);
        WriteVerbose($"Reading {Counted(_captures.Count, "capture")} by the dialect '{dialect.Name}'.");
        foreach (IGrouping<string, string> files in _captures.GroupBy(SwitchName, StringComparer.OrdinalIgnoreCase))
        {
            Stopped.ThrowIfCancellationRequested();
            _ = Give(CaptureFiles.Read(dialect, files.Key, [.. files], estate, SystemClock.Instance.UtcNow));
        }
    }

    private string SwitchName(string file) => Switch.Length > 0 ? Switch[0] : CaptureName.SwitchOf(file);

    private EstateMap EstateAt(string path)
    {
        EstateResult result = CheckedEstate.Read(FilePath(path));
        EstateMap estate = Demand(result.Estate, result.Problems);
        TellEstate(estate, FilePath(path));
        return estate;
    }

    private bool Give(SwitchReading reading)
    {
        if (reading.Controllers.Count > 0)
        {
            WriteVerbose($"{reading.Controllers[0].Switch}: {Counted(reading.Controllers.Count, "unit")}, {Counted(reading.Problems.Count, "problem")}.");
        }

        foreach (Controller controller in reading.Controllers)
        {
            Emit(controller);
        }

        WriteProblems(reading.Problems);
        SweepSsh();
        return true;
    }
}
