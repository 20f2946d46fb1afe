using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Baselines;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Rehearsal;
using PoeOps.Rehearsal.Worlds;
using PoeOps.Terminal;

namespace PoeOps.Benchmarks;

/// <summary>
/// What a refresh takes of our own time beside the device's, and how long after the device's own word a stage's end stands in the journal. At speed 1 the
/// two units take some minutes each, as real ones do.
/// </summary>
internal static class RefreshSpeed
{
    private static readonly (string Switch, string Unit, string To, string How)[] Units =
        [("mole-1", "1", "3.10.2", "prints its progress"), ("ferry-2", "A", "R3-B10p2", "is asked for its progress")];

    /// <summary>Refreshes two units, and prints a table.</summary>
    public static void Run(double speed)
    {
        string folder = Directory.CreateTempSubdirectory("poeops-refresh-").FullName;
        try
        {
            using RunningRehearsal rehearsal = RehearsalEstate.Start(new RehearsalOptions { EstatePath = Path.Combine(Root, "tests/PoeOps.Rehearsal.Tests/worlds/mole.estate.json"), Speed = speed });
            string journal = Path.Combine(folder, "night.journal.jsonl");
            UnitResult[] results = Refresh(rehearsal, folder, journal);
            Console.WriteLine(FormattableString.Invariant($"A refresh of two units at speed {speed:0.###}; our own time is what is neither spent waiting for the device nor for the clock."));
            foreach (UnitResult result in results)
            {
                Tell(result, JournalReplay.Read(journal).Entries, rehearsal.Log);
            }

            Console.WriteLine("  goal: 1 % or less at speed 1, and a stage's end seen within 100 ms where the device prints it");
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void Tell(UnitResult result, IReadOnlyList<JournalEntry> journal, IReadOnlyList<DeviceEntry> log)
    {
        if (result.Outcome != StageOutcome.Done)
        {
            throw new InvalidOperationException($"{result.UnitId} ended {result.Outcome}: {result.Reason}");
        }

        string how = Units.Single(unit => unit.Switch == result.Switch).How;
        double own = Number(journal, result, "ownSeconds");
        double waited = Number(journal, result, "waitedSeconds");
        double[] late = [.. from ended in log
                            where ended.Kind == DeviceEntryKind.StageEnded && ended.Target == result.UnitId.ToString() && ended.Stage is not Stage.Reset
                            from seen in journal
                            where seen.Kind == RunEntryKind.StageEnded && seen.Unit == ended.Target && seen.Facts["stage"] == ended.Stage.ToString()
                            select (seen.Utc - ended.Utc).TotalMilliseconds];
        Console.WriteLine(FormattableString.Invariant(
            $"  {result.UnitId,-10} {result.Outcome}, {how}: own {own:0.000} s beside {waited:0.0} s, {own / waited:0.00%}; {late.Length} stage ends seen after {late.Max():0} ms at the most"));
    }

    private static double Number(IReadOnlyList<JournalEntry> journal, UnitResult result, string name) =>
        double.Parse(journal.Single(entry => entry.Kind == RunEntryKind.End && entry.Unit == result.UnitId.ToString()).Facts[name], System.Globalization.CultureInfo.InvariantCulture);

    private static UnitResult[] Refresh(RunningRehearsal rehearsal, string folder, string journal)
    {
        EstateMap estate = EstateFile.Read(rehearsal.EstatePath).Estate!;
        World world = WorldFile.Read(WorldFile.Beside(rehearsal.EstatePath)).World ?? WorldFile.Read(Path.Combine(Root, "tests/PoeOps.Rehearsal.Tests/worlds/mole.world.json")).World!;
        LogInSecrets secrets = new(rehearsal.User, rehearsal.Password, rehearsal.ElevationPassword);
        EstateRun run = new(estate, new SwitchLinks(name => DialectFile.Read(Path.Combine(Root, "module/dialects", name + ".dialect.json")), _ => secrets, rehearsal.Clock, folder) { ClearText = new ClearTextRule(estate, attended: false) });
        Plan plan = new() { Name = "speed", Fingerprint = "speed", EstatePath = rehearsal.EstatePath, Units = [.. Units.Select((unit, index) => Planned(unit.Switch, unit.Unit, unit.To, index + 1, world, rehearsal, folder))] };
        using JournalFile record = JournalFile.Open(journal);
        RefreshRun refresh = new(new RunOptions
        {
            Plan = plan, Open = run.Open, Describe = run.Describe, ReadVersion = run.ReadVersion, Record = record, Clock = rehearsal.Clock, ImageFolder = folder,
            Serving = run.Serving(null, null, plan), Approve = _ => true, Attended = true, LockFolder = folder, LockName = run.LockName, JournalPath = journal,
        });
        List<UnitResult> results = [];
        while (refresh.Next() is { } result)
        {
            results.Add(result);
        }

        return [.. results];
    }

    private static PlannedUnit Planned(string name, string unit, string version, int order, World world, RunningRehearsal rehearsal, string folder)
    {
        WorldSwitch place = world.Switches.Single(one => one.Name == name);
        WorldUnit there = place.Units.Single(one => one.Unit == unit);
        byte[] image = new ImageHeader { Family = there.Model.ImageFamily, Models = [there.Model.Model], Version = version }.Write(Encoding.ASCII.GetBytes(new string('p', 100_000)));
        string file = $"{there.Model.ImageFamily}.img";
        File.WriteAllBytes(Path.Combine(folder, file), image);
        return new PlannedUnit
        {
            Order = order, Site = "mole", Switch = name, Unit = unit, Model = there.Model.Model, Serial = there.Serial, Release = place.Release, FromFirmware = there.Firmware, ToFirmware = version,
            ImageFile = file, ImageBytes = image.Length, ImageSha256 = Convert.ToHexStringLower(SHA256.HashData(image)), ImageFamily = there.Model.ImageFamily,
            WindowOpensUtc = rehearsal.Clock.UtcNow.AddHours(-1), WindowClosesUtc = rehearsal.Clock.UtcNow.AddDays(1), WorstSeconds = 600, RecoverSeconds = 240, ReserveSeconds = 600,
            StageTimes = new StageTimes(StageTimes.Names.ToDictionary(stage => stage, _ => new StageTime(60, 240))),
        };
    }

    private static string Root => Assembly.GetExecutingAssembly().GetCustomAttributes<AssemblyMetadataAttribute>().Single(one => one.Key == "RepositoryRoot").Value!;
}
