using System.Diagnostics;
using Newtonsoft.Json.Linq;
using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Rehearsal;
using PoeOps.Rehearsal.Worlds;
using PoeOps.Terminal;

namespace PoeOps.Benchmarks;

/// <summary>Many consoles of a rehearsal on loopback TCP read one after the other and side by side; and whether memory grows with their number.</summary>
internal static class ManyConsoles
{
    private static readonly int[] Limits = [1, 16, 64, 200];

    /// <summary>Measures, and prints a table.</summary>
    /// <param name="count">How many consoles.</param>
    public static void Run(int count)
    {
        string folder = Directory.CreateTempSubdirectory("poeops-consoles-").FullName;
        try
        {
            using RunningRehearsal rehearsal = Rehearse(folder, count);
            EstateMap estate = EstateFile.Read(rehearsal.EstatePath).Estate!;
            _ = Read(estate, rehearsal, 16);
            Console.WriteLine($"{count} consoles; each is logged in to, asked everything that its dialect asks, and logged out of.");
            double alone = 0;
            foreach (int limit in Limits)
            {
                double seconds = Read(estate, rehearsal, limit);
                alone = limit == 1 ? seconds : alone;
                Console.WriteLine($"  {limit,4} at once: {seconds,7:0.0} s, {count / seconds,6:0.0} a second, {alone / seconds,5:0.0} times as fast as one after the other");
            }

            Console.WriteLine("  what is in use after the whole has been read again and again, 16 at once, and each reading let go of:");
            for (int round = 1; round <= 10; round++)
            {
                _ = Read(estate, rehearsal, 16);
                if (round is 1 or 5 or 10)
                {
                    Console.WriteLine($"    after {round * count,6}: {HeapMegabytes():0.0} MB");
                }
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static double HeapMegabytes()
    {
        GC.Collect();
        GC.WaitForPendingFinalizers();
        GC.Collect();
        return GC.GetGCMemoryInfo(GCKind.FullBlocking).HeapSizeBytes / 1e6;
    }

    // Copies of a switch of each family of the demo, by turns.
    private static RunningRehearsal Rehearse(string folder, int count)
    {
        JObject estate = Parse("harbour.estate.json"), world = Parse("harbour.world.json");
        var sites = (JArray)estate["sites"]!;
        JToken[] models = [.. sites.SelectMany(site => site["switches"]!).Where(one => (string?)one["name"] is "hall-2" or "hall-3")];
        JToken[] truths = [.. models.Select(model => world["switches"]!.Single(one => (string?)one["name"] == (string?)model["name"]))];
        List<JToken> switches = [], worlds = [];
        for (int i = 0; i < count; i++)
        {
            JToken place = models[i % models.Length].DeepClone(), truth = truths[i % models.Length].DeepClone();
            place["name"] = truth["name"] = $"berth-{i + 1}";
            place["port"] = 2000 + i;
            foreach (JToken unit in truth["units"]!)
            {
                unit["serial"] = $"{unit["serial"]}-{i + 1}";
            }

            switches.Add(place);
            worlds.Add(truth);
        }

        sites[0]["switches"] = new JArray(switches);
        estate["sites"] = new JArray(sites[0]);
        world["switches"] = new JArray(worlds);
        string path = Path.Combine(folder, "many.estate.json");
        File.WriteAllText(path, estate.ToString());
        File.WriteAllText(WorldFile.Beside(path), world.ToString());
        return RehearsalEstate.Start(new RehearsalOptions { EstatePath = path, Speed = 1 });
    }

    private static JObject Parse(string file) => JObject.Parse(File.ReadAllText(Clone.Path("examples", file)));

    private static double Read(EstateMap estate, RunningRehearsal rehearsal, int limit)
    {
        LogInSecrets secrets = new(rehearsal.User, rehearsal.Password, rehearsal.ElevationPassword);
        EstateReading reading = new(estate, new SwitchLinks(name => new(Clone.Dialect(Clone.Path("module", "dialects", name + ".dialect.json")), []), _ => secrets, SystemClock.Instance, transcriptFolder: null) { ClearText = new ClearTextRule(estate, attended: true) });
        Stopwatch watch = Stopwatch.StartNew();
        int units = 0;
        foreach (SwitchReading one in reading.ReadMany([.. estate.Switches], limit))
        {
            units += one.Problems.Count == 0 && one.Controllers.Count > 0 ? 1 : throw new InvalidOperationException(string.Join(" ", one.Problems));
        }

        return units == estate.Switches.Count() ? watch.Elapsed.TotalSeconds : throw new InvalidOperationException($"{units} switches were read.");
    }
}
