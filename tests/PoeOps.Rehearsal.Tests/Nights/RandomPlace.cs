using System.Globalization;

namespace PoeOps.Rehearsal.Tests.Nights;

/// <summary>A small estate by chance: two switches of two units each, with loads, settings and firmware that differ from one to the next.</summary>
internal static class RandomPlace
{
    /// <summary>The units, with what each is to run.</summary>
    public static IReadOnlyList<(string Switch, string Unit, string To)> Units { get; } =
        [("pier-1", "1", "3.10.2"), ("pier-1", "2", "3.10.2"), ("berth-2", "A", "R3-B10p2"), ("berth-2", "B", "R3-B10p2")];

    /// <summary>Writes the estate and its world.</summary>
    /// <returns>The estate's file.</returns>
    public static string Write(string folder, Random chance)
    {
        string estate = Path.Combine(folder, "place.estate.json");
        File.WriteAllText(estate, Estate);
        File.WriteAllText(Path.Combine(folder, "place.world.json"), World(chance));
        return estate;
    }

    private const string Estate = """
        {
          "$schema": "poeops.estate.schema.json",
          "name": "Place",
          "roles": [
            { "name": "odd", "restartSeconds": 20, "default": true },
            { "name": "radio", "restartSeconds": 60, "negotiateSeconds": 20, "match": ["^radio-"] },
            { "name": "help point", "restartSeconds": 30, "lifeSafety": true, "match": ["^help-"] }
          ],
          "sites": [
            {
              "name": "place", "zone": "Europe/Lisbon", "windows": [ { "days": ["Tuesday"], "opens": "22:30", "length": "PT5H" } ],
              "switches": [
                { "name": "pier-1", "address": "192.0.2.21", "link": "telnet", "dialect": "kelpline", "credential": "place" },
                { "name": "berth-2", "address": "192.0.2.22", "link": "telnet", "dialect": "oakum", "credential": "place" }
              ]
            }
          ]
        }
        """;

    private static string World(Random chance) => $$"""
        {
          "$schema": "poeops.world.schema.json",
          "startUtc": "2026-12-01T21:00:00Z",
          "user": "deckhand", "password": "low-tide-9", "elevationPassword": "deep-water-4",
          "models": [
            { "model": "KL-8", "ports": 8, "budgetWatts": 124, "guardBandWatts": 4, "imageFamily": "kelp-pse", "stageSeconds": {{Stages(chance)}} },
            { "model": "OK-8", "ports": 8, "budgetWatts": 130, "guardBandWatts": 6, "imageFamily": "oakum-pse", "stageSeconds": {{Stages(chance)}} }
          ],
          "loads": [
            { "name": "radio", "pdClass": 4, "drawWatts": 12.4, "negotiatedWatts": 21.5 },
            { "name": "help point", "pdClass": 3, "drawWatts": 4.6 },
            { "name": "sensor", "pdClass": 0, "drawWatts": 2 }
          ],
          "switches": [
            { "name": "pier-1", "family": "kelpline", "release": "7.4.1", "units": [ {{Unit("1", "KL-8", "3.8.0", chance)}}, {{Unit("2", "KL-8", "kl_3_9_1", chance)}} ] },
            { "name": "berth-2", "family": "oakum", "release": "24-07", "units": [ {{Unit("A", "OK-8", "R3-B8p4", chance)}}, {{Unit("B", "OK-8", "3.9-p2", chance)}} ] }
          ]
        }
        """;

    private static string Stages(Random chance) =>
        $$"""{ "Transfer": {{Number(10, 40, chance)}}, "Erase": {{Number(5, 20, chance)}}, "Program": {{Number(20, 90, chance)}}, "Reset": {{Number(10, 45, chance)}} }""";

    private static string Unit(string unit, string model, string firmware, Random chance) => $$"""
        { "unit": "{{unit}}", "model": "{{model}}", "serial": "{{model}}-{{unit}}", "firmware": "{{firmware}}", "ports": [ {{string.Join(", ", Ports(unit, chance))}} ] }
        """;

    // Two radios at most, so that everything that ran before finds its power again.
    private static IEnumerable<string> Ports(string unit, Random chance)
    {
        for (int port = 1; port <= 6; port++)
        {
            int kind = chance.Next(5);
            string limit = chance.Next(3) == 0 ? ", \"limitWatts\": 30.5" : string.Empty;
            string priority = chance.Next(3) == 0 ? ", \"priority\": \"High\"" : string.Empty;
            yield return (kind, port) switch
            {
                (0, <= 2) => $$"""{ "ports": "{{port}}", "load": "radio", "neighbour": "radio-{{unit}}{{port}}"{{limit}}{{priority}} }""",
                (1, _) => $$"""{ "ports": "{{port}}", "load": "help point", "neighbour": "help-{{unit}}{{port}}", "priority": "Critical"{{limit}} }""",
                (2, _) => $$"""{ "ports": "{{port}}", "adminEnabled": false{{priority}} }""",
                _ => $$"""{ "ports": "{{port}}", "load": "sensor"{{limit}}{{priority}} }""",
            };
        }
    }

    private static string Number(int least, int most, Random chance) => chance.Next(least, most + 1).ToString(CultureInfo.InvariantCulture);
}
