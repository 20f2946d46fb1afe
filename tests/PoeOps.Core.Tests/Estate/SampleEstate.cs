namespace PoeOps.Core.Tests.Estate;

/// <summary>An estate that has every key there is.</summary>
internal static class SampleEstate
{
    /// <summary>The same without a rehearsal's clock.</summary>
    public static string Real => Text.Remove(Text.IndexOf(",\n  \"rehearsal\"", StringComparison.Ordinal)) + "\n}";

    public const string Text = """
        { // every key
          "$schema": "schemas/poeops.estate.schema.json",
          "name": "Lagoon",
          "fileServer": "192.0.2.5", "power": { "pseType": 2, "guardBandPercent": 5, "efficiency": [ { "load": 0.2, "figure": 0.88 }, { "load": 1, "figure": 0.92 } ] },
          "dialects": ["dialects", "more/reef.dialect.json"], "soak": "PT12H", "limits": { "units": 8 },
          "roles": [
            { "name": "phone", "restartSeconds": 90, "negotiateSeconds": 20.5, "match": ["^tel-", "handset"] },
            { "name": "help point", "restartSeconds": 45, "lifeSafety": true, "weight": 10, "match": "^help" },
            { "name": "other", "restartSeconds": 60, "default": true }
          ],
          "sites": [
            {
              "name": "quay",
              "zone": "Europe/Lisbon", "localTime": "Second",
              "windows": [ { "days": ["Tuesday", "Thursday"], "opens": "22:30", "length": "PT5H", "attended": true }, { "days": "Friday", "week": [1, "last"], "from": "2026-12-01", "until": "2027-06-30", "opens": "21:00", "length": "P1DT1H" }, { "days": ["Monday"], "everyWeeks": 2, "from": "2026-12-01", "opens": "20:00", "length": "PT45M" } ],
              "extraWindows": [ { "opens": "2026-12-04T22:00", "length": "PT6H", "attended": false } ],
              "freezes": [ { "from": "2026-12-20", "until": "2027-01-06", "because": "holiday sailings" } ], "limits": { "units": 4, "darkLoads": 120 }, "busyHours": [ { "from": "06:00", "until": "20:00", "weight": 3.5 } ], "coverageGroups": [ { "name": "Radios", "apart": "recovered" } ],
              "switches": [
                {
                  "name": "quay-1", "address": "127.0.0.11", "port": 2323, "link": "telnet", "dialect": "reef", "credential": "quay", "snmp": { "port": 1161, "mainPower": "tenths", "interfaces": [ { "unit": "1", "firstPort": 1, "lastPort": 24, "ifIndex": 101 } ] }, "fileServer": "192.0.2.6", "power": { "policy": "draw", "staggerSeconds": 0.5, "supplyWatts": [370, 715.5] },
                  "units": [ { "unit": "1", "coverageGroup": "radios", "holdsManagement": true, "onlyWindows": ["2026-12-04", "2026-12-08T22:30"], "notWindows": ["2026-12-10"], "guardBandWatts": 10.5, "power": { "pseType": 4, "policy": "limit", "demotes": true, "efficiency": 0.9 } } ],
                  "loads": [ { "unit": "1", "ports": "1-8,12", "load": "ticket hall", "role": "Phone" }, { "unit": "1", "ports": "20", "role": "help point" } ]
                },
                { "name": "quay-2", "address": "localhost", "link": "ssh", "dialect": "reef" }
              ]
            },
            { "name": "islet", "zone": "Atlantic/Azores", "switches": [ { "name": "islet-1", "address": "::1", "port": 4001, "link": "tcp", "clearText": true, "dialect": "kelp" } ] }
          ],
          "rehearsal": { "speed": 60, "machineStartUtc": "2026-11-25T21:00:00Z", "startUtc": "2026-12-04T21:30:00.5Z" }
        }
        """;
}
