using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Snmp;

/// <summary>What is known beside the objects of an agent.</summary>
public sealed record SnmpContext
{
    /// <summary>The switch that the objects are of.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>Where they came from: <c>snmp</c>, or the path of a saved walk.</summary>
    public string Source { get; init; } = "snmp";

    /// <summary>When they were read, UTC.</summary>
    public DateTime ReadUtc { get; init; }

    /// <summary>How the agent counts the watts of a unit.</summary>
    public MainPowerUnit MainPower { get; init; }

    /// <summary>The ifIndex of PSE ports that nothing else tells, by unit and port with a slash between, such as <c>1/17</c>.</summary>
    public IReadOnlyDictionary<string, uint> Interfaces { get; init; } = new Dictionary<string, uint>();

    /// <summary>Told what is asked and answered, a line for each datagram with the switch in front, on whatever thread asks; null where nobody listens.</summary>
    public Action<string>? Heard { get; init; }
}

/// <summary>What an agent gave: its controllers with their ports, and everything that could not be read.</summary>
/// <param name="Controllers">In the order of their groups' indexes.</param>
/// <param name="Problems">What is wrong, each with its unit or its switch as target.</param>
public sealed record SnmpReading(IReadOnlyList<Controller> Controllers, IReadOnlyList<Problem> Problems);

/// <summary>
/// Makes controllers with their ports out of the standard tables of an agent, or of a saved walk of them: POWER-ETHERNET-MIB (RFC 3621) and its successor of IEEE 802.3.1,
/// ENTITY-MIB (RFC 6933), IF-MIB (RFC 2863), BRIDGE-MIB (RFC 4188), LLDP-MIB, LLDP-V2-MIB and the extensions of ANSI/TIA-1057 and IEEE 802.3. No dialect is needed.
/// </summary>
public sealed class SnmpControllers
{
    private const int Off = 2, Faulty = 3;
    private static readonly string[] StatusWords = ["", "on", "off", "faulty"];

    private readonly SnmpContext _context;
    private readonly SnmpFindings _findings;
    private readonly EntityTables _entities;
    private readonly InterfaceTables _interfaces;
    private readonly NeighbourTables _neighbours;

    private SnmpControllers(SnmpRows rows, SnmpContext context)
    {
        _context = context;
        _findings = new SnmpFindings(context.Switch, rows);
        _entities = new EntityTables(_findings);
        _interfaces = new InterfaceTables(_findings);
        _neighbours = new NeighbourTables(_findings, _interfaces);
    }

    /// <summary>Reads the tables.</summary>
    /// <param name="rows">The objects.</param>
    /// <param name="context">What else is known.</param>
    /// <returns>
    /// The controllers and what is wrong: <see cref="ProblemId.PowerTablesMissing"/> where there are none, <see cref="ProblemId.RowIncomplete"/>,
    /// <see cref="ProblemId.ValueUnreadable"/>, <see cref="ProblemId.WattsImplausible"/>, <see cref="ProblemId.PortsMissing"/>, <see cref="ProblemId.ReadingsDisagree"/>,
    /// <see cref="ProblemId.PriorityUnknown"/>, <see cref="ProblemId.NeighbourPowerUnreadable"/>. Nothing throws.
    /// </returns>
    public static SnmpReading Read(SnmpRows rows, SnmpContext context)
    {
        var reader = new SnmpControllers(rows, context);
        IReadOnlyList<Controller> controllers = reader.All();
        return new SnmpReading(controllers, reader._findings.Problems);
    }

    private IReadOnlyList<Controller> All()
    {
        var tables = new PowerEthernetTables(_findings);
        IReadOnlyList<PsePort> ports = tables.Ports();
        IReadOnlyList<PseGroup> groups = tables.Groups(ports);
        if (groups.Count == 0)
        {
            _findings.Add(
                ProblemId.PowerTablesMissing, null, $"The agent of '{_context.Switch}' has neither POWER-ETHERNET-MIB (RFC 3621) nor its successor of IEEE 802.3.1.",
                "Check that it feeds PDs, and that the community or user may see 1.3.6.1.2.1.105; or read its console.");
            return [];
        }

        ILookup<uint, PsePort> byGroup = ports.ToLookup(port => port.Group);
        var units = new UnitEntities(_entities, groups);
        var watts = new WattsCheck(_context.MainPower, groups, byGroup, _findings);
        var interfaces = new PortInterfaces(_entities, _interfaces, _context.Interfaces, groups.Count > 1);
        Controller[] made = [.. groups.Select(group => Make(group, [.. byGroup[group.Index]], units, watts, interfaces))];
        return [.. made.Select(one => one with { SwitchUnits = made.Length, ReadingProblems = _findings.Count(one.Unit) })];
    }

    private Controller Make(PseGroup group, PsePort[] ports, UnitEntities units, WattsCheck watts, PortInterfaces interfaces)
    {
        if (ports.Length == 0 && group.OperStatus != Off)
        {
            _findings.Add(ProblemId.PortsMissing, group.Unit, $"Group {group.Unit} has no row in pethPsePortTable.", "Read the agent again; if it stays so, tell the maker of the switch.");
        }

        if (group.Power == 0 && group.OperStatus != Off)
        {
            _findings.Add(ProblemId.ValueUnreadable, group.Unit, $"pethMainPsePower of group {group.Unit} is 0, and 1 to 65535 W were expected.", "Look at the unit's budget on its console.");
        }

        Entity? entity = units.Of(group);
        IReadOnlyDictionary<uint, PortInterface> found = interfaces.Of(group, entity, ports);
        string? firmware = units.Firmware(group, out string? why);
        return new Controller
        {
            Switch = _context.Switch,
            Unit = group.Unit,
            Model = entity?.Model,
            Serial = entity?.Serial,
            Firmware = firmware,
            FirmwareUnread = why,
            Release = entity?.Software,
            Condition = group.OperStatus switch { 1 => ControllerCondition.Healthy, Faulty => ControllerCondition.Faulted, _ => ControllerCondition.Unknown },
            ConditionText = group.OperStatus is { } status ? StatusWords[status] : null,
            BudgetWatts = group.Power == 0 ? null : watts.Watts(group.Power),
            DrawWatts = watts.Watts(group.Consumption),
            Source = _context.Source,
            ReadUtc = _context.ReadUtc,
            Ports = [.. ports.Select(port => Make(port, found.TryGetValue(port.Index, out PortInterface one) ? one : default))],
        };
    }

    private Port Make(PsePort port, PortInterface at)
    {
        string unit = new PseGroup(port.Group).Unit;
        bool placed = at.Rule != InterfaceRule.None;
        Neighbour[] heard = !placed ? [] : Likeliest(_neighbours.On(at.Index));
        string? neighbour = heard.Length == 0 ? null : Written(string.Join(", ", heard.Select(one => one.Name).Where(name => name is not null).Distinct(StringComparer.Ordinal)));
        decimal? agreed = port.Status == DetectionStatus.DeliveringPower && heard.Length == 1 ? Watts(heard[0].Tenths, unit) : null;
        string? description = (placed ? _interfaces.ShownAlias(at.Index, unit) : null) ?? port.TypeText;
        return new Port
        {
            Switch = _context.Switch,
            Unit = unit,
            Name = port.Name,
            Interface = placed ? _interfaces.ShownName(at.Index, unit) : null,
            AdminEnabled = port.AdminEnabled,
            Status = port.Status,
            PdClass = port.PdClass,
            Priority = port.Priority ?? (placed ? _neighbours.LocalPriority(at.Index) : null) ?? heard.FirstOrDefault()?.Priority,
            DrawWatts = port.DrawWatts,
            EnergyWattHours = port.EnergyWattHours,
            AllocatedPdWatts = agreed,
            AllocatedBy = agreed is null ? null : AllocationSource.Neighbour,
            Description = description,
            Neighbour = neighbour,
            NeighbourCapabilities = heard.Length == 1 ? Written(string.Join(", ", heard[0].Capabilities)) : null,
            Load = neighbour ?? description,
            Source = SourceOf(port, at, heard),
        };
    }

    private static Neighbour[] Likeliest(IEnumerable<Neighbour> heard)
    {
        Neighbour[] all = [.. heard];
        int best = all.Length == 0 ? 0 : all.Max(one => one.Rank);
        return [.. all.Where(one => one.Rank == best).OrderBy(one => one.Index)];
    }

    private decimal? Watts(int? tenths, string unit)
    {
        if (tenths is null or 0)
        {
            return null;
        }

        try
        {
            return Allocation.OfNeighbour(tenths.Value).Watts.Value;
        }
        catch (PoeOpsException exception)
        {
            _findings.Add(unit, exception.Problem);
            return null;
        }
    }

    // What is known of the port, and that its watts are not where they are not.
    private static string SourceOf(PsePort port, PortInterface at, Neighbour[] heard)
    {
        string table = port.Rfc3621 ? "RFC 3621" : "IEEE 802.3.1";
        string draw = port.DrawWatts is null ? "no watts drawn" : "watts drawn by IEEE 802.3.1";
        string place = at.Rule switch
        {
            InterfaceRule.EntityPosition => "interface by entity position",
            InterfaceRule.NameOrder => "interface by order of names",
            InterfaceRule.Given => "interface as given",
            _ => "interface not known",
        };
        string neighbour = heard.Length == 0 ? string.Empty : "; neighbour by " + heard[0].Tables;
        return $"{table}; {draw}; {place}{neighbour}";
    }

    private static string? Written(string text) => text.Length == 0 ? null : text;
}
