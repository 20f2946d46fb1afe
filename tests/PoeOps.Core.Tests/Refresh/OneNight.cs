using System.Net;
using System.Security.Cryptography;
using System.Text.RegularExpressions;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Everything that a run needs: a folder with a real image, a real journal, a real file server, and a switch that does as it is told.</summary>
internal sealed partial class OneNight : IDisposable
{
    public const string Image = "br-3.0.img";

    private static readonly byte[] Bytes = [.. Enumerable.Range(0, 3000).Select(i => (byte)(i * 7))];
    private readonly ScratchFolder _folder = new();

    public OneNight()
    {
        _folder.Write(Image, Bytes);
        Units = [Planned()];
        Link.OnStart = Fetch;
    }

    public HandClock Clock { get; } = new();

    public ScriptedLink Link { get; } = new();

    public StopRequest Stop { get; set; } = new(null);

    public List<PlannedUnit> Units { get; }

    public List<GateReport> Asked { get; } = [];

    public Func<GateReport, bool> Answer { get; set; } = _ => true;

    public bool Attended { get; set; }

    public bool WhatIf { get; set; }

    public Problem? LinkRefusal { get; set; }

    public Func<Port, string, bool> ApprovePutBack { get; set; } = (_, _) => true;

    public ExternalServer? External { get; set; }

    public IReadOnlyList<string> SkipGates { get; set; } = [];

    public long? FreeBytes { get; set; }

    public bool Force { get; set; }

    /// <summary>What was told at once.</summary>
    public List<string> Noticed { get; } = [];

    public Action<RunProgress> Watcher { get; set; } = _ => { };

    public Func<IRunRecord, IRunRecord> Around { get; set; } = record => record;

    public string Folder => _folder.FullPath;

    public string JournalPath => _folder.Path("night.journal.jsonl");

    public string ImagePath => _folder.Path(Image);

    public string LockPath => _folder.Path("poeops-NORTH-1.lock");

    /// <summary>The names of all files.</summary>
    public IReadOnlyList<string> Files => [.. Directory.GetFiles(Folder, "*", SearchOption.AllDirectories).Select(Path.GetFileName).Order(StringComparer.Ordinal)!];

    public static PlannedUnit Planned(int order = 1, string unit = "2") => new()
    {
        Order = order,
        Site = "north",
        Switch = "north-1",
        Unit = unit,
        Model = "BR-4",
        Serial = "S" + unit,
        Release = "7.2",
        FromFirmware = "2.1",
        ToFirmware = "3.0",
        ImageFile = Image,
        ImageBytes = Bytes.Length,
        ImageSha256 = Convert.ToHexStringLower(SHA256.HashData(Bytes)),
        ImageFamily = "br",
        WindowOpensUtc = HandClock.Start,
        WindowClosesUtc = HandClock.Start.AddHours(5),
        WorstSeconds = 900,
        RecoverSeconds = 120,
        ReserveSeconds = 600,
        Loads = 3,
        LifeSafetyLoads = 1,
        LifeSafetyAcceptedBy = "the night's lead",
        LifeSafetyAcceptedUtc = HandClock.Start.AddHours(-9),
        StageTimes = new StageTimes(new Dictionary<string, StageTime>
        {
            ["Transfer"] = new(60, 120), ["Erase"] = new(30, 60), ["Program"] = new(120, 240), ["Reset"] = new(20, 40), ["Verify"] = new(10, 60),
        }),
    };

    /// <summary>Scripts a refresh that goes well.</summary>
    public OneNight GoesWell()
    {
        Link.Say(LinkEventKind.StageBegan, "fetching", Stage.Transfer)
            .Say(LinkEventKind.StageEnded, "fetched", Stage.Transfer, before: () => Clock.MoveOn(50))
            .Say(LinkEventKind.StageBegan, "erasing", Stage.Erase)
            .Say(LinkEventKind.StageEnded, "erased", Stage.Erase, before: () => Clock.MoveOn(30))
            .Say(LinkEventKind.StageBegan, "writing", Stage.Program)
            .Say(LinkEventKind.Progress, "writing 55 %", Stage.Program, 55, () => Clock.MoveOn(60))
            .Say(LinkEventKind.Progress, "writing 57 %", Stage.Program, 57)
            .Say(LinkEventKind.Progress, "writing 100 %", Stage.Program, 100, () => Clock.MoveOn(60))
            .Say(LinkEventKind.StageBegan, "restarting", Stage.Reset)
            .Say(LinkEventKind.Succeeded, "all done", before: () => Becomes("3.0"));
        return this;
    }

    /// <summary>The unit runs something else from now on.</summary>
    public void Becomes(string firmware)
    {
        Clock.MoveOn(20);
        Link.Units = [.. Link.Units.Select(unit => unit with { Firmware = firmware })];
    }

    /// <summary>Runs the plan to its end.</summary>
    public IReadOnlyList<UnitResult> Run()
    {
        using JournalFile journal = JournalFile.Open(JournalPath);
        RefreshRun run = new(Options(journal));
        Current = run;
        List<UnitResult> results = [];
        while (run.Next() is { } result)
        {
            results.Add(result);
        }

        Remaining = [.. run.Remaining.Select(unit => unit.UnitId.ToString())];
        StoppedBecause = run.StoppedBecause;
        return results;
    }

    /// <summary>The run, once it has begun.</summary>
    public RefreshRun? Current { get; private set; }

    public IReadOnlyList<string> Remaining { get; private set; } = [];

    public string? StoppedBecause { get; private set; }

    public RunOptions Options(IRunRecord record) => new()
    {
        Plan = new Plan { Name = "harbour", Fingerprint = "f00d", Units = Units },
        Open = _ => Link,
        LinkRefusal = _ => LinkRefusal,
        Describe = (_, reading) => reading,
        ReadVersion = (_, text) => ControllerVersion.ParseNatural(text),
        Record = Around(record),
        Clock = Clock,
        ImageFolder = Folder,
        Serving = new ImageServing(IPAddress.Loopback, 0, "127.0.0.1", _ => IPAddress.Loopback) { External = External },
        Approve = report =>
        {
            Asked.Add(report);
            return Answer(report);
        },
        ApprovePutBack = ApprovePutBack,
        Stop = Stop,
        Watcher = Watcher,
        WhatIf = WhatIf,
        Attended = Attended,
        Force = Force,
        Notice = Noticed.Add,
        Remarks = (record as JournalFile)?.Remarks ?? [],
        LockFolder = Folder,
        SkipGates = SkipGates,
        FreeBytes = () => FreeBytes,
        JournalPath = JournalPath,
    };

    /// <summary>What the journal says, a line an entry: seconds from the start, kind, facts; what differs from machine to machine struck out.</summary>
    public string Journal()
    {
        JournalReading reading = JournalReplay.Read(JournalPath);
        Assert.Empty(reading.Problems);
        IEnumerable<string> lines = reading.Entries.Select(entry => $"{(entry.Utc - HandClock.Start).TotalSeconds,4} {entry.Kind} {entry.Text}".TrimEnd());
        return Differs().Replace(string.Join("\n", lines), "$1=*");
    }

    /// <summary>The kinds of entries that the journal holds, in order, gates left out.</summary>
    public string Kinds() => string.Join(" ", JournalReplay.Read(JournalPath).Entries.Where(entry => entry.Kind != RunEntryKind.Gate).Select(entry => entry.Kind));

    /// <summary>Fetches the image as a unit does.</summary>
    public void Fetch(RefreshOrder order) => Fetch(order, IPAddress.Loopback);

    /// <summary>Fetches the image from an address of this machine.</summary>
    public static void Fetch(RefreshOrder order, IPAddress from)
    {
        using MemoryStream into = new();
        var options = new TftpClientOptions { TimeoutSeconds = 5, Bind = from };
        TftpClient.Fetch(new IPEndPoint(IPAddress.Parse(order.Server), order.ServerPort), order.File, into, options, CancellationToken.None);
        Assert.Equal(Bytes, into.ToArray());
    }

    public void Dispose() => _folder.Dispose();

    [GeneratedRegex(@"\b(host|user|process|sha256|server|client|ports|ownSeconds|waitedSeconds)=[^;\n]*")]
    private static partial Regex Differs();
}
