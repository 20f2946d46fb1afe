using System.Net;
using System.Net.Sockets;

namespace PoeOps.Images;

/// <summary>A server's end of one transfer: a UDP port of its own, which hears one client only (RFC 1350 section 4). Used by one thread.</summary>
internal sealed class TransferPort : IDisposable
{
    private readonly Socket _socket;
    private readonly EndPoint _anybody;
    private readonly byte[] _incoming = new byte[2048];
    private volatile bool _heard;

    /// <summary>Opens a port.</summary>
    /// <param name="local">The address that the client asked at.</param>
    /// <param name="client">Who asked.</param>
    /// <exception cref="SocketException">No port can be had.</exception>
    public TransferPort(IPAddress local, IPEndPoint client)
    {
        Client = client;
        _anybody = UdpPort.Anybody(client.AddressFamily);
        _socket = UdpPort.OpenForWaits(new IPEndPoint(local, 0));
    }

    /// <summary>Who asked.</summary>
    public IPEndPoint Client { get; }

    /// <summary>True once anything has come, looked at or not yet. May be asked from any thread while the port is open.</summary>
    public bool HasHeard => _heard || _socket.Poll(0, SelectMode.SelectRead);

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    /// <summary>Sends a datagram to the client; it may be lost like any.</summary>
    /// <param name="datagram">Holds its octets at the start.</param>
    /// <param name="count">How many they are.</param>
    public void Send(byte[] datagram, int count) => UdpPort.TrySend(_socket, datagram, count, Client);

    /// <summary>Tells the client an error, as a courtesy.</summary>
    public void Tell(TftpErrorCode code, string text) => UdpPort.Tell(_socket, Client, code, text);

    /// <summary>Waits a little for a packet of the client, at most <see cref="UdpPort.LongestWait"/>. A stranger is told error 5 and does not disturb.</summary>
    /// <param name="left">How long to wait, where that is less.</param>
    /// <returns>The packet, or null where none came.</returns>
    public TftpPacket? Receive(TimeSpan left)
    {
        EndPoint from = _anybody;
        int count = UdpPort.TryTake(_socket, left, _incoming, ref from);
        if (count < 0)
        {
            return null;
        }

        _heard = true;
        if (from.Equals(Client))
        {
            return TftpPacket.Read(_incoming, count);
        }

        UdpPort.TurnAway(_socket, from, _incoming, count);
        return null;
    }
}
