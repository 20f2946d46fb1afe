using System.Net;
using System.Net.Sockets;

namespace PoeOps.Images;

/// <summary>The port on which a server takes requests. It knows at which address each one came in, and passes over those to many hosts. Used by one thread.</summary>
internal sealed class RequestPort : IDisposable
{
    private readonly Socket _socket;
    private readonly IPAddress _bind;
    private readonly HashSet<IPAddress> _broadcasts;

    /// <summary>Opens it.</summary>
    /// <exception cref="SocketException">The address and port cannot be had.</exception>
    public RequestPort(IPEndPoint local)
    {
        _bind = local.Address;
        _broadcasts = HostAddress.IsWildcard(_bind) ? HostAddress.Broadcasts() : [];
        bool six = _bind.AddressFamily == AddressFamily.InterNetworkV6;
        _socket = UdpPort.Open(local, socket => socket.SetSocketOption(six ? SocketOptionLevel.IPv6 : SocketOptionLevel.IP, SocketOptionName.PacketInformation, true));
        Endpoint = (IPEndPoint)_socket.LocalEndPoint;
    }

    /// <summary>Where it listens.</summary>
    public IPEndPoint Endpoint { get; }

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    /// <summary>Waits for a datagram.</summary>
    /// <param name="into">Takes its octets; of a longer one only so many.</param>
    /// <param name="client">Who sent it.</param>
    /// <param name="local">The address that it was sent to, to answer from.</param>
    /// <returns>How many octets; -1 where it was sent to many hosts: such a request is passed over in silence (RFC 1123 section 4.2.3.5).</returns>
    /// <exception cref="SocketException">Something came of an earlier datagram.</exception>
    /// <exception cref="ObjectDisposedException">The port was closed meanwhile.</exception>
    public int Receive(byte[] into, out IPEndPoint client, out IPAddress local)
    {
        EndPoint from = UdpPort.Anybody(_bind.AddressFamily);
        SocketFlags flags = SocketFlags.None;
        int count = _socket.ReceiveMessageFrom(into, 0, into.Length, ref flags, ref from, out IPPacketInformation information);
        client = (IPEndPoint)from;
        local = _bind;
        if (information.Address is not { } destination || HostAddress.IsWildcard(destination))
        {
            return count;
        }

        if (!HostAddress.IsWildcard(_bind))
        {
            // Some systems hand over broadcasts to a port of one address too.
            return HostAddress.IsSame(_bind, destination) ? count : -1;
        }

        local = destination.IsIPv6LinkLocal ? new IPAddress(destination.GetAddressBytes(), information.Interface) : destination;
        return HostAddress.IsMulticast(destination) || _broadcasts.Contains(destination) ? -1 : count;
    }

    /// <summary>Tells a client an error, as a courtesy.</summary>
    public void Tell(IPEndPoint client, TftpErrorCode code, string text) => UdpPort.Tell(_socket, client, code, text);
}
