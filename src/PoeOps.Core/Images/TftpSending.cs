using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// Sends one file to one client, from a port of its own (RFC 1350 section 4). A packet is sent again only when its time is over, never because an
/// acknowledgement came twice (RFC 1123 section 4.2.3.1); the time doubles with each try (section 4.2.3.2), from the one that was agreed where one was.
/// </summary>
internal sealed class TftpSending : IDisposable
{
    private const int MostTries = 6;
    private static readonly TimeSpan FirstTimeout = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan LongestTimeout = TimeSpan.FromSeconds(16);

    private readonly TftpPacket _request;
    private readonly ServedFile _file;
    private readonly TftpOptions _options;
    private readonly Socket _socket;
    private readonly Clock _clock;
    private readonly TimeSpan _start;
    private readonly DateTime _startUtc;
    private readonly byte[] _incoming = new byte[2048];
    private volatile bool _stopped;
    private volatile bool _gaveWay;
    private volatile bool _underWay;
    private int _resent;
    private long _acknowledged;

    /// <summary>Prepares to answer a request.</summary>
    /// <exception cref="SocketException">No port can be had.</exception>
    public TftpSending(TftpPacket request, ServedFile file, IPEndPoint client, TftpServerOptions server)
    {
        _request = request;
        _file = file;
        Client = client;
        _clock = server.Clock;
        _start = _clock.Elapsed;
        _startUtc = _clock.UtcNow;
        _options = TftpOptions.Of(request, file.Bytes);
        _socket = UdpPort.OpenForWaits(new IPEndPoint(server.Bind, 0));
    }

    /// <summary>Who asked.</summary>
    public IPEndPoint Client { get; }

    /// <summary>True once an answer has come, looked at or not yet; asked only while it runs.</summary>
    public bool IsUnderWay => _socket.Poll(0, SelectMode.SelectRead) || _underWay;

    /// <summary>True once it was told to give way.</summary>
    public bool HasGivenWay => _gaveWay;

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    /// <summary>Breaks it off from another thread; the client is told.</summary>
    public void Stop() => _stopped = true;

    /// <summary>Breaks it off because the client has begun anew from the same port; it is told nothing, as it would take that for an answer.</summary>
    public void GiveWay() => _gaveWay = true;

    /// <summary>Sends the file to its end, or to where it fails.</summary>
    public TftpTransfer Run()
    {
        try
        {
            Problem? wrong = _options.Accepted.Count == 0 ? null : Exchange(new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = _options.Accepted }.Write(), 0);
            return End(wrong ?? SendBlocks());
        }
        catch (SocketException exception)
        {
            return End(Broken(ProblemId.TftpTimedOut, Excerpt.Line(exception.Message).TrimEnd('.'), "Check this machine's network."));
        }
    }

    // The last block is shorter than the others, if need be empty: that is how the client knows (RFC 1350 section 6).
    private Problem? SendBlocks()
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
                string rest = block < last ? string.Empty : " It was the last block, so that the client may have the whole file.";
                return wrong with { Sentence = wrong.Sentence + rest };
            }

            _acknowledged = block;
        }

        return null;
    }

    // Sends a packet and waits for its acknowledgement; null once it came.
    private Problem? Exchange(byte[] datagram, ushort block)
    {
        TimeSpan timeout = _options.Timeout ?? FirstTimeout;
        TimeSpan longest = TimeSpan.FromTicks(Math.Max(LongestTimeout.Ticks, timeout.Ticks * 2));
        for (int attempt = 0; attempt < MostTries; attempt++)
        {
            _resent += attempt > 0 ? 1 : 0;
            UdpPort.TrySend(_socket, datagram, Client);
            if (Await(block, timeout, out Problem? wrong))
            {
                return wrong;
            }

            timeout = TimeSpan.FromTicks(Math.Min(timeout.Ticks * 2, longest.Ticks));
        }

        string what = $"no acknowledgement of block {block.ToString(CultureInfo.InvariantCulture)} came in {MostTries.ToString(CultureInfo.InvariantCulture)} tries";
        return Broken(ProblemId.TftpTimedOut, what, "Check the network between, and whether the client still runs.");
    }

    // True when the wait is over before its time: acknowledged, or ended for the reason in wrong.
    private bool Await(ushort block, TimeSpan timeout, out Problem? wrong)
    {
        TimeSpan end = SystemClock.Instance.Elapsed + timeout;
        while (true)
        {
            // Asked before the port is, so that an acknowledgement that came before the client's next request still counts.
            bool gaveWay = _gaveWay;
            wrong = Ended();
            if (wrong is not null)
            {
                return true;
            }

            TimeSpan left = end - SystemClock.Instance.Elapsed;
            bool lastLook = gaveWay || left <= TimeSpan.Zero;
            if (Receive(lastLook ? TimeSpan.Zero : left) is { } packet && Answers(packet, block, out wrong))
            {
                return true;
            }

            if (lastLook)
            {
                wrong = gaveWay ? Broken(ProblemId.TftpRefused, "the client asked again from the same port", "See the transfer that follows.") : null;
                return gaveWay;
            }
        }
    }

    private bool Answers(TftpPacket packet, ushort block, out Problem? wrong)
    {
        wrong = null;
        if (packet.Opcode == TftpOpcode.Error)
        {
            string what = $"the client ended it with error {((int)packet.Code).ToString(CultureInfo.InvariantCulture)} '{Excerpt.Of(packet.Text)}'";
            wrong = Broken(ProblemId.TftpRefused, what, "See what the client says of it.");
        }

        return wrong is not null || (packet.Opcode == TftpOpcode.Acknowledgement && packet.Block == block);
    }

    private Problem? Ended()
    {
        string? what = _stopped ? "the server was stopped" : _file.IsWithdrawn ? "the file is no longer offered" : null;
        if (what is null)
        {
            return null;
        }

        UdpPort.Tell(_socket, Client, TftpErrorCode.NotDefined, what);
        return Broken(ProblemId.TftpRefused, what, "Ask for it while it is offered.");
    }

    // A stranger is told error 5 and does not disturb (RFC 1350 section 4).
    private TftpPacket? Receive(TimeSpan left)
    {
        if (!UdpPort.Await(_socket, left))
        {
            return null;
        }

        _underWay = true;
        EndPoint from = UdpPort.Anybody(Client.AddressFamily);
        int count = UdpPort.Take(_socket, _incoming, ref from);
        if (count >= 0 && !from.Equals(Client))
        {
            UdpPort.Tell(_socket, from, TftpErrorCode.UnknownTransferId, "unknown transfer ID");
            return null;
        }

        return count < 0 ? null : TftpPacket.Read(_incoming, count);
    }

    private Problem Broken(ProblemId id, string what, string advice) => new(id, $"Broken off: {what}.", advice) { Target = Client.ToString() };

    private TftpTransfer End(Problem? problem) => new()
    {
        Client = Client.ToString(),
        File = Excerpt.Of(_request.File),
        Bytes = Math.Min(_file.Bytes, _acknowledged * _options.BlockSize),
        Blocks = _acknowledged,
        Retransmissions = _resent,
        BlockSize = _options.BlockSize,
        Options = string.Join(" ", _options.Accepted.Select(option => $"{option.Key}={option.Value}")),
        StartUtc = _startUtc,
        Duration = _clock.Elapsed - _start,
        Problem = problem,
    };
}
