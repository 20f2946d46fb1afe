using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Outages;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>
/// An estate of two sites for plans that can be made on paper. The quay (Europe/Berlin, UTC+1 in December) opens on Tuesdays at 22:00 for two hours and on
/// Thursdays, attended, as long: in UTC from 21:00 to 23:00. The islet opens on Tuesdays at 21:30 UTC for three hours. The 1st of December 2026 is a Tuesday.
/// A unit takes 40 minutes at worst and its one load 2 more until it serves, so with 10 minutes of reserve two fit into two hours and a third does not.
/// </summary>
internal static class Lagoon
{
    public static readonly DateTime Noon = new(2026, 12, 1, 12, 0, 0, DateTimeKind.Utc);

    /// <summary>No soak, so that a night can be planned on paper.</summary>
    public static readonly PlanOptions Options = new() { CreatedUtc = Noon, FromUtc = Noon, Soak = TimeSpan.Zero };

    /// <summary>Gate to Verify 2400 s at worst.</summary>
    public static readonly StageTimes Times = SampleUnit.TimesOf((30, 60), (300, 600), (100, 300), (600, 1200), (60, 180), (30, 60));

    public const string Text = """
        { "name": "Lagoon",
          "roles": [ { "name": "other", "restartSeconds": 119, "default": true } ],
          "sites": [
            { "name": "quay", "zone": "Europe/Berlin",
              "windows": [ { "days": ["Tuesday"], "opens": "22:00", "length": "PT2H" }, { "days": ["Thursday"], "opens": "22:00", "length": "PT2H", "attended": true } ],
              "switches": [
                { "name": "quay-1", "address": "192.0.2.11", "link": "telnet", "dialect": "reef" },
                { "name": "quay-2", "address": "192.0.2.12", "link": "telnet", "dialect": "reef" } ] },
            { "name": "islet", "zone": "UTC",
              "windows": [ { "days": ["Tuesday"], "opens": "21:30", "length": "PT3H" } ],
              "switches": [ { "name": "islet-1", "address": "192.0.2.21", "link": "telnet", "dialect": "reef" } ] },
            { "name": "rock", "zone": "UTC",
              "switches": [ { "name": "rock-1", "address": "192.0.2.31", "link": "telnet", "dialect": "reef" } ] } ] }
        """;

    public static EstateMap Estate(ScratchFolder folder, string? text = null) => EstateFile.Read(folder.Write("lagoon.estate.json", text ?? Text)).Estate!;

    /// <summary>A unit that is behind and feeds one load.</summary>
    public static Controller Unit(string id, bool lifeSafety = false)
    {
        var unit = UnitId.Parse(id);
        return new Controller
        {
            Site = unit.Switch.Split('-')[0],
            Switch = unit.Switch,
            Unit = unit.Unit,
            Model = "Reef-24",
            Serial = "S-" + unit.Unit,
            Release = "7.4",
            Firmware = "3.8",
            Condition = ControllerCondition.Healthy,
            Ports = [SampleUnit.Port("1", draw: 5, restart: 119) with { Site = unit.Switch.Split('-')[0], Switch = unit.Switch, Unit = unit.Unit, LifeSafety = lifeSafety }],
        };
    }

    public static Outage Behind(string id, bool lifeSafety = false) => Behind(Unit(id, lifeSafety));

    public static Outage Behind(Controller unit, params StageTimes[] hops) => OutageMeasure.Measure(SampleUnit.Behind(unit, hops.Length == 0 ? [Times] : hops)).Outage;

    public static Outage Verdict(string id, Verdict verdict, string reason) => OutageMeasure.Measure(new Drift(Unit(id)) { Verdict = verdict, Reason = reason }).Outage;
}
