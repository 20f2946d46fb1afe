namespace PoeOps.Estate;

/// <summary>What a rehearsal changes in an estate.</summary>
/// <param name="Endpoint">Where each switch is to be found, by its name.</param>
/// <param name="Window">The one window of each site, in the site's local time; it takes the place of all windows and freezes.</param>
/// <param name="Clock">How time goes.</param>
/// <param name="FileServer">The host at which the units reach our file server.</param>
public sealed record EstateChange(Func<string, SwitchEndpoint> Endpoint, Func<Site, ExtraWindow> Window, RehearsalClock Clock, string FileServer);

/// <summary>Where a switch is to be found.</summary>
/// <param name="Address">A host name or an IP address.</param>
/// <param name="Port">The TCP port.</param>
/// <param name="Link">How it is reached.</param>
/// <param name="SnmpPort">The UDP port of its SNMP agent; null where it has none.</param>
public sealed record SwitchEndpoint(string Address, int Port, LinkKind Link, int? SnmpPort = null);
