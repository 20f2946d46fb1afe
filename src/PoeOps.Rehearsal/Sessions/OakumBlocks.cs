using System.Globalization;
using PoeOps.Estate;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>The blocks of the oakum family: a line that begins one, names with dotted leaders and their values, a line that ends it.</summary>
internal static class OakumBlocks
{
    private const int LeaderWidth = 15;

    /// <summary>The switch.</summary>
    public static IReadOnlyList<string> Node(SimulatedSwitch device) =>
        Block("node", device.Name, [("system", device.Release), ("feeders", device.Units.Count.ToString(CultureInfo.InvariantCulture))]);

    /// <summary>The units and their hardware.</summary>
    public static IReadOnlyList<string> Units(IReadOnlyList<UnitView> units) =>
        [.. units.SelectMany(unit => Block("unit", unit.Unit, [("hull", unit.Model), ("plate", unit.Serial), ("sockets", unit.PortCount.ToString(CultureInfo.InvariantCulture))]))];

    /// <summary>The controllers.</summary>
    public static IReadOnlyList<string> Feeders(IReadOnlyList<UnitView> units) => [.. units.SelectMany(Feeder)];

    /// <summary>The ports of a unit.</summary>
    public static IReadOnlyList<string> Sockets(UnitView unit) => [.. unit.Ports.SelectMany(port => Block("socket", Name(unit, port), Socket(port)))];

    /// <summary>How the ports of a unit are set, and what is written beside them.</summary>
    public static IReadOnlyList<string> Marks(UnitView unit) =>
    [
        "begin marks " + unit.Unit,
        .. unit.Ports.Select(port => $"  {Name(unit, port)}: gate {Gate(port)}, tier {Tier(port)}, cap {Cap(port)}{(port.Description.Length > 0 ? ", says " + port.Description : string.Empty)}"),
        "end marks " + unit.Unit,
    ];

    /// <summary>Who says a name on which port.</summary>
    public static IReadOnlyList<string> Peers(IReadOnlyList<UnitView> units) =>
    [
        "begin peers",
        .. units.SelectMany(unit => unit.Ports.Where(port => port.Neighbour.Length > 0).Select(port => $"  {port.Neighbour} at {Name(unit, port)}")),
        "end peers",
    ];

    /// <summary>One block.</summary>
    /// <param name="of">What it is about.</param>
    /// <param name="name">Its name.</param>
    /// <param name="values">Names and values in order; a value that is empty is left out.</param>
    public static IReadOnlyList<string> Block(string of, string name, IReadOnlyList<(string Key, string Value)> values) =>
    [
        $"begin {of} {name}",
        .. values.Where(value => value.Value.Length > 0).Select(value => $"  {(value.Key + " ").PadRight(LeaderWidth, '.')} {value.Value}"),
        $"end {of} {name}",
    ];

    private static IReadOnlyList<string> Feeder(UnitView unit) => unit.Condition == ControllerCondition.Absent
        ? Block("feeder", unit.Unit, [("health", "empty berth")])
        : Block("feeder", unit.Unit,
        [
            ("firmware", unit.Firmware), ("health", Health(unit.Condition)), ("supply", Watts(unit.BudgetWatts)), ("kept back", Milliwatts(unit.GuardBandWatts)),
            ("set aside", CommaWatts(unit.AllocatedWatts)), ("drawn", Milliwatts(unit.DrawWatts)),
        ]);

    private static (string Key, string Value)[] Socket(PortView port) =>
    [
        ("gate", Gate(port)), ("doing", Doing(port.Status)), ("class", port.PdClass?.ToString(CultureInfo.InvariantCulture) ?? "none"), ("tier", Tier(port)),
        ("set aside", Milliwatts(port.AllocatedWatts)), ("drawn", CommaWatts(port.DrawWatts)), ("cap", Cap(port)),
    ];

    private static string Health(ControllerCondition condition) => condition switch
    {
        ControllerCondition.Healthy => "sound",
        ControllerCondition.Refreshing => "being renewed",
        _ => "broken",
    };

    private static string Doing(DetectionStatus status) => status switch
    {
        DetectionStatus.DeliveringPower => "feeds",
        DetectionStatus.Disabled => "barred",
        DetectionStatus.Fault => "tripped",
        _ => "waits",
    };

    private static string Name(UnitView unit, PortView port) => unit.Unit + port.Number.ToString(CultureInfo.InvariantCulture);

    private static string Gate(PortView port) => port.AdminEnabled ? "open" : "shut";

    private static string Tier(PortView port) => ((int)port.Priority).ToString(CultureInfo.InvariantCulture);

    private static string Cap(PortView port) => port.LimitWatts is { } limit ? Watts(limit) : "none";

    private static string Watts(decimal watts) => watts.ToString("0.###", CultureInfo.InvariantCulture) + " W";

    private static string Milliwatts(decimal watts) => (watts * 1000).ToString("0.###", CultureInfo.InvariantCulture) + " mW";

    private static string CommaWatts(decimal watts) => watts.ToString("0.0##", CultureInfo.InvariantCulture).Replace('.', ',') + " W";
}
