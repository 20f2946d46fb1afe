using PoeOps.Estate;

namespace PoeOps.Snmp;

/// <summary>A neighbour that LLDP has heard of on an interface, with what it says of its power.</summary>
internal sealed record Neighbour
{
    /// <summary>The interface that it was heard on.</summary>
    public uint IfIndex { get; init; }

    /// <summary>Its number among the neighbours of the switch.</summary>
    public uint Index { get; init; }

    /// <summary>lldpRemSysName, or else its chassis id; null where it says neither.</summary>
    public string? Name { get; init; }

    /// <summary>The words for what it does now (lldpRemSysCapEnabled), in the order of the standard.</summary>
    public IReadOnlyList<string> Capabilities { get; init; } = [];

    /// <summary>The class of endpoint of LLDP-MED, 1 to 3; 0 for none.</summary>
    public int EndpointClass { get; init; }

    /// <summary>True where LLDP-MED or IEEE 802.3 says that it is a PD.</summary>
    public bool IsPd { get; init; }

    /// <summary>What is set aside for it as IEEE 802.3 has it, or else what it asks for as LLDP-MED has it, tenths of a watt at the PD; null where not said.</summary>
    public int? Tenths { get; init; }

    /// <summary>The priority that it asks for; null where it says none.</summary>
    public PortPriority? Priority { get; init; }

    /// <summary>The tables that tell of it, such as <c>LLDP, LLDP-MED</c>.</summary>
    public string Tables { get; init; } = string.Empty;

    /// <summary>How surely it is what hangs on a PSE port, and not what hangs behind that.</summary>
    public int Rank => IsPd ? 4 : EndpointClass > 0 ? 3 : Capabilities.Any(word => word is "telephone" or "wlanAccessPoint") ? 2 : Capabilities.Any(word => word is "bridge" or "router") ? 0 : 1;
}

/// <summary>What identifies a row of the remote tables: the local port, or the interface in the newer module, and a number.</summary>
/// <param name="Port">The local port's number, or ifIndex.</param>
/// <param name="Destination">The destination address' number in the newer module; 0 in the older.</param>
/// <param name="Index">The neighbour's number.</param>
internal readonly record struct RemoteKey(uint Port, uint Destination, uint Index);
