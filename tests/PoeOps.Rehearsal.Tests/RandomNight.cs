using System.Net;
using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>A whole run over the mole's two units that are behind, under mishaps drawn by a seed: real consoles, real transfers, a real journal.</summary>
internal sealed class RandomNight : IDisposable
{
    // Units are drawn with what can happen to them, and their consoles with what can happen to those.
    private static readonly string[] Units = ["mole-1/1", "ferry-2/A"];

    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-random-").FullName;
    private readonly Night _night;
    private readonly EstateMap _estate;

    public RandomNight(int seed)
    {
        Mishaps = Draw(new Random(seed));
        _night = new Night([.. Mishaps]);
        _estate = EstateFile.Read(_night.Rehearsal.EstatePath).Estate!;
    }

    public IReadOnlyList<string> Mishaps { get; }

    public IReadOnlyList<DeviceEntry> Log => _night.Rehearsal.Log;

    public JournalReading Journal => JournalReplay.Read(Path.Combine(_folder, "night.journal.jsonl"));

    public IReadOnlyList<UnitResult> Run()
    {
        using JournalFile journal = JournalFile.Open(Path.Combine(_folder, "night.journal.jsonl"));
        RefreshRun run = new(Options(journal));
        List<UnitResult> results = [];
        while (run.Next() is { } result)
        {
            results.Add(result);
        }

        return results;
    }

    public void Dispose()
    {
        _night.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private static List<string> Draw(Random random)
    {
        List<string> mishaps = [];
        for (int i = random.Next(3); i > 0; i--)
        {
            MishapEntry entry = MishapCatalogue.All[random.Next(MishapCatalogue.All.Count)];
            string unit = Units[random.Next(Units.Length)];
            string text = $"{(entry.Scope == MishapScope.Switch ? unit.Split('/')[0] : unit)}:{entry.Name}";

            // Ten times as slow is ten times as long a test, and says nothing else.
            if (entry.Kind != MishapKind.DeviceSlow && !mishaps.Contains(text))
            {
                mishaps.Add(text);
            }
        }

        return mishaps;
    }

    private RunOptions Options(JournalFile journal) => new()
    {
        Plan = new Plan { Name = "mole", Fingerprint = "f00d", Units = [Unit(1, "mole-1", "1", Night.Kelp, "3.8.0"), Unit(2, "ferry-2", "A", Night.Oakum, "R3-B8p4")] },
        Open = unit => _night.Open(unit.Switch, transcripts: _folder),
        Describe = Describe,
        ReadVersion = (unit, text) => Place.Dialect(unit.Switch == "mole-1" ? "kelpline" : "oakum").Firmware.Read(text),
        Record = journal,
        Clock = _night.Rehearsal.Clock,
        ImageFolder = _folder,
        Serving = new ImageServing(IPAddress.Loopback, 0, "127.0.0.1", _ => IPAddress.Loopback),
        Approve = _ => true,
        Attended = true,
        LockFolder = _folder,
    };

    private SwitchReading Describe(PlannedUnit unit, SwitchReading reading)
    {
        List<Problem> problems = [.. reading.Problems];
        return new SwitchReading(_estate.Apply(_estate.FindSwitch(unit.Switch)!, reading.Controllers, problems), problems);
    }

    private PlannedUnit Unit(int order, string place, string unit, ImageHeader header, string from)
    {
        string file = $"{header.Family}.img";
        byte[] image = header.Write(System.Text.Encoding.ASCII.GetBytes(string.Concat(Enumerable.Range(0, 400).Select(i => $"plank {i}; "))));
        File.WriteAllBytes(Path.Combine(_folder, file), image);
        PoeOps.Rehearsal.Worlds.WorldUnit world = Place.Switch(place).Units.Single(one => one.Unit == unit);
        DateTime now = _night.Rehearsal.Clock.UtcNow;
        return new PlannedUnit
        {
            Order = order, Site = "mole", Switch = place, Unit = unit, Model = world.Model.Model, Serial = world.Serial, Release = Place.Switch(place).Release, FromFirmware = from, ToFirmware = header.Version,
            ImageFile = file, ImageBytes = image.Length, ImageSha256 = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(image)), ImageFamily = header.Family,
            WindowOpensUtc = now.AddHours(-1), WindowClosesUtc = now.AddHours(100), WorstSeconds = 1200, RecoverSeconds = 300, ReserveSeconds = 600, Loads = 8, LifeSafetyLoads = 1,
            StageTimes = new StageTimes(StageTimes.Names.ToDictionary(name => name, _ => new StageTime(60, 240))),
        };
    }
}
