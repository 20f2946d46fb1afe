namespace PoeOps.Estate;

/// <summary>One managed box or stack, and how to reach it.</summary>
public sealed record Switch
{
    /// <summary>The name, unique in the estate without regard to case.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The site's name.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>A host name or an IP address.</summary>
    public string Address { get; init; } = string.Empty;

    /// <summary>The TCP port, for a switch that is reached by SNMP alone the UDP port; or null for the link's own.</summary>
    public int? Port { get; init; }

    /// <summary>How it is reached.</summary>
    public LinkKind Link { get; init; }

    /// <summary>True where user, password and everything said travel in clear: by Telnet and by raw TCP.</summary>
    public bool IsInClear => Link is LinkKind.Telnet or LinkKind.Tcp;

    /// <summary>True where it may be reached in clear also while nobody watches; of no meaning by other links.</summary>
    public bool ClearText { get; init; }

    /// <summary>The TCP port that is used: <see cref="Port"/>, else 23 for Telnet and 22 for SSH; 0 for raw TCP without a port. Of a switch that is reached by SNMP alone its UDP port.</summary>
    public int TcpPort => Link == LinkKind.Snmp ? SnmpPort : Port ?? (Link == LinkKind.Telnet ? 23 : Link == LinkKind.Ssh ? 22 : 0);

    /// <summary>What is said of its SNMP agent; null where nobody says anything.</summary>
    public SnmpSettings? Snmp { get; init; }

    /// <summary>The UDP port of its SNMP agent: 161 where nobody says another.</summary>
    public int SnmpPort => (Link == LinkKind.Snmp ? Port : null) ?? Snmp?.Port ?? SnmpSettings.UsualPort;

    /// <summary>The name of the dialect that it speaks; empty where it is reached by SNMP alone.</summary>
    public string Dialect { get; init; } = string.Empty;

    /// <summary>The name of the credential that logs in; empty where none is named.</summary>
    public string Credential { get; init; } = string.Empty;

    /// <summary>The host at which its units reach our file server: its own, else the estate's, else null.</summary>
    public string? FileServer { get; init; }

    /// <summary>How the power of its units is fed and handed out, with what the estate says of all switches; null where nobody says.</summary>
    public PowerSettings? Power { get; init; }

    /// <summary>What the estate says of single units.</summary>
    public IReadOnlyList<UnitSetting> Units { get; init; } = [];

    /// <summary>What the estate says of single ports.</summary>
    public IReadOnlyList<LoadSetting> Loads { get; init; } = [];
}

/// <summary>How a switch is reached.</summary>
public enum LinkKind
{
    /// <summary>Telnet (RFC 854).</summary>
    Telnet,
    /// <summary>Plain TCP, as console servers offer it.</summary>
    Tcp,
    /// <summary>SSH, by a module of the user's.</summary>
    Ssh,
    /// <summary>SNMP alone: it is read, and nothing can be loaded.</summary>
    Snmp,
}

/// <summary>What the estate says of one unit.</summary>
public sealed record UnitSetting
{
    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The line of the estate file on which this begins; null where it came from none.</summary>
    public int? Line { get; init; }

    /// <summary>Units with the same word here cover for each other; empty where none.</summary>
    public string CoverageGroup { get; init; } = string.Empty;

    /// <summary>True for the unit that carries the stack's management.</summary>
    public bool HoldsManagement { get; init; }

    /// <summary>The only windows that it may use, each as the site's local date (<c>2026-12-04</c>) or opening (<c>2026-12-04T22:00</c>); empty for any.</summary>
    public IReadOnlyList<string> OnlyWindows { get; init; } = [];

    /// <summary>Windows that it must not use, written in the same way.</summary>
    public IReadOnlyList<string> NotWindows { get; init; } = [];

    /// <summary>What of the unit's budget is kept back, watts; null where the device's own figure holds.</summary>
    public decimal? GuardBandWatts { get; init; }

    /// <summary>How its power is fed and handed out, with what is said of its switch; null where nobody says.</summary>
    public PowerSettings? Power { get; init; }
}

/// <summary>What the estate says of some ports of one unit.</summary>
public sealed record LoadSetting
{
    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The line of the estate file on which this begins; null where it came from none.</summary>
    public int? Line { get; init; }

    /// <summary>The ports, such as <c>1-8,12,A3</c>; see <see cref="PortList"/>.</summary>
    public string Ports { get; init; } = string.Empty;

    /// <summary>What people call the load; null where the neighbour's or the description's name holds.</summary>
    public string? Load { get; init; }

    /// <summary>The role's name; empty where the roles' patterns decide.</summary>
    public string Role { get; init; } = string.Empty;
}
