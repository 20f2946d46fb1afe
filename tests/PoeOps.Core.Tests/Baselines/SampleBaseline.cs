namespace PoeOps.Core.Tests.Baselines;

/// <summary>A baseline that has every key there is.</summary>
internal static class SampleBaseline
{
    public const string Text = """
        { // every key
          "$schema": "poeops.baseline.schema.json",
          "name": "winter",
          "entries": [
            {
              "model": "Reef-24",
              "releases": { "from": "7.2", "before": "8" },
              "firmware": "3.10.2",
              "image": { "file": "reef-3.10.2.img", "bytes": 4096, "sha256": "0123456789abcdef0123456789ABCDEF0123456789abcdef0123456789abcdef", "family": "reef", "header": { "offset": 4, "text": "REEF" } },
              "stageSeconds": {
                "Gate": { "typical": 20, "worst": 40 }, "Transfer": { "typical": 60, "worst": 120 }, "Erase": { "typical": 10.5, "worst": 20 },
                "Program": { "typical": 90, "worst": 180 }, "Reset": { "typical": 15, "worst": 30 }, "Verify": { "typical": 5, "worst": 10 }
              },
              "hops": [
                {
                  "below": "2.0", "firmware": "2.0.4",
                  "image": { "file": "reef-2.0.4.img", "bytes": 2048, "sha256": "1123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef" },
                  "stageSeconds": {
                    "Transfer": { "typical": 30, "worst": 60 }, "Erase": { "typical": 5, "worst": 10 },
                    "Program": { "typical": 45, "worst": 90 }, "Reset": { "typical": 15, "worst": 30 }, "Verify": { "typical": 5, "worst": 10 }
                  }
                },
                {
                  "below": "3.0", "firmware": "3.0",
                  "image": { "file": "reef-3.0.img", "bytes": 3072, "sha256": "2123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef", "header": { "hex": "7F 52 45" } }
                }
              ]
            },
            {
              "model": "Reef-24",
              "releases": { "from": "8" },
              "firmware": "4.1",
              "image": { "file": "reef-4.1.img", "bytes": 4096, "sha256": "3123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef" }
            },
            {
              "model": "Kelp-8",
              "firmware": "B12",
              "image": { "file": "kelp-b12.img", "bytes": 512, "sha256": "4123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef" }
            }
          ]
        }
        """;
}
