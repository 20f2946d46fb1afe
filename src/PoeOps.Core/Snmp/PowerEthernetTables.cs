using System.Globalization;
using PoeOps.Estate;

namespace PoeOps.Snmp;

/// <summary>A row of pethMainPseTable: one group, which is a unit with its PSE controller.</summary>
/// <param name="Index">The group's index, which need not be its position.</param>
internal sealed record PseGroup(uint Index)
{
    /// <summary>The unit's name.</summary>
    public string Unit => Index.ToString(CultureInfo.InvariantCulture);

    /// <summary>pethMainPsePower as the agent counts, which is watts by the standard; null where not said.</summary>
    public long? Power { get; init; }

    /// <summary>pethMainPseConsumptionPower as the agent counts; null where not said.</summary>
    public long? Consumption { get; init; }

    /// <summary>pethMainPseOperStatus: on 1, off 2, faulty 3; null where not said.</summary>
    public int? OperStatus { get; init; }
}

/// <summary>A row of pethPsePortTable.</summary>
/// <param name="Group">The group's index.</param>
/// <param name="Index">The port's index, which may have holes before it.</param>
internal sealed record PsePort(uint Group, uint Index)
{
    /// <summary>The port's name within its unit.</summary>
    public string Name => Index.ToString(CultureInfo.InvariantCulture);

    /// <summary>Whether it may feed a PD; null where not said.</summary>
    public bool? AdminEnabled { get; init; }

    /// <summary>What it is doing.</summary>
    public DetectionStatus Status { get; init; }

    /// <summary>Who keeps power when it is short; null where not said.</summary>
    public PortPriority? Priority { get; init; }

    /// <summary>The class of the PD, 0 to 8; null while not delivering, or where not said.</summary>
    public int? PdClass { get; init; }

    /// <summary>pethPsePortType, what somebody wrote that hangs there; null where empty.</summary>
    public string? TypeText { get; init; }

    /// <summary>pethPsePortActualPower of IEEE 802.3.1, watts; null where the agent has no such table.</summary>
    public decimal? DrawWatts { get; init; }

    /// <summary>pethPsePortCumulativeEnergy of IEEE 802.3.1, watt-hours; null where the agent has no such table.</summary>
    public decimal? EnergyWattHours { get; init; }

    /// <summary>True where the row stands in RFC 3621's table, false where in that of IEEE 802.3.1 alone.</summary>
    public bool Rfc3621 { get; init; }
}

/// <summary>
/// Reads POWER-ETHERNET-MIB (RFC 3621) and its successor IEEE8023-POWER-ETHERNET-MIB (IEEE 802.3.1), which has the same columns and adds what a port draws. Where
/// both have a value, RFC 3621's is taken.
/// </summary>
internal sealed class PowerEthernetTables
{
    private const uint Admin = 3, Detection = 6, PowerPriority = 7, PortType = 9, Classification = 10, ActualPower = 15, CumulativeEnergy = 17;
    private const uint MainPower = 2, MainStatus = 3, MainConsumption = 4;

    private readonly SnmpFindings _findings;

    /// <summary>Reads the tables.</summary>
    public PowerEthernetTables(SnmpFindings findings) => _findings = findings;

    /// <summary>The roots of the two modules.</summary>
    public static Oid Rfc3621 { get; } = Oid.Parse("1.3.6.1.2.1.105");

    /// <summary>The successor's root.</summary>
    public static Oid Ieee8023 { get; } = Oid.Parse("1.3.111.2.802.3.1.8");

    /// <summary>The columns that are read of a module.</summary>
    public static IReadOnlyList<Oid> Columns(Oid root) =>
    [
        .. new[] { MainPower, MainStatus, MainConsumption }.Select(column => Main(root).Then(column)),
        .. new[] { Admin, Detection, PowerPriority, PortType, Classification }.Select(column => Port(root).Then(column)),
        .. root == Ieee8023 ? new[] { Port(root).Then(ActualPower), Port(root).Then(CumulativeEnergy) } : [],
    ];

    /// <summary>The groups in order: those of the main table, and those that only ports name.</summary>
    public IReadOnlyList<PseGroup> Groups(IEnumerable<PsePort> ports)
    {
        SortedSet<uint> indexes = [];
        foreach (Oid root in new[] { Rfc3621, Ieee8023 })
        {
            indexes.UnionWith(_findings.Indexes(Main(root), 1, MainPower, MainStatus, MainConsumption).Select(index => index[0]));
        }

        SortedSet<uint> named = [.. ports.Select(port => port.Group)];
        foreach (uint group in named.Where(group => !indexes.Contains(group)))
        {
            _findings.Add(
                ProblemId.RowIncomplete, group.ToString(CultureInfo.InvariantCulture),
                $"The ports of group {group.ToString(CultureInfo.InvariantCulture)} have no row in pethMainPseTable, so that neither budget nor state of their controller is known.",
                "Read the agent again; if it stays so, tell the maker of the switch.");
        }

        return [.. indexes.Union(named).OrderBy(group => group).Select(Group)];
    }

    /// <summary>The ports in order. One whose state is missing or cannot be is told and left out.</summary>
    public IReadOnlyList<PsePort> Ports()
    {
        SortedDictionary<Oid, PsePort> ports = [];
        foreach (Oid root in new[] { Rfc3621, Ieee8023 })
        {
            foreach (uint[] index in _findings.Indexes(Port(root), 2, Admin, Detection, PowerPriority, Classification, ActualPower))
            {
                if (!ports.ContainsKey(Oid.Of(index)) && ReadPort(index) is { } port)
                {
                    ports.Add(Oid.Of(index), port);
                }
            }
        }

        return [.. ports.Values];
    }

    private static Oid Port(Oid root) => root.Then(1, 1, 1);

    private static Oid Main(Oid root) => root.Then(1, 3, 1, 1);

    private PseGroup Group(uint index)
    {
        var group = new PseGroup(index);
        long? Cell(uint column, string what, long least, long most) =>
            _findings.Number(Main(Rfc3621).Then(column, index), what, group.Unit, least, most) ?? _findings.Number(Main(Ieee8023).Then(column, index), what, group.Unit, least, most);
        return group with
        {
            Power = Cell(MainPower, "pethMainPsePower", 0, uint.MaxValue),
            OperStatus = (int?)Cell(MainStatus, "pethMainPseOperStatus", 1, 3),
            Consumption = Cell(MainConsumption, "pethMainPseConsumptionPower", 0, uint.MaxValue),
        };
    }

    private PsePort? ReadPort(uint[] index)
    {
        var port = new PsePort(index[0], index[1]);
        string unit = index[0].ToString(CultureInfo.InvariantCulture);
        long? Cell(uint column, string what, long least, long most) =>
            _findings.Number(Port(Rfc3621).Then([column, .. index]), what, unit, least, most) ?? _findings.Number(Port(Ieee8023).Then([column, .. index]), what, unit, least, most);
        bool said = _findings.Rows.Find(Port(Rfc3621).Then([Detection, .. index])) is not null || _findings.Rows.Find(Port(Ieee8023).Then([Detection, .. index])) is not null;
        if ((int?)Cell(Detection, "pethPsePortDetectionStatus", 1, 6) is not { } status)
        {
            if (!said)
            {
                _findings.Add(ProblemId.RowIncomplete, unit, $"Port {port.Name} of group {unit} has no pethPsePortDetectionStatus and was left out.", "Read the agent again; if it stays so, tell the maker of the switch.");
            }

            return null;
        }

        // The class is valid only while the port delivers (RFC 3621); what idle ports say there is of the PD before.
        bool delivers = status == (int)DetectionStatus.DeliveringPower;
        return port with
        {
            Status = (DetectionStatus)status,
            AdminEnabled = Cell(Admin, "pethPsePortAdminEnable", 1, 2) is { } enabled ? enabled == 1 : null,
            Priority = Cell(PowerPriority, "pethPsePortPowerPriority", 1, 3) is { } priority ? PriorityCodes.Read(PriorityCoding.PowerEthernetMib, (int)priority) : null,
            PdClass = delivers && Cell(Classification, "pethPsePortPowerClassifications", 1, 9) is { } coded ? (int)coded - 1 : null,
            TypeText = _findings.Text(Port(Rfc3621).Then([PortType, .. index]), "pethPsePortType", unit) ?? _findings.Text(Port(Ieee8023).Then([PortType, .. index]), "pethPsePortType", unit),
            DrawWatts = _findings.Number(Port(Ieee8023).Then([ActualPower, .. index]), "pethPsePortActualPower", unit, 0, 200_000) / 1000m,
            EnergyWattHours = _findings.Number(Port(Ieee8023).Then([CumulativeEnergy, .. index]), "pethPsePortCumulativeEnergy", unit, 0, uint.MaxValue) is { } energy ? decimal.Round(energy / 3_600_000m, 6) : null,
            Rfc3621 = _findings.Rows.Find(Port(Rfc3621).Then([Detection, .. index])) is not null,
        };
    }
}
