using System.Net;
using System.Net.Sockets;

namespace PoeOps.Images;

/// <summary>A client's end of one transfer: a UDP port that hears one server only, and of that one port once it has answered (RFC 1350 section 4). Used by one thread.</summary>
internal sealed class ServerPort : IDisposable
{
    private const int LargestPacket = 65536 + 4;
    private const int LargestBuffer = 4 << 20;

    // What a system counts for a datagram beside its octets, roughly.
    private const int DatagramCost = 1024;

    private readonly IPEndPoint _server;
    private readonly Socket _socket;
    private readonly EndPoint _anybody;
    private readonly byte[] _incoming = new byte[LargestPacket];
    private IPEndPoint? _peer;

    /// <summary>Opens a port.</summary>
    /// <param name="server">Where the request goes.</param>
    /// <param name="options">Where from, and how much comes in one go.</param>
    /// <exception cref="SocketException">No port can be had.</exception>
    public ServerPort(IPEndPoint server, TftpClientOptions options)
    {
        _server = server;
        _anybody = UdpPort.Anybody(server.AddressFamily);
        _socket = UdpPort.OpenForWaits(options.Bind is { } local ? new IPEndPoint(local, 0) : UdpPort.Anybody(server.AddressFamily));
        long window = (long)options.WindowSize * (options.BlockSize + DatagramCost);
        _socket.ReceiveBufferSize = Math.Max(_socket.ReceiveBufferSize, (int)Math.Min(window, LargestBuffer));
    }

    /// <summary>True once the server has answered.</summary>
    public bool HasPeer => _peer is not null;

    /// <summary>How many packets of the server could not be read.</summary>
    public int Unreadable { get; private set; }

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    /// <summary>Sends to the transfer's port, or to the server's until that is known.</summary>
    /// <exception cref="SocketException">The system does not take it.</exception>
    public void Send(byte[] datagram) => _socket.SendTo(datagram, _peer ?? _server);

    /// <summary>Tells the server an error as a courtesy, once it has answered.</summary>
    public void Tell(TftpErrorCode code, string text)
    {
        if (_peer is not null)
        {
            UdpPort.Tell(_socket, _peer, code, text);
        }
    }

    /// <summary>Waits a little for a packet, at most <see cref="UdpPort.LongestWait"/>. A stranger is told error 5 and does not disturb.</summary>
    /// <param name="left">How long to wait, where that is less.</param>
    /// <returns>The packet, good until the next call; null where none came.</returns>
    public TftpPacket? Receive(TimeSpan left)
    {
        EndPoint from = _anybody;
        int count = UdpPort.TryTake(_socket, left, _incoming, ref from);
        if (count < 0)
        {
            return null;
        }

        // Before the first answer any port of the server's address may be its transfer's; afterwards only that one.
        bool known = _peer is null ? HostAddress.IsSame(_server.Address, ((IPEndPoint)from).Address) : from.Equals(_peer);
        if (!known)
        {
            UdpPort.TurnAway(_socket, from, _incoming, count);
            return null;
        }

        TftpPacket? packet = TftpPacket.Read(_incoming, count);
        if (packet is null)
        {
            Unreadable++;
        }
        else if (packet.Opcode == TftpOpcode.OptionAcknowledgement || packet is { Opcode: TftpOpcode.Data, Block: 1 })
        {
            _peer ??= (IPEndPoint)from;
        }

        return packet;
    }
}
