using System.Globalization;
using System.Net;
using PoeOps.Estate;

namespace PoeOps.Snmp;

/// <summary>
/// Reads the neighbours of LLDP-MIB and LLDP-V2-MIB (IEEE 802.1AB), what LLDP-EXT-MED-MIB (ANSI/TIA-1057) and LLDP-EXT-DOT3-MIB (IEEE 802.3) say of their power, and
/// which interface each was heard on.
/// </summary>
internal sealed class NeighbourTables
{
    private static readonly string[] CapabilityWords = ["other", "repeater", "bridge", "wlanAccessPoint", "router", "telephone", "docsisCableDevice", "stationOnly"];

    private static readonly Oid LocalPort = Oid.Parse("1.0.8802.1.1.2.1.3.7.1");
    private static readonly Oid Remote = Oid.Parse("1.0.8802.1.1.2.1.4.1.1");
    private static readonly Oid RemoteV2 = Oid.Parse("1.3.111.2.802.1.1.13.1.4.1.1");
    private static readonly Oid MedRemote = Oid.Parse("1.0.8802.1.1.2.1.5.4795.1.3");
    private static readonly Oid MedLocal = Oid.Parse("1.0.8802.1.1.2.1.5.4795.1.2.11.1");
    private static readonly Oid Dot3Remote = Oid.Parse("1.0.8802.1.1.2.1.5.4623.1.3.2.1");
    private static readonly Oid Dot3Local = Oid.Parse("1.0.8802.1.1.2.1.5.4623.1.2.2.1");
    private static readonly Oid Dot3RemoteV2 = Oid.Parse("1.3.111.2.802.1.1.13.1.5.4623.1.3.2.1");

    private readonly SnmpFindings _findings;
    private readonly InterfaceTables _interfaces;
    private readonly Dictionary<uint, uint?> _ofLocalPort = [];
    private readonly Dictionary<Oid, Dictionary<(uint Port, uint Index), uint[]>> _newest = [];
    private readonly ILookup<uint, Neighbour> _byInterface;

    /// <summary>Reads the tables.</summary>
    public NeighbourTables(SnmpFindings findings, InterfaceTables interfaces)
    {
        (_findings, _interfaces) = (findings, interfaces);
        Neighbour[] first = [.. Read(Remote, 4, localPorts: true)];
        HashSet<uint> heard = [.. first.Select(one => one.IfIndex)];
        _byInterface = first.Concat(Read(RemoteV2, 5, localPorts: false).Where(one => !heard.Contains(one.IfIndex))).ToLookup(one => one.IfIndex);
    }

    /// <summary>The columns that are read, without those of the newer module.</summary>
    public static IReadOnlyList<Oid> Columns { get; } =
    [
        LocalPort.Then(2), LocalPort.Then(3), LocalPort.Then(4), Remote.Then(4), Remote.Then(5), Remote.Then(9), Remote.Then(12),
        MedRemote.Then(1, 1, 3), MedRemote.Then(5, 1, 1), MedRemote.Then(7, 1, 1), MedRemote.Then(7, 1, 3), MedLocal.Then(2),
        Dot3Remote.Then(1), Dot3Remote.Then(7), Dot3Remote.Then(9), Dot3Remote.Then(11), Dot3Local.Then(11),
    ];

    /// <summary>The columns of the newer module.</summary>
    public static IReadOnlyList<Oid> ColumnsV2 { get; } = [RemoteV2.Then(5), RemoteV2.Then(6), RemoteV2.Then(10), RemoteV2.Then(13), Dot3RemoteV2.Then(1)];

    /// <summary>True for a column of a table whose index begins with a time mark.</summary>
    public static bool IsTimeMarked(Oid column) => new[] { Remote, RemoteV2, MedRemote, Dot3Remote, Dot3RemoteV2 }.Any(column.IsWithin);

    /// <summary>The neighbours on an interface.</summary>
    public IEnumerable<Neighbour> On(uint ifIndex) => _byInterface[ifIndex];

    /// <summary>The priority that LLDP-MED has set for the port of an interface (lldpXMedLocXPoEPSEPortPDPriority); null where it says none.</summary>
    public PortPriority? LocalPriority(uint ifIndex)
    {
        foreach (VarBind one in _findings.Rows.Within(MedLocal.Then(2)))
        {
            if (one.Name.After(MedLocal.Length + 1) is [uint port] && InterfaceOf(port) == ifIndex)
            {
                return Priority(one.Name, PriorityCoding.MedMib, "lldpXMedLocXPoEPSEPortPDPriority");
            }
        }

        return null;
    }

    // With a time filter one neighbour is walked many times under rising marks (RFC 4502): the row with the highest mark is the newest.
    private IEnumerable<Neighbour> Read(Oid entry, uint firstColumn, bool localPorts)
    {
        Dictionary<RemoteKey, uint> marks = [];
        foreach (uint[] index in _findings.Indexes(entry, localPorts ? 3 : 4, firstColumn, firstColumn + 1, firstColumn + 5, firstColumn + 8))
        {
            RemoteKey key = localPorts ? new(index[1], 0, index[2]) : new(index[1], index[2], index[3]);
            marks[key] = marks.TryGetValue(key, out uint mark) ? Math.Max(mark, index[0]) : index[0];
        }

        foreach (KeyValuePair<RemoteKey, uint> one in marks.OrderBy(one => one.Key.Port).ThenBy(one => one.Key.Index))
        {
            uint? ifIndex = localPorts ? InterfaceOf(one.Key.Port) : one.Key.Port;
            if (ifIndex is { } found)
            {
                uint[] index = localPorts ? [one.Value, one.Key.Port, one.Key.Index] : [one.Value, one.Key.Port, one.Key.Destination, one.Key.Index];
                yield return Read(entry, firstColumn, index, found, localPorts);
            }
        }
    }

    private Neighbour Read(Oid entry, uint firstColumn, uint[] index, uint ifIndex, bool older)
    {
        SnmpValue? capabilities = _findings.Rows.Find(entry.Then([firstColumn + 8, .. index]));
        var neighbour = new Neighbour
        {
            IfIndex = ifIndex,
            Index = index[index.Length - 1],
            Name = _findings.Text(entry.Then([firstColumn + 5, .. index]), "lldpRemSysName") ?? ChassisId(entry, firstColumn, index),
            Capabilities = capabilities is null ? [] : [.. CapabilityWords.Where((_, bit) => capabilities.HasBit(bit))],
            Tables = "LLDP",
        };
        return older
            ? Dot3(Med(neighbour, index), index)
            : neighbour with { IsPd = _findings.Number(Dot3RemoteV2.Then([1, .. index]), "lldpV2Xdot3RemPowerPortClass", null, 1, 2) == 2 };
    }

    private Neighbour Med(Neighbour neighbour, uint[] index)
    {
        uint[] row = Newest(MedRemote.Then(1, 1, 3), index) ?? Newest(MedRemote.Then(5, 1, 1), index) ?? Newest(MedRemote.Then(7, 1, 1), index) ?? [];
        if (row.Length == 0)
        {
            return neighbour;
        }

        int endpoint = (int)(_findings.Number(MedRemote.Then([1, 1, 3, .. row]), "lldpXMedRemDeviceClass", null, 0, 4) ?? 0);
        return neighbour with
        {
            EndpointClass = endpoint is >= 1 and <= 3 ? endpoint : 0,
            IsPd = _findings.Number(MedRemote.Then([5, 1, 1, .. row]), "lldpXMedRemXPoEDeviceType", null, 1, 4) == 3,
            Tenths = (int?)_findings.Number(MedRemote.Then([7, 1, 1, .. row]), "lldpXMedRemXPoEPDPowerReq", null, 0, uint.MaxValue / 2),
            Priority = Priority(MedRemote.Then([7, 1, 3, .. row]), PriorityCoding.MedMib, "lldpXMedRemXPoEPDPowerPriority"),
            Tables = neighbour.Tables + ", LLDP-MED",
        };
    }

    // Where both tell of power, IEEE 802.3 is newer and says what was agreed on, not only what is asked for.
    private Neighbour Dot3(Neighbour neighbour, uint[] index)
    {
        uint[] row = Newest(Dot3Remote.Then(1), index) ?? Newest(Dot3Remote.Then(11), index) ?? [];
        if (row.Length == 0)
        {
            return neighbour;
        }

        bool pd = _findings.Number(Dot3Remote.Then([1, .. row]), "lldpXdot3RemPowerPortClass", null, 1, 2) == 2 || (_findings.Rows.Find(Dot3Remote.Then([7, .. row]))?.HasBit(1) ?? false);
        int? allocated = Agreed(Dot3Local.Then(11, row[1]), "lldpXdot3LocPSEAllocatedPowerValue") ?? Agreed(Dot3Remote.Then([11, .. row]), "lldpXdot3RemPSEAllocatedPowerValue");
        return neighbour with
        {
            IsPd = neighbour.IsPd || pd,
            Tenths = pd ? allocated ?? neighbour.Tenths : neighbour.Tenths,
            Priority = Priority(Dot3Remote.Then([9, .. row]), PriorityCoding.Dot3Mib, "lldpXdot3RemPowerPriority") ?? neighbour.Priority,
            Tables = neighbour.Tables + ", LLDP 802.3",
        };
    }

    private int? Agreed(Oid name, string what) => (int?)_findings.Number(name, what, null, 0, uint.MaxValue / 2) is { } tenths and > 0 ? tenths : null;

    private uint[]? Newest(Oid column, uint[] index)
    {
        if (!_newest.TryGetValue(column, out Dictionary<(uint Port, uint Index), uint[]>? rows))
        {
            rows = [];
            foreach (uint[] found in _findings.Rows.Within(column).Select(one => one.Name.After(column.Length)).Where(found => found.Length == 3))
            {
                // In order of their marks, so that the newest comes last.
                rows[(found[1], found[2])] = found;
            }

            _newest.Add(column, rows);
        }

        return rows.TryGetValue((index[1], index[2]), out uint[]? newest) ? newest : null;
    }

    private PortPriority? Priority(Oid name, PriorityCoding coding, string what)
    {
        if (_findings.Number(name, what, null, int.MinValue, int.MaxValue) is not { } number)
        {
            return null;
        }

        try
        {
            return PriorityCodes.Read(coding, (int)number);
        }
        catch (PoeOpsException exception)
        {
            _findings.Add(null, exception.Problem with { Sentence = $"{what} ({name}): {exception.Problem.Sentence}" });
            return null;
        }
    }

    // On a bridge a local port number is that of a bridge port, elsewhere it is ifIndex; what the agent calls the port must not speak against it.
    private uint? InterfaceOf(uint localPort)
    {
        if (_ofLocalPort.TryGetValue(localPort, out uint? known))
        {
            return known;
        }

        uint? numbered = _interfaces.OfBridgePort(localPort) ?? (_interfaces.Find(localPort) is null ? null : localPort);
        uint? named = NamedBy(localPort);
        uint? result = numbered ?? named;
        if (numbered is not null && named is not null && numbered != named)
        {
            result = null;
            _findings.Add(
                ProblemId.ReadingsDisagree, null,
                $"LLDP's local port {Say(localPort)} is interface {Say(numbered.Value)} by its number and interface {Say(named.Value)} by its name, so that nobody knows whose neighbours were heard on it.",
                "Compare lldpLocPortTable with dot1dBasePortTable on the switch.");
        }

        return _ofLocalPort[localPort] = result;
    }

    // lldpLocPortIdSubtype: interfaceAlias 1, interfaceName 5, local 7; others are no names of interfaces.
    private uint? NamedBy(uint localPort)
    {
        long? subtype = _findings.Number(LocalPort.Then(2, localPort), "lldpLocPortIdSubtype", null, 1, 7);
        string? id = subtype is 1 or 5 or 7 ? _findings.Text(LocalPort.Then(3, localPort), "lldpLocPortId") : null;
        return _interfaces.Named(id) ?? _interfaces.Named(_findings.Text(LocalPort.Then(4, localPort), "lldpLocPortDesc"));
    }

    // lldpRemChassisIdSubtype: macAddress 4, networkAddress 5 with the family in front (IPv4 1, IPv6 2); the others are texts.
    private string? ChassisId(Oid entry, uint firstColumn, uint[] index)
    {
        Oid name = entry.Then([firstColumn + 1, .. index]);
        if (_findings.Rows.Find(name) is not { Type: SnmpType.OctetString } value || value.OctetCount == 0)
        {
            return null;
        }

        byte[] octets = value.Octets;
        long? subtype = _findings.Number(entry.Then([firstColumn, .. index]), "lldpRemChassisIdSubtype", null, 1, 7);
        return subtype switch
        {
            5 when octets is [1, _, _, _, _] || (octets.Length == 17 && octets[0] == 2) => new IPAddress([.. octets.Skip(1)]).ToString(),
            4 or 5 => string.Join(":", octets.Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture))),
            _ => _findings.Text(name, "lldpRemChassisId"),
        };
    }

    private static string Say(uint number) => number.ToString(CultureInfo.InvariantCulture);
}
