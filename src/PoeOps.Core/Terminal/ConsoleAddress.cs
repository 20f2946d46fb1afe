using System.Globalization;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>Reads where a console is, as a user writes it on the line.</summary>
public static class ConsoleAddress
{
    /// <summary>Takes an address apart.</summary>
    /// <param name="address">A host name or an IP address, with a colon and a port behind it or not; of IPv6 with a port in square brackets.</param>
    /// <param name="link">How it is spoken to; gives the port where none is named.</param>
    /// <returns>A switch that is named like its host.</returns>
    /// <exception cref="PoeOpsException">It is no host with a port, or raw TCP has none (<see cref="ProblemId.ConnectFailed"/>).</exception>
    public static Switch Parse(string address, LinkKind link)
    {
        string host = address.Trim();
        int? port = null;
        int colon = host.LastIndexOf(':');
        if (colon >= 0 && (host.IndexOf(':') == colon || host[colon - 1] == ']'))
        {
            port = int.TryParse(host.Substring(colon + 1), NumberStyles.None, CultureInfo.InvariantCulture, out int number) && number is > 0 and <= 65535 ? number : throw Wrong(address);
            host = host.Substring(0, colon);
        }

        host = host.Length > 2 && host[0] == '[' && host[host.Length - 1] == ']' ? host.Substring(1, host.Length - 2) : host;
        var place = new Switch { Name = host, Address = host, Port = port, Link = link };
        return Uri.CheckHostName(host) != UriHostNameType.Unknown && place.TcpPort > 0 ? place : throw Wrong(address);
    }

    private static PoeOpsException Wrong(string address) =>
        new(new Problem(ProblemId.ConnectFailed, $"The address '{Excerpt.Of(address)}' is no host, or no port from 1 to 65535 stands behind its colon, or raw TCP has no port.", "Write it as 192.0.2.7:2003 or core-1."));
}
