using PoeOps.Estate;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Walks made up for tests, line by line as a program prints them.</summary>
internal sealed class SyntheticWalk
{
    public const string Peth = ".1.3.6.1.2.1.105.1";
    public const string Peth8023 = ".1.3.111.2.802.3.1.8.1";
    public const string Entity = ".1.3.6.1.2.1.47.1.1.1.1";
    public const string Lldp = ".1.0.8802.1.1.2.1";

    private readonly List<string> _lines = [];

    public static readonly DateTime ReadUtc = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);

    public SyntheticWalk Line(string line)
    {
        _lines.Add(line);
        return this;
    }

    public SyntheticWalk Number(string oid, long number, string type = "INTEGER") => Line($"{oid} = {type}: {number}");

    public SyntheticWalk Text(string oid, string text) => Line($"{oid} = STRING: \"{text}\"");

    /// <summary>A row of pethMainPseTable.</summary>
    public SyntheticWalk Group(int index, int power, int status, int consumption, int threshold = 80) =>
        Number($"{Peth}.3.1.1.2.{index}", power, "Gauge32").Number($"{Peth}.3.1.1.3.{index}", status).Number($"{Peth}.3.1.1.4.{index}", consumption, "Gauge32").Number($"{Peth}.3.1.1.5.{index}", threshold);

    /// <summary>A row of pethPsePortTable: admin, detection status, priority, classification as the agent codes it.</summary>
    public SyntheticWalk Port(int group, int port, int status, int coded = 1, int priority = 3, int admin = 1) =>
        Number($"{Peth}.1.1.3.{group}.{port}", admin).Number($"{Peth}.1.1.6.{group}.{port}", status).Number($"{Peth}.1.1.7.{group}.{port}", priority).Number($"{Peth}.1.1.10.{group}.{port}", coded);

    /// <summary>A row of entPhysicalTable.</summary>
    public SyntheticWalk Physical(int index, int kind, int inside, int position, string name) =>
        Number($"{Entity}.4.{index}", inside).Number($"{Entity}.5.{index}", kind).Number($"{Entity}.6.{index}", position).Text($"{Entity}.7.{index}", name);

    /// <summary>Revisions, serial number and model of an entity.</summary>
    public SyntheticWalk Made(int index, string firmware, string software, string serial, string model) =>
        Text($"{Entity}.9.{index}", firmware).Text($"{Entity}.10.{index}", software).Text($"{Entity}.11.{index}", serial).Text($"{Entity}.13.{index}", model);

    public SyntheticWalk Alias(int entity, int ifIndex) => Line($".1.3.6.1.2.1.47.1.3.2.1.2.{entity}.0 = OID: .1.3.6.1.2.1.2.2.1.1.{ifIndex}");

    public SyntheticWalk Interface(int index, string name, string alias = "", int type = 6) =>
        Number($".1.3.6.1.2.1.2.2.1.3.{index}", type).Text($".1.3.6.1.2.1.31.1.1.1.1.{index}", name).Text($".1.3.6.1.2.1.31.1.1.1.18.{index}", alias);

    public SyntheticWalk BridgePort(int port, int ifIndex) => Number($".1.3.6.1.2.1.17.1.4.1.2.{port}", ifIndex);

    /// <summary>A neighbour of LLDP-MIB.</summary>
    public SyntheticWalk Heard(int mark, int localPort, int index, string name, string capabilities) =>
        Text($"{Lldp}.4.1.1.9.{mark}.{localPort}.{index}", name).Line($"{Lldp}.4.1.1.12.{mark}.{localPort}.{index} = BITS: {capabilities}");

    public SnmpReading Read(SnmpContext? context = null)
    {
        WalkResult walk = WalkFile.ReadText(string.Join("\n", _lines), "north.walk");
        Assert.Empty(walk.Problems);
        return SnmpControllers.Read(walk.Rows, (context ?? new SnmpContext()) with { Switch = "north", Source = "north.walk", ReadUtc = ReadUtc });
    }

    /// <summary>Controllers, one a line.</summary>
    public static string[] Units(SnmpReading reading) =>
        [.. reading.Controllers.Select(one => $"{one.Unit} {one.Condition} {one.ConditionText ?? "-"} budget {Say(one.BudgetWatts)} draw {Say(one.DrawWatts)} ports {one.PortCount} powered {one.PoweredPorts} {one.Model ?? "-"} {one.Serial ?? "-"} {one.Firmware ?? "-"} {one.Release ?? "-"} problems {one.ReadingProblems}")];

    /// <summary>Ports, one a line.</summary>
    public static string[] Ports(SnmpReading reading) => [.. reading.Controllers.SelectMany(one => one.Ports).Select(Shown)];

    private static string Shown(Port port) =>
        $"{port.PortId} {port.Status} class {port.PdClass?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-"} {port.Priority?.ToString() ?? "-"} admin {port.AdminEnabled?.ToString() ?? "-"} draw {Say(port.DrawWatts)} pd {Say(port.AllocatedPdWatts)} {port.Interface ?? "-"} '{port.Neighbour ?? "-"}'";

    private static string Say(decimal? watts) => watts?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-";
}
