using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// Sends one file to one client, from a port of its own (RFC 1350 section 4). A packet is sent again only when its time is over, never because an
/// acknowledgement came twice (RFC 1123 section 4.2.3.1); the time doubles with each try.
/// </summary>
internal sealed class TftpSending : IDisposable
{
    private const int MostTries = 6;
    private const int LongestWait = 250;
    private static readonly TimeSpan FirstTimeout = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan LongestTimeout = TimeSpan.FromSeconds(16);

    private readonly TftpPacket _request;
    private readonly ServedFile _file;
    private readonly IPEndPoint _client;
    private readonly TftpOptions _options;
    private readonly Socket _socket;
    private readonly Func<bool> _stopped;
    private readonly TimeSpan _start = SystemClock.Instance.Elapsed;
    private readonly DateTime _startUtc = SystemClock.Instance.UtcNow;
    private readonly byte[] _incoming = new byte[2048];
    private int _resent;
    private long _acknowledged;

    /// <summary>Prepares to answer a request.</summary>
    public TftpSending(TftpPacket request, ServedFile file, IPEndPoint client, IPAddress local, Func<bool> stopped)
    {
        _request = request;
        _file = file;
        _client = client;
        _stopped = stopped;
        _options = TftpOptions.Of(request, file.Bytes);
        _socket = new Socket(local.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
        try
        {
            _socket.Bind(new IPEndPoint(local, 0));
            _socket.ReceiveTimeout = LongestWait;
            TftpServer.Quieten(_socket);
        }
        catch (SocketException)
        {
            _socket.Dispose();
            throw;
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    /// <summary>Sends the file to its end, or to where it fails.</summary>
    public TftpTransfer Run()
    {
        try
        {
            string? wrong = _options.Accepted.Count == 0 ? null : Exchange(new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = _options.Accepted }.Write(), 0);
            return End(wrong ?? SendBlocks());
        }
        catch (SocketException exception)
        {
            return End(Excerpt.Line(exception.Message).TrimEnd('.'));
        }
    }

    /// <summary>Sends an error as a courtesy: it is not acknowledged and not sent again (RFC 1350 section 7), so one that cannot be sent is a lost one.</summary>
    public static void Tell(Socket socket, EndPoint to, TftpErrorCode code, string text) =>
        TrySend(socket, new TftpPacket(TftpOpcode.Error) { Code = code, Text = text }.Write(), to);

    // UDP may lose any datagram; one that the system will not take now (no route, no room) is lost at once, and the next try is as for any other.
    private static void TrySend(Socket socket, byte[] datagram, EndPoint to)
    {
        try
        {
            socket.SendTo(datagram, to);
        }
        catch (Exception exception) when (exception is SocketException or ObjectDisposedException)
        {
            // Said above: as good as lost on the way.
            return;
        }
    }

    // The last block is shorter than the others, if need be empty: that is how the client knows (RFC 1350 section 6).
    private string? SendBlocks()
    {
        byte[] packet = new byte[4 + _options.BlockSize];
        packet[1] = (byte)TftpOpcode.Data;
        long last = (_file.Bytes / _options.BlockSize) + 1;
        for (long block = 1; block <= last; block++)
        {
            ArraySegment<byte> piece = _file.Piece((block - 1) * _options.BlockSize, _options.BlockSize);
            packet[2] = (byte)(block >> 8);
            packet[3] = (byte)block;
            Array.Copy(piece.Array!, piece.Offset, packet, 4, piece.Count);
            byte[] datagram = piece.Count == _options.BlockSize ? packet : [.. packet.Take(4 + piece.Count)];
            if (Exchange(datagram, (ushort)block) is { } wrong)
            {
                return block < last ? wrong : $"{wrong}; it was the last, so that the client may have the whole file";
            }

            _acknowledged = block;
        }

        return null;
    }

    // Sends a packet and waits for its acknowledgement; null once it came.
    private string? Exchange(byte[] datagram, ushort block)
    {
        TimeSpan timeout = _options.Timeout ?? FirstTimeout;
        for (int attempt = 0; attempt < MostTries; attempt++)
        {
            _resent += attempt > 0 ? 1 : 0;
            TrySend(_socket, datagram, _client);
            if (Await(block, timeout, out string? wrong))
            {
                return wrong;
            }

            timeout = _options.Timeout ?? TimeSpan.FromTicks(Math.Min(timeout.Ticks * 2, LongestTimeout.Ticks));
        }

        return $"no acknowledgement of block {block.ToString(CultureInfo.InvariantCulture)} came in {MostTries.ToString(CultureInfo.InvariantCulture)} tries";
    }

    // True when the wait is over before its time: acknowledged, or ended for the reason in wrong.
    private bool Await(ushort block, TimeSpan timeout, out string? wrong)
    {
        wrong = null;
        TimeSpan end = SystemClock.Instance.Elapsed + timeout;
        while (true)
        {
            TimeSpan left = end - SystemClock.Instance.Elapsed;
            wrong = _stopped() ? "the server was stopped" : _file.IsWithdrawn ? "the file is no longer offered" : null;
            if (wrong is not null)
            {
                Tell(_socket, _client, TftpErrorCode.NotDefined, wrong);
                return true;
            }

            if (left <= TimeSpan.Zero)
            {
                return false;
            }

            if (Receive(left) is { } packet)
            {
                if (packet.Opcode == TftpOpcode.Acknowledgement && packet.Block == block)
                {
                    return true;
                }

                if (packet.Opcode == TftpOpcode.Error)
                {
                    wrong = $"the client ended it with error {((int)packet.Code).ToString(CultureInfo.InvariantCulture)} '{Excerpt.Of(packet.Text)}'";
                    return true;
                }
            }
        }
    }

    // A quarter of a second at a time, so that a stop is seen. A stranger is told error 5 and does not disturb (RFC 1350 section 4).
    private TftpPacket? Receive(TimeSpan left)
    {
        if (!_socket.Poll((int)Math.Min(left.Ticks / 10, LongestWait * 1000), SelectMode.SelectRead))
        {
            return null;
        }

        EndPoint from = TftpServer.Anybody(_client.AddressFamily);
        int count;
        try
        {
            count = _socket.ReceiveFrom(_incoming, ref from);
        }
        catch (SocketException exception) when (exception.SocketErrorCode is SocketError.MessageSize or SocketError.ConnectionReset or SocketError.TimedOut)
        {
            return null;
        }

        if (!from.Equals(_client))
        {
            Tell(_socket, from, TftpErrorCode.UnknownTransferId, "unknown transfer ID");
            return null;
        }

        return TftpPacket.Read(_incoming, count);
    }

    private TftpTransfer End(string? wrong) => new()
    {
        Client = _client.ToString(),
        File = Excerpt.Of(_request.File),
        Bytes = Math.Min(_file.Bytes, _acknowledged * _options.BlockSize),
        Blocks = _acknowledged,
        Retransmissions = _resent,
        BlockSize = _options.BlockSize,
        StartUtc = _startUtc,
        Duration = SystemClock.Instance.Elapsed - _start,
        Complete = wrong is null,
        Outcome = wrong is null ? "Whole." : $"Broken off: {wrong}.",
    };
}
