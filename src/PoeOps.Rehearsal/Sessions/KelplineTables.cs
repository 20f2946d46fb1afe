using System.Globalization;
using PoeOps.Estate;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>The tables of the kelpline family: a header, a ruler, rows, and a line that counts them.</summary>
internal static class KelplineTables
{
    private const string Nothing = "-";

    /// <summary>The software release.</summary>
    public static IReadOnlyList<string> Release(SimulatedSwitch device) =>
        Table(["Node", "Software"], [[device.Name, device.Release]], "node");

    /// <summary>The units and their hardware.</summary>
    public static IReadOnlyList<string> Units(IReadOnlyList<UnitView> units) =>
        Table(["Unit", "Hull", "Plate", "Ports"], [.. units.Select(unit => new[] { unit.Unit, unit.Model, unit.Serial, Whole(unit.PortCount) })], "unit");

    /// <summary>The controllers.</summary>
    public static IReadOnlyList<string> Power(IReadOnlyList<UnitView> units) =>
        Table(["Unit", "Controller", "State", "Budget W", "Kept W", "Granted W", "Drawn W"], [.. units.Select(PowerRow)], "controller");

    /// <summary>The ports.</summary>
    public static IReadOnlyList<string> Ports(IReadOnlyList<UnitView> units) =>
        Table(["Port", "Admin", "State", "Class", "Rank", "Granted W", "Drawn W", "Limit W"], [.. EachPort(units, PortRow)], "port");

    /// <summary>How the ports are set.</summary>
    public static IReadOnlyList<string> Settings(IReadOnlyList<UnitView> units) =>
        Table(
            ["Port", "Admin", "Rank", "Limit W", "Label"],
            [.. EachPort(units, (unit, port) => [Name(unit, port), Admin(port), Rank(port), Watts(port.LimitWatts), Text(port.Description)])],
            "setting");

    /// <summary>Who says a name on which port.</summary>
    public static IReadOnlyList<string> Neighbours(IReadOnlyList<UnitView> units) =>
        Table(
            ["Port", "Name"],
            [.. units.SelectMany(unit => unit.Ports.Where(port => port.Neighbour.Length > 0).Select(port => new[] { Name(unit, port), port.Neighbour }))],
            "neighbour");

    private static IEnumerable<string[]> EachPort(IReadOnlyList<UnitView> units, Func<UnitView, PortView, string[]> row) =>
        units.SelectMany(unit => unit.Ports.Select(port => row(unit, port)));

    private static string[] PowerRow(UnitView unit) => unit.Condition == ControllerCondition.Absent
        ? [unit.Unit, Nothing, "none", Nothing, Nothing, Nothing, Nothing]
        : [unit.Unit, Text(unit.Firmware), State(unit.Condition), Watts(unit.BudgetWatts), Watts(unit.GuardBandWatts), Watts(unit.AllocatedWatts), Watts(unit.DrawWatts)];

    private static string[] PortRow(UnitView unit, PortView port) =>
    [
        Name(unit, port), Admin(port), Doing(port.Status), port.PdClass is { } pdClass ? Whole(pdClass) : Nothing, Rank(port),
        Watts(port.AllocatedWatts), Watts(port.DrawWatts), Watts(port.LimitWatts),
    ];

    private static string State(ControllerCondition condition) => condition switch
    {
        ControllerCondition.Healthy => "fit",
        ControllerCondition.Refreshing => "refit",
        _ => "lame",
    };

    private static string Doing(DetectionStatus status) => status switch
    {
        DetectionStatus.DeliveringPower => "feeding",
        DetectionStatus.Disabled => "off",
        DetectionStatus.Fault => "fault",
        _ => "seeking",
    };

    private static string Name(UnitView unit, PortView port) => unit.Unit + ":" + Whole(port.Number);

    private static string Admin(PortView port) => port.AdminEnabled ? "on" : "off";

    private static string Rank(PortView port) => port.Priority.ToString().ToLowerInvariant();

    private static string Text(string text) => text.Length == 0 ? Nothing : text;

    private static string Watts(decimal? watts) => watts is { } value ? value.ToString("0.0##", CultureInfo.InvariantCulture) : Nothing;

    private static string Whole(int number) => number.ToString(CultureInfo.InvariantCulture);

    private static List<string> Table(string[] header, IReadOnlyList<string[]> rows, string what)
    {
        int[] widths = [.. header.Select((title, column) => rows.Select(row => row[column].Length).Append(title.Length).Max())];
        var lines = new List<string> { Line(header, widths), string.Join("  ", widths.Select(width => new string('-', width))) };
        lines.AddRange(rows.Select(row => Line(row, widths)));
        lines.Add($"told: {Whole(rows.Count)} {what}{(rows.Count == 1 ? string.Empty : "s")}");
        lines.Add(string.Empty);
        return lines;
    }

    private static string Line(string[] cells, int[] widths) => string.Join("  ", cells.Select((cell, column) => cell.PadRight(widths[column]))).TrimEnd();
}
