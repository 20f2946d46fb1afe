using PoeOps.Core.Tests.Outages;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>A plan that has every key there is, and its file.</summary>
internal static class SamplePlan
{
    private static readonly DateTime Night = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);

    public static Plan Plan => new()
    {
        Name = "harbour",
        CreatedUtc = Night.AddHours(-10).AddTicks(1234567),
        EstatePath = "harbour.estate.json",
        EstateSha256 = new string('e', 64),
        EstateParts = [new("site 'quay'", "0123456789abcdef")],
        Baselines = [new PlanSource { Path = "winter.baseline.json", Sha256 = new string('b', 64), Parts = [new("the entry of 'KL-24'", "fedcba9876543210")] }],
        NothingToDo = 4,
        Lanes = 2,
        SoakSeconds = 86400,
        IsBest = true,
        Units =
        [
            new PlannedUnit
            {
                Order = 1, Site = "quay", Switch = "quay-1", Unit = "2", Model = "KL-24", Serial = "S2", Release = "7.4", FromFirmware = "3.8", ToFirmware = "3.10",
                Hop = 1, Hops = 1, ImageFile = "a.img", ImageBytes = 3, ImageSha256 = new string('a', 64), ImageFamily = "f", StartUtc = Night, EndUtc = Night.AddMinutes(42),
                WindowOpensUtc = Night.AddHours(-1), WindowClosesUtc = Night.AddHours(3), WindowAttended = true, Lane = 2, Pilot = true, WorstSeconds = 2400.5, RecoverSeconds = 119.5, ReserveSeconds = 600,
                Loads = 22, LifeSafetyLoads = 1, LifeSafetyAcceptedBy = "the harbour master", LifeSafetyAcceptedUtc = Night.AddDays(-1), ReadingProblemsAccepted = true,
                BudgetWatts = 370, RestartDemandWatts = 385.4m, ShortfallWatts = 35.4m, RefusedLoadsAccepted = 2, CoverageGroup = "radios", SwitchUnits = 4,
                DarkLoads =
                [
                    new PlannedLoad { Port = "7", Load = "ticket hall", Role = "help point", LifeSafety = true, DrawWatts = 6.3m, RestartSeconds = 45.5, Restart = RestartOutcome.Back, BackSeconds = 1, GrantedWatts = 15.4m },
                    new PlannedLoad { Port = "8", Role = "" },
                ],
                StageTimes = SampleUnit.TimesOf((20, 40), (60, 120), (10.5, 20), (90, 180), (20, 30), (5, 10)),
            },
        ],
        Obstacles = [new Obstacle { Site = "", Switch = "quay-2", Unit = "left", ProblemId = ProblemId.NoWindowFits, Reason = "It is too long.", WouldHelp = "Lengthen a window." }],
    };

    public const string Text = """
        {
          "$schema": "poeops.plan.schema.json",
          "fingerprint": "FINGERPRINT",
          "name": "harbour",
          "createdUtc": "2026-12-01T12:00:00.1234567Z",
          "estate": "harbour.estate.json",
          "estateSha256": "eeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeee",
          "estateParts": [
            {
              "part": "site 'quay'",
              "sha256": "0123456789abcdef"
            }
          ],
          "baselines": [
            {
              "file": "winter.baseline.json",
              "sha256": "bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb",
              "parts": [
                {
                  "part": "the entry of 'KL-24'",
                  "sha256": "fedcba9876543210"
                }
              ]
            }
          ],
          "nothingToDo": 4,
          "lanes": 2,
          "soakSeconds": 86400.0,
          "isBest": true,
          "units": [
            {
              "order": 1,
              "site": "quay",
              "switch": "quay-1",
              "unit": "2",
              "model": "KL-24",
              "serial": "S2",
              "release": "7.4",
              "fromFirmware": "3.8",
              "toFirmware": "3.10",
              "hop": 1,
              "hops": 1,
              "image": {
                "file": "a.img",
                "bytes": 3,
                "sha256": "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
                "family": "f"
              },
              "startUtc": "2026-12-01T22:00:00Z",
              "endUtc": "2026-12-01T22:42:00Z",
              "windowOpensUtc": "2026-12-01T21:00:00Z",
              "windowClosesUtc": "2026-12-02T01:00:00Z",
              "windowAttended": true,
              "lane": 2,
              "pilot": true,
              "worstSeconds": 2400.5,
              "recoverSeconds": 119.5,
              "reserveSeconds": 600.0,
              "loads": 22,
              "lifeSafetyLoads": 1,
              "budgetWatts": 370.0,
              "restartDemandWatts": 385.4,
              "shortfallWatts": 35.4,
              "refusedLoadsAccepted": 2,
              "coverageGroup": "radios",
              "switchUnits": 4,
              "darkLoads": [
                {
                  "port": "7",
                  "load": "ticket hall",
                  "role": "help point",
                  "lifeSafety": true,
                  "drawWatts": 6.3,
                  "restartSeconds": 45.5,
                  "restart": "Back",
                  "backSeconds": 1.0,
                  "grantedWatts": 15.4
                },
                {
                  "port": "8",
                  "load": null,
                  "role": "",
                  "lifeSafety": false,
                  "drawWatts": null,
                  "restartSeconds": null,
                  "restart": null,
                  "backSeconds": null,
                  "grantedWatts": null
                }
              ],
              "lifeSafetyAcceptedBy": "the harbour master",
              "lifeSafetyAcceptedUtc": "2026-11-30T22:00:00Z",
              "readingProblemsAccepted": true,
              "stageSeconds": {
                "Gate": {
                  "typical": 20.0,
                  "worst": 40.0
                },
                "Transfer": {
                  "typical": 60.0,
                  "worst": 120.0
                },
                "Erase": {
                  "typical": 10.5,
                  "worst": 20.0
                },
                "Program": {
                  "typical": 90.0,
                  "worst": 180.0
                },
                "Reset": {
                  "typical": 20.0,
                  "worst": 30.0
                },
                "Verify": {
                  "typical": 5.0,
                  "worst": 10.0
                }
              }
            }
          ],
          "obstacles": [
            {
              "site": "",
              "switch": "quay-2",
              "unit": "left",
              "problem": "NoWindowFits",
              "reason": "It is too long.",
              "wouldHelp": "Lengthen a window."
            }
          ]
        }

        """;
}
