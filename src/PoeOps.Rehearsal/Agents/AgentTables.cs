using System.Globalization;
using PoeOps.Estate;
using PoeOps.Rehearsal.Devices;
using PoeOps.Snmp;

namespace PoeOps.Rehearsal.Agents;

/// <summary>
/// What the agent of a simulated switch shows now, in the standard tables. Families differ as real ones do: kelpline says what each port draws (IEEE 802.3.1) and not what
/// its controllers run; oakum says the firmware of its controllers in entities of their own, and no watts per port.
/// </summary>
internal sealed class AgentTables(SimulatedSwitch device)
{
    private const int Chassis = 3, PortClass = 10, Stack = 11, Other = 1;
    private const uint StackEntity = 1;

    private static readonly Oid System = Oid.Parse("1.3.6.1.2.1.1");
    private static readonly Oid PsePort = Oid.Parse("1.3.6.1.2.1.105.1.1.1");
    private static readonly Oid MainPse = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1");
    private static readonly Oid PsePort8023 = Oid.Parse("1.3.111.2.802.3.1.8.1.1.1");
    private static readonly Oid Physical = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1");
    private static readonly Oid AliasMapping = Oid.Parse("1.3.6.1.2.1.47.1.3.2.1.2");
    private static readonly Oid IfEntry = Oid.Parse("1.3.6.1.2.1.2.2.1");
    private static readonly Oid IfXEntry = Oid.Parse("1.3.6.1.2.1.31.1.1.1");
    private static readonly Oid BasePort = Oid.Parse("1.3.6.1.2.1.17.1.4.1.2");
    private static readonly Oid LldpRemote = Oid.Parse("1.0.8802.1.1.2.1.4.1.1");

    private readonly List<VarBind> _rows = [];

    private bool IsKelpline => device.Family == "kelpline";

    /// <summary>All objects.</summary>
    public IReadOnlyList<VarBind> All()
    {
        Add(System.Then(1, 0), $"{device.Family} {device.Release}");
        Add(System.Then(3, 0), SnmpType.TimeTicks, (long)(device.Scene.Clock.Elapsed.TotalSeconds * 100) % uint.MaxValue);
        Add(System.Then(5, 0), device.Name);
        Entity(StackEntity, Stack, 0, -1, device.Name);
        for (int i = 0; i < device.Units.Count; i++)
        {
            Unit((uint)(i + 1), device.Units[i].View());
        }

        return _rows;
    }

    private void Unit(uint group, UnitView unit)
    {
        uint chassis = group * 1000;
        Entity(chassis, Chassis, StackEntity, (int)group, "unit " + group.ToString(CultureInfo.InvariantCulture));
        Add(Physical.Then(10, chassis), device.Release);
        Add(Physical.Then(11, chassis), unit.Serial);
        Add(Physical.Then(13, chassis), unit.Model);
        if (unit.Condition == ControllerCondition.Absent)
        {
            return;
        }

        if (!IsKelpline)
        {
            Entity(chassis + 900, Other, chassis, 1, "PoE controller");
            Add(Physical.Then(9, chassis + 900), unit.Firmware);
        }

        Add(MainPse.Then(2, group), SnmpType.Gauge32, (long)unit.BudgetWatts);
        Add(MainPse.Then(3, group), SnmpType.Integer, unit.Condition switch { ControllerCondition.Healthy => 1, ControllerCondition.Refreshing => 2, _ => 3 });
        Add(MainPse.Then(4, group), SnmpType.Gauge32, (long)Math.Round(unit.DrawWatts));
        Add(MainPse.Then(5, group), SnmpType.Integer, 80);
        foreach (PortView port in unit.Ports)
        {
            Port(group, chassis, port);
        }
    }

    private void Port(uint group, uint chassis, PortView port)
    {
        uint number = (uint)port.Number;
        uint ifIndex = chassis + number;
        Add(PsePort.Then(3, group, number), SnmpType.Integer, port.AdminEnabled ? 1 : 2);
        Add(PsePort.Then(6, group, number), SnmpType.Integer, (int)port.Status);
        Add(PsePort.Then(7, group, number), SnmpType.Integer, (int)port.Priority);
        Add(PsePort.Then(10, group, number), SnmpType.Integer, (port.PdClass ?? 0) + 1);
        if (IsKelpline)
        {
            Add(PsePort8023.Then(6, group, number), SnmpType.Integer, (int)port.Status);
            Add(PsePort8023.Then(15, group, number), SnmpType.Integer, (long)(port.DrawWatts * 1000));
        }

        Entity(chassis + number, PortClass, chassis, port.Number, $"port {number.ToString(CultureInfo.InvariantCulture)}");
        Add(AliasMapping.Then(chassis + number, 0), SnmpValue.Of(IfEntry.Then(1, ifIndex)));
        Add(IfEntry.Then(3, ifIndex), SnmpType.Integer, 6);
        Add(IfXEntry.Then(1, ifIndex), string.Format(CultureInfo.InvariantCulture, "{0}/{1}", group, number));
        Add(IfXEntry.Then(18, ifIndex), port.Description);
        Add(BasePort.Then(BridgePort(group, number)), SnmpType.Integer, ifIndex);
        if (port.Neighbour.Length > 0)
        {
            Add(LldpRemote.Then(9, 0, BridgePort(group, number), 1), port.Neighbour);
            Add(LldpRemote.Then(12, 0, BridgePort(group, number), 1), SnmpValue.Of(SnmpType.OctetString, [0x01, 0x00]));
        }
    }

    private static uint BridgePort(uint group, uint port) => ((group - 1) * 64) + port;

    private void Entity(uint index, int kind, uint inside, int position, string name)
    {
        Add(Physical.Then(4, index), SnmpType.Integer, inside);
        Add(Physical.Then(5, index), SnmpType.Integer, kind);
        Add(Physical.Then(6, index), SnmpType.Integer, position);
        Add(Physical.Then(7, index), name);
    }

    private void Add(Oid name, string text) => Add(name, SnmpValue.Of(text));

    private void Add(Oid name, SnmpType type, long number) => Add(name, SnmpValue.Of(type, number));

    private void Add(Oid name, SnmpValue value) => _rows.Add(new VarBind(name, value));
}
