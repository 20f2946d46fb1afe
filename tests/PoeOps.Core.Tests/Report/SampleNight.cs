using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Outages;
using PoeOps.Journal;
using PoeOps.Outages;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>
/// A night that can be reckoned on paper. Each unit: Gate and Transfer 80 s, then dark 120 s to the end of the reset, 230 s at worst; its first load has power
/// 1 s later, the second 2 s, the third 3 s. So they are planned to be dark for 121, 122 and 123 s, at worst 231, 232 and 233 s.
/// </summary>
internal sealed class SampleNight : IDisposable
{
    public static readonly DateTime Night = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);

    private readonly ScratchFolder _folder = new();
    private readonly List<RunEntry> _entries = [];

    public static Plan Plan => new()
    {
        Name = "harbour",
        CreatedUtc = Night.AddHours(-10),
        EstatePath = "harbour.estate.json",
        Fingerprint = "f00d",
        NothingToDo = 4,
        Units = [Unit(1, "quay-1", "2", 3), Unit(2, "quay-1", "3", 1), Unit(3, "islet-1", "1", 2), Unit(4, "islet-1", "2", 2)],
        Obstacles = [new Obstacle { Site = "rock", Switch = "rock-1", Unit = "A", ProblemId = ProblemId.NoWindowFits, Reason = "It is too long.", WouldHelp = "Lengthen a window." }],
    };

    public string Folder => _folder.FullPath;

    public string Path => _folder.Path("night.journal.jsonl");

    public static PlannedUnit Unit(int order, string place, string unit, int loads) => new()
    {
        Order = order,
        Site = place.Split('-')[0],
        Switch = place,
        Unit = unit,
        Model = "KL-24",
        FromFirmware = "3.8",
        ToFirmware = "3.10",
        ImageFile = "a.img",
        ImageBytes = 3,
        ImageSha256 = new string('a', 64),
        StartUtc = Night.AddMinutes(20 * (order - 1)),
        EndUtc = Night.AddMinutes((20 * order) - 5),
        WindowOpensUtc = Night.AddHours(-1),
        WindowClosesUtc = Night.AddHours(3),
        WindowAttended = true,
        WorstSeconds = 400,
        RecoverSeconds = 63,
        Loads = loads,
        LifeSafetyLoads = place == "quay-1" ? 1 : 0,
        LifeSafetyAcceptedBy = place == "quay-1" ? "the harbour master" : null,
        BudgetWatts = 60,
        RestartDemandWatts = 15.4m * loads,
        ShortfallWatts = 0,
        DarkLoads = [.. Enumerable.Range(1, loads).Select(port => Load(port, lifeSafety: port == 1 && place == "quay-1"))],
        StageTimes = SampleUnit.Times,
    };

    public static PlannedLoad Load(int port, bool lifeSafety) => new()
    {
        Port = $"{port}",
        Load = lifeSafety ? "help point" : port == 3 ? "desk, left" : "camera",
        Role = lifeSafety ? "help point" : "device",
        LifeSafety = lifeSafety,
        DrawWatts = 6.5m,
        RestartSeconds = 60,
        Restart = RestartOutcome.Back,
        BackSeconds = port,
        GrantedWatts = 7.25m + port,
    };

    /// <summary>
    /// The night: quay-1/2 is done but for its third load and a setting, its help point dark for 240.5 s; quay-1/3 is done, its help point dark for 125 s; islet-1/1
    /// fails before anything goes dark; islet-1/2 is not begun.
    /// </summary>
    public SampleNight WholeNight()
    {
        Run();
        Refresh("quay-1/2", 0, 1, 3, dark: 134, ("1", 240.5), ("2", 150), ("3", null));
        Add(600, RunEntryKind.Note, "quay-1/2", ("text", "camera on quay-1/2/2 draws something else than before"));
        Add(601, RunEntryKind.End, "quay-1/2", ("outcome", "Degraded"), ("problem", "LoadsNotBack"), ("reason", "It runs 3.10, but not everything is back: desk, left on quay-1/2/3 has no power."), ("firmware", "3.10"), ("loads", 3), ("loadsBack", 2), ("darkSeconds", 509.0), ("notBack", new[] { "desk, left on quay-1/2/3 has no power", "Priority of quay-1/2/2 is Low and was High" }));
        Refresh("quay-1/3", 1200, 2, 1, dark: 120, ("1", 125));
        Add(1500, RunEntryKind.End, "quay-1/3", ("outcome", "Done"), ("problem", "NothingToDo"), ("reason", "It runs 3.10, and everything is back."), ("firmware", "3.10"), ("loads", 1), ("loadsBack", 1), ("darkSeconds", 125.0), ("notBack", Array.Empty<string>()));
        Begin("islet-1/1", 2400, 3, 2);
        Add(2431, RunEntryKind.StageBegan, "islet-1/1", ("stage", "Transfer"));
        Add(2500, RunEntryKind.StageEnded, "islet-1/1", ("stage", "Transfer"), ("seconds", 69.0));
        Add(2501, RunEntryKind.End, "islet-1/1", ("outcome", "Failed"), ("problem", "RefreshFailed"), ("reason", "The device said 'no'."), ("firmware", "3.8"), ("loads", 2), ("loadsBack", 2), ("darkSeconds", null), ("notBack", Array.Empty<string>()));
        Add(2502, RunEntryKind.RunEnded, "", ("because", "islet-1/1 ended Failed"), ("notBegun", new[] { "islet-1/2" }));
        return this;
    }

    public SampleNight Run(string fingerprint = "f00d", bool whatIf = false, double at = -10) =>
        Add(at, RunEntryKind.RunBegan, "", ("host", "jump-1"), ("user", "night"), ("plan", "harbour"), ("fingerprint", fingerprint), ("units", 4), ("speed", 1), ("attended", true), ("whatIf", whatIf));

    /// <summary>A unit from its gates to its loads: Transfer 60 s, dark so many seconds to the end of Reset, Verify 15 s.</summary>
    public SampleNight Refresh(string unit, double at, int order, int loads, double dark, params (string Port, double? Seconds)[] back)
    {
        Begin(unit, at, order, loads);
        double erase = at + 91;
        foreach ((string stage, double from, double seconds) in new[] { ("Transfer", at + 31, 60.0), ("Erase", erase, 12.0), ("Program", erase + 12, dark - 34), ("Reset", erase + dark - 22, 22.0), ("Verify", erase + dark, 15.0), ("Recover", erase + dark + 15, 200.0) })
        {
            Add(from, RunEntryKind.StageBegan, unit, ("stage", stage), ("text", "it goes on"));
            Add(from + seconds, RunEntryKind.StageEnded, unit, ("stage", stage), ("seconds", seconds));
        }

        return Add(erase + dark + 216, RunEntryKind.LoadsBack, unit, [.. back.Select(load => (load.Port, (object?)load.Seconds))]);
    }

    public SampleNight Begin(string unit, double at, int order, int loads)
    {
        Add(at + 5, RunEntryKind.Gate, unit, ("gate", "Reading"), ("passed", true), ("model", "KL-24"), ("firmware", "3.8.0"));
        return Add(
            at + 30, RunEntryKind.Begin, unit, ("from", "3.8"), ("to", "3.10"), ("model", "KL-24"), ("image", "a.img"), ("bytes", 3), ("sha256", new string('a', 64)), ("loads", loads),
            ("lifeSafety", unit.StartsWith("quay", StringComparison.Ordinal) ? 1 : 0), ("transcript", "/elsewhere/" + unit.Replace('/', '.') + ".transcript.txt"), ("order", order),
            ("ports", Enumerable.Range(1, loads).Select(port => $"{port}: powered on High 15.4 3 6.5").ToArray()));
    }

    public SampleNight Add(double at, RunEntryKind kind, string unit, params (string Name, object? Value)[] facts)
    {
        _entries.Add(new RunEntry(kind, Night.AddSeconds(at), unit, [.. facts.Select(fact => new KeyValuePair<string, object?>(fact.Name, fact.Value))]));
        return this;
    }

    /// <summary>Writes the journal.</summary>
    public JournalSource Write()
    {
        using (JournalFile journal = JournalFile.Open(Path))
        {
            foreach (RunEntry entry in _entries)
            {
                journal.Write(entry);
            }
        }

        _entries.Clear();
        return JournalSource.Read(Path);
    }

    public RunSummary Summary(Plan? plan) => RunSummary.Of(plan, [Write()]);

    public void Dispose() => _folder.Dispose();
}
