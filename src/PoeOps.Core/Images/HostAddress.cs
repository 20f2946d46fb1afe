using System.Net;
using System.Net.Sockets;

namespace PoeOps.Images;

/// <summary>Addresses of hosts, and the local address that reaches one.</summary>
internal static class HostAddress
{
    private const int SomePort = 69;

    /// <summary>The address of a host, or null where nobody knows its name. IPv4 comes first where it has both.</summary>
    /// <param name="host">An address, or a name.</param>
    public static IPAddress? Of(string host)
    {
        if (IPAddress.TryParse(host, out IPAddress? literal))
        {
            return literal;
        }

        try
        {
            return Dns.GetHostAddresses(host).OrderBy(one => one.AddressFamily).FirstOrDefault();
        }
        catch (Exception exception) when (exception is SocketException or ArgumentException)
        {
            // Nobody knows it, or it is no name that anybody could.
            return null;
        }
    }

    /// <summary>The local address from which a datagram to a host would go; null where none would.</summary>
    /// <param name="remote">The host.</param>
    public static IPAddress? Reaching(IPAddress remote)
    {
        // The system chooses the way to an address without sending anything: a datagram socket that is connected knows its local end.
        try
        {
            using Socket socket = new(remote.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
            socket.Connect(remote, SomePort);
            return ((IPEndPoint)socket.LocalEndPoint).Address;
        }
        catch (SocketException)
        {
            return null;
        }
    }
}
