using PoeOps.Estate;

namespace PoeOps.Snmp;

/// <summary>An interface, as IF-MIB names it; its texts are for finding it, not to be shown.</summary>
/// <param name="Index">ifIndex.</param>
/// <param name="Name">ifName, or ifDescr where the agent has no ifName; null where it has neither.</param>
/// <param name="Description">ifDescr.</param>
/// <param name="Alias">ifAlias: what somebody wrote there.</param>
/// <param name="Type">ifType; 0 where not said.</param>
internal sealed record Interface(uint Index, string? Name, string? Description, string? Alias, int Type)
{
    // ethernetCsmacd 6; fastEther 62, fastEtherFX 69 and gigabitEthernet 117 are older words for the same (IANAifType-MIB; the last three from memory).
    /// <summary>True for Ethernet; where the agent says no type, nothing speaks against it.</summary>
    public bool IsEthernet => Type is 0 or 6 or 62 or 69 or 117;
}

/// <summary>Reads the names of interfaces (RFC 2863) and which bridge port is which interface (RFC 4188).</summary>
internal sealed class InterfaceTables
{
    private static readonly Oid IfEntry = Oid.Parse("1.3.6.1.2.1.2.2.1");
    private static readonly Oid IfXEntry = Oid.Parse("1.3.6.1.2.1.31.1.1.1");
    private static readonly Oid BasePortIfIndex = Oid.Parse("1.3.6.1.2.1.17.1.4.1.2");

    private readonly SnmpFindings _findings;
    private readonly SortedDictionary<uint, Interface> _interfaces = [];
    private readonly Dictionary<uint, uint> _ofBridgePort = [];
    private readonly Dictionary<string, uint?>[] _names;

    /// <summary>Reads the tables.</summary>
    public InterfaceTables(SnmpFindings findings)
    {
        _findings = findings;
        IEnumerable<uint[]> indexes = findings.Indexes(IfXEntry, 1, 1, 18).Concat(findings.Indexes(IfEntry, 1, 2, 3));
        foreach (uint index in indexes.Select(one => one[0]).Distinct())
        {
            string? description = findings.Loose(IfEntry.Then(2, index));
            _interfaces[index] = new Interface(
                index,
                findings.Loose(IfXEntry.Then(1, index)) ?? description,
                description,
                findings.Loose(IfXEntry.Then(18, index)),
                (int)(findings.Number(IfEntry.Then(3, index), "ifType", null, 1, int.MaxValue) ?? 0));
        }

        _names = [Names(one => one.Name), Names(one => one.Description), Names(one => one.Alias)];
        foreach (uint[] port in findings.Indexes(BasePortIfIndex.Parent(), 1, 2))
        {
            if (findings.Number(BasePortIfIndex.Then(port), "dot1dBasePortIfIndex", null, 0, int.MaxValue) is { } ifIndex and > 0)
            {
                _ofBridgePort[port[0]] = (uint)ifIndex;
            }
        }
    }

    /// <summary>The columns that are read.</summary>
    public static IReadOnlyList<Oid> Columns { get; } = [IfXEntry.Then(1), IfXEntry.Then(18), IfEntry.Then(2), IfEntry.Then(3), BasePortIfIndex];

    /// <summary>All of them, by their index.</summary>
    public IReadOnlyCollection<Interface> All => _interfaces.Values;

    /// <summary>ifName of an interface of a unit, or ifDescr where the agent has none, to be shown; null where it has neither, or they are no texts, which is told.</summary>
    public string? ShownName(uint index, string unit) => _findings.Text(IfXEntry.Then(1, index), "ifName", unit) ?? _findings.Text(IfEntry.Then(2, index), "ifDescr", unit);

    /// <summary>ifAlias of an interface of a unit, to be shown; null where it is empty, or no text, which is told.</summary>
    public string? ShownAlias(uint index, string unit) => _findings.Text(IfXEntry.Then(18, index), "ifAlias", unit);

    /// <summary>The interface of an index; null where there is none.</summary>
    public Interface? Find(uint index) => _interfaces.TryGetValue(index, out Interface? found) ? found : null;

    /// <summary>The interface of a bridge port; null where there is none.</summary>
    public uint? OfBridgePort(uint port) => _ofBridgePort.TryGetValue(port, out uint found) ? found : null;

    /// <summary>The one interface that bears a name, as ifName, ifDescr or ifAlias, in that order; null where none does, or several.</summary>
    public uint? Named(string? name)
    {
        if (string.IsNullOrEmpty(name))
        {
            return null;
        }

        foreach (Dictionary<string, uint?> names in _names)
        {
            if (names.TryGetValue(name!, out uint? found))
            {
                return found;
            }
        }

        return null;
    }

    // A name that several interfaces bear is none of them.
    private Dictionary<string, uint?> Names(Func<Interface, string?> of)
    {
        Dictionary<string, uint?> names = new(StringComparer.OrdinalIgnoreCase);
        foreach (Interface one in _interfaces.Values.Where(one => of(one) is not null))
        {
            names[of(one)!] = names.ContainsKey(of(one)!) ? null : one.Index;
        }

        return names;
    }

    /// <summary>Ethernet interfaces in the natural order of their names.</summary>
    public IReadOnlyList<Interface> EthernetByName() =>
        [.. _interfaces.Values.Where(one => one.IsEthernet && one.Name is not null).OrderBy(one => one.Name!, NaturalOrder.Instance)];
}
