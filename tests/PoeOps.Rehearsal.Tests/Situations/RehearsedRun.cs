using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Rehearsal.Tests.Audit;
using PoeOps.Rehearsal.Worlds;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>Whole runs as the cmdlet makes them: the rehearsal's own estate, a real journal, transcripts, locks and image server, and real images.</summary>
internal sealed class RehearsedRun : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-run-").FullName;
    private readonly EstateMap _estate;
    private readonly EstateRun _run;

    /// <summary>Starts a rehearsal of the mole.</summary>
    public RehearsedRun(double speed, params string[] mishaps)
        : this(new RehearsalOptions { EstatePath = Place.Mole, Speed = speed, Mishaps = mishaps })
    {
    }

    /// <summary>Starts a rehearsal of any estate.</summary>
    public RehearsedRun(RehearsalOptions options)
    {
        Rehearsal = RehearsalEstate.Start(options);
        World = WorldFile.Read(WorldFile.Beside(options.EstatePath)).World!;
        _estate = EstateFile.Read(Rehearsal.EstatePath).Estate!;
        var secrets = new LogInSecrets(Rehearsal.User, Rehearsal.Password, Rehearsal.ElevationPassword);
        var links = new SwitchLinks(Dialects, _ => secrets, Rehearsal.Clock, _folder) { ClearText = new ClearTextRule(_estate, attended: false) };
        _run = new EstateRun(_estate, links);
        Clock = Rehearsal.Clock;
    }

    public RunningRehearsal Rehearsal { get; }

    public World World { get; }

    /// <summary>The clock of the jump host; the devices have the rehearsal's.</summary>
    public Clock Clock { get; set; }

    public List<PlannedUnit> Units { get; } = [];

    public StopRequest Stop { get; set; } = new(null);

    /// <summary>What stands between the run and its journal.</summary>
    public Func<IRunRecord, IRunRecord> Around { get; set; } = record => record;

    public Action<RunProgress> Watcher { get; set; } = _ => { };

    public Func<RunOptions, RunOptions> Adjust { get; set; } = options => options;

    public string Folder => _folder;

    public string JournalPath { get; set; } = string.Empty;

    /// <summary>What became of the units of the last run, also where it threw.</summary>
    public List<UnitResult> Results { get; } = [];

    public string? StoppedBecause { get; private set; }

    /// <summary>Plans one image on one unit of the world, in a window that is open.</summary>
    public PlannedUnit Plan(string switchName, string unit, string version)
    {
        WorldSwitch place = World.Switches.Single(one => one.Name == switchName);
        WorldUnit there = place.Units.Single(one => one.Unit == unit);
        string file = $"{there.Model.ImageFamily}-{version}.img";
        byte[] image = new ImageHeader { Family = there.Model.ImageFamily, Models = [there.Model.Model], Version = version }
            .Write(Encoding.ASCII.GetBytes(string.Concat(Enumerable.Range(0, 400).Select(i => $"plank {i}; "))));
        File.WriteAllBytes(Path.Combine(_folder, file), image);
        IEnumerable<WorldPort> fed = there.Ports.Where(port => port.Load is not null && port.AdminEnabled && !port.Fault && there.Condition == ControllerCondition.Healthy);
        var planned = new PlannedUnit
        {
            Order = Units.Count + 1,
            Site = _estate.Sites[0].Name,
            Switch = switchName,
            Unit = unit,
            Model = there.Model.Model,
            Serial = there.Serial,
            Release = place.Release,
            FromFirmware = there.Firmware,
            ToFirmware = version,
            ImageFile = file,
            ImageBytes = image.Length,
            ImageSha256 = Convert.ToHexStringLower(SHA256.HashData(image)),
            ImageFamily = there.Model.ImageFamily,
            WindowOpensUtc = Rehearsal.Clock.UtcNow.AddHours(-1),
            WindowClosesUtc = Rehearsal.Clock.UtcNow.AddDays(20),
            WorstSeconds = 600,
            RecoverSeconds = 240,
            ReserveSeconds = 600,
            Loads = fed.Count(),
            LifeSafetyLoads = fed.Count(port => port.Neighbour.StartsWith("help-", StringComparison.Ordinal)),
            LifeSafetyAcceptedBy = "the night's lead",
            LifeSafetyAcceptedUtc = Rehearsal.Clock.UtcNow,
            StageTimes = new StageTimes(new Dictionary<string, StageTime>
            {
                ["Transfer"] = new(40, 120), ["Erase"] = new(20, 60), ["Program"] = new(90, 240), ["Reset"] = new(30, 60), ["Verify"] = new(10, 60),
            }),
        };
        Units.Add(planned);
        return planned;
    }

    /// <summary>Runs the plan to its end, or to where it stops.</summary>
    public IReadOnlyList<UnitResult> Run(string journal = "night")
    {
        JournalPath = Path.Combine(_folder, journal + ".journal.jsonl");
        Directory.CreateDirectory(Path.GetDirectoryName(JournalPath)!);
        using JournalFile record = JournalFile.Open(JournalPath);
        RefreshRun run = new(Options(record));
        Results.Clear();
        try
        {
            while (run.Next() is { } result)
            {
                Results.Add(result);
            }
        }
        finally
        {
            // As the cmdlet does: whatever ended it, no further unit begins, and the journal says that the run is over.
            Stop.Ask();
            _ = run.Next();
        }

        StoppedBecause = run.StoppedBecause;
        return [.. Results];
    }

    public RunOptions Options(IRunRecord record)
    {
        var plan = new Plan { Name = _estate.Name, Fingerprint = "f00d", EstatePath = Rehearsal.EstatePath, Units = [.. Units] };
        return Adjust(new RunOptions
        {
            Plan = plan,
            Open = _run.Open,
            Describe = _run.Describe,
            ReadVersion = _run.ReadVersion,
            Record = Around(record),
            Clock = Clock,
            ImageFolder = _folder,
            Serving = _run.Serving(null, null, plan),
            Approve = _ => true,
            Stop = Stop,
            Watcher = progress => Watcher(progress),
            LockFolder = _folder,
            LockName = _run.LockName,
            JournalPath = JournalPath,
        });
    }

    /// <summary>A mishap that was not played proves nothing. Slowness is no event, and stands in no log.</summary>
    public void RequirePlayed(IEnumerable<string> mishaps) => Assert.All(mishaps.Where(mishap => !mishap.Contains("Device:Slow", StringComparison.Ordinal)), mishap =>
        Assert.Contains(Rehearsal.Log, entry => entry.Kind == DeviceEntryKind.Mishap && mishap.Contains(entry.Text, StringComparison.OrdinalIgnoreCase)));

    /// <summary>What of the rules the journal and the devices show to be broken. The two clocks agree to a few milliseconds of the machine.</summary>
    public IReadOnlyList<string> Audit() => Auditor.Audit(
        [.. Directory.GetFiles(_folder, "*.journal.jsonl").Order(StringComparer.Ordinal).Select(JournalReplay.Read)],
        Rehearsal.Log, TimeSpan.FromMilliseconds(3 * Rehearsal.Speed), World.Password, World.ElevationPassword);

    /// <summary>The journal for people, times and whatever differs from run to run struck out.</summary>
    public string Told()
    {
        JournalReading reading = JournalReplay.Read(JournalPath);
        Assert.Empty(reading.Problems);
        return JournalText.Of(reading.Entries, _folder);
    }

    public void Dispose()
    {
        Rehearsal.Dispose();
        if (Directory.Exists(_folder))
        {
            Directory.Delete(_folder, recursive: true);
        }
    }

    private static PoeOps.Dialects.DialectResult Dialects(string name) =>
        PoeOps.Dialects.DialectFile.Read(Path.Combine(Place.Root, "module", "dialects", name + ".dialect.json"));
}
