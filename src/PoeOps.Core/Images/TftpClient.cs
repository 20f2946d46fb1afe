using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>What to ask a server for, and how long to wait.</summary>
public sealed record TftpClientOptions
{
    /// <summary>Octets in a block to ask for, 8 to 65464 (RFC 2348); 512 asks for nothing.</summary>
    public int BlockSize { get; init; } = 1428;

    /// <summary>Seconds before an acknowledgement is sent again, 1 to 255.</summary>
    public int TimeoutSeconds { get; init; } = 1;

    /// <summary>True to ask for the file's size beforehand (RFC 2349).</summary>
    public bool AskSize { get; init; } = true;

    /// <summary>The most octets that are taken.</summary>
    public long MostBytes { get; init; } = 1L << 30;

    /// <summary>The machine's time for the whole transfer.</summary>
    public TimeSpan Deadline { get; init; } = TimeSpan.FromMinutes(10);

    /// <summary>Told after each block: octets so far, and the size where the server said it.</summary>
    public Action<long, long?>? Progress { get; init; }
}

/// <summary>A file that was fetched.</summary>
/// <param name="Bytes">Its size.</param>
/// <param name="BlockSize">The block size that was agreed.</param>
/// <param name="Sha256">Its SHA-256, 64 lower-case hexadecimal digits.</param>
public sealed record TftpFetch(long Bytes, int BlockSize, string Sha256);

/// <summary>Fetches files over TFTP (RFC 1350, 2347, 2348, 2349), octet mode.</summary>
public sealed class TftpClient : IDisposable
{
    private const int MostTries = 6;
    private const int LongestWait = 250;

    private readonly IPEndPoint _server;
    private readonly string _file;
    private readonly TftpClientOptions _options;
    private readonly CancellationToken _cancel;
    private readonly Socket _socket;
    private readonly byte[] _incoming = new byte[65536 + 4];
    private readonly TimeSpan _end;
    private EndPoint? _peer;
    private int _blockSize = TftpOptions.DefaultBlockSize;
    private long? _size;

    private TftpClient(IPEndPoint server, string file, TftpClientOptions options, CancellationToken cancel)
    {
        _server = server;
        _file = file;
        _options = options;
        _cancel = cancel;
        _end = SystemClock.Instance.Elapsed + options.Deadline;
        _socket = new Socket(server.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
        _socket.Bind(TftpServer.Anybody(server.AddressFamily));
        _socket.ReceiveTimeout = LongestWait;
        TftpServer.Quieten(_socket);
    }

    /// <summary>Fetches a file.</summary>
    /// <param name="server">The server's address and port.</param>
    /// <param name="file">The name to ask for.</param>
    /// <param name="into">Where its octets are written.</param>
    /// <param name="options">What to ask for.</param>
    /// <param name="cancel">Ends the transfer.</param>
    /// <exception cref="PoeOpsException">
    /// The server refused (<see cref="ProblemId.TftpRefused"/>), fell silent (<see cref="ProblemId.TftpTimedOut"/>), or said what cannot be
    /// (<see cref="ProblemId.TftpMalformed"/>); the file is too large (<see cref="ProblemId.TftpFileTooLarge"/>).
    /// </exception>
    /// <exception cref="ArgumentOutOfRangeException">The options ask for a block size or a time that the RFCs do not have.</exception>
    public static TftpFetch Fetch(IPEndPoint server, string file, Stream into, TftpClientOptions options, CancellationToken cancel)
    {
        if (options.BlockSize is < TftpOptions.SmallestBlockSize or > TftpOptions.LargestBlockSize || options.TimeoutSeconds is < 1 or > 255)
        {
            throw new ArgumentOutOfRangeException(nameof(options), "A block has 8 to 65464 octets (RFC 2348), a timeout 1 to 255 seconds (RFC 2349).");
        }

        using var client = new TftpClient(server, file, options, cancel);
        try
        {
            return client.Run(into);
        }
        catch (SocketException exception)
        {
            string what = $"cannot be reached: {Excerpt.Line(exception.Message).TrimEnd('.')}";
            throw new PoeOpsException(client.Wrong(ProblemId.TftpTimedOut, what, "Check the address and the network between.").Problem, exception);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    private TftpFetch Run(Stream into)
    {
        using var hash = SHA256.Create();
        byte[] request = new TftpPacket(TftpOpcode.ReadRequest) { File = _file, Mode = "octet", Options = Asked() }.Write();
        TftpPacket packet = Exchange(request, Begins);
        byte[] answer = Acknowledge(0);
        long total = 0;
        if (packet.Opcode == TftpOpcode.OptionAcknowledgement)
        {
            TakeOptions(packet);
            packet = Exchange(answer, found => found.Opcode == TftpOpcode.Data && found.Block == 1);
        }

        for (long block = 1; ; block++)
        {
            total += packet.Data.Count;
            CheckBlock(packet, total);
            hash.TransformBlock(packet.Data.Array!, packet.Data.Offset, packet.Data.Count, null, 0);
            into.Write(packet.Data.Array!, packet.Data.Offset, packet.Data.Count);
            _options.Progress?.Invoke(total, _size);
            answer = Acknowledge((ushort)block);
            if (packet.Data.Count < _blockSize)
            {
                break;
            }

            ushort next = (ushort)(block + 1);
            packet = Exchange(answer, found => found.Opcode == TftpOpcode.Data && found.Block == next);
        }

        _socket.SendTo(answer, _peer!);
        Linger(answer);
        hash.TransformFinalBlock([], 0, 0);
        return new TftpFetch(total, _blockSize, string.Concat(hash.Hash.Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture))));
    }

    // The server's last block may come again when our acknowledgement was lost; once more is answered, without waiting long (RFC 1350 section 6).
    private void Linger(byte[] answer)
    {
        if (_socket.Poll(50_000, SelectMode.SelectRead) && Receive() is { Opcode: TftpOpcode.Data })
        {
            _socket.SendTo(answer, _peer!);
        }
    }

    private void CheckBlock(TftpPacket packet, long total)
    {
        CheckSize(total);
        if (packet.Data.Count > _blockSize)
        {
            Tell(TftpErrorCode.IllegalOperation, "block larger than agreed");
            throw Wrong(ProblemId.TftpMalformed, $"sent a block of {Text(packet.Data.Count)} octets where {Text(_blockSize)} were agreed", "Use another file server.");
        }

        // Before the last block is acknowledged, so that the server does not believe in a success either.
        if (packet.Data.Count < _blockSize && _size is { } size && size != total)
        {
            Tell(TftpErrorCode.NotDefined, "size is not as announced");
            throw Wrong(ProblemId.TftpMalformed, $"said the file has {Text(size)} octets and sent {Text(total)}", "Check the file on the server.");
        }
    }

    private List<KeyValuePair<string, string>> Asked()
    {
        List<KeyValuePair<string, string>> asked = [];
        if (_options.BlockSize != TftpOptions.DefaultBlockSize)
        {
            asked.Add(new KeyValuePair<string, string>("blksize", Text(_options.BlockSize)));
        }

        if (_options.AskSize)
        {
            asked.Add(new KeyValuePair<string, string>("tsize", "0"));
        }

        return asked;
    }

    private static bool Begins(TftpPacket found) =>
        found.Opcode == TftpOpcode.OptionAcknowledgement || (found.Opcode == TftpOpcode.Data && found.Block == 1);

    private void TakeOptions(TftpPacket packet)
    {
        foreach (KeyValuePair<string, string> option in packet.Options)
        {
            bool number = long.TryParse(option.Value, NumberStyles.None, CultureInfo.InvariantCulture, out long value);
            if (option.Key == "blksize" && _options.BlockSize != TftpOptions.DefaultBlockSize && number && value >= TftpOptions.SmallestBlockSize && value <= _options.BlockSize)
            {
                _blockSize = (int)value;
            }
            else if (option.Key == "tsize" && _options.AskSize && number)
            {
                _size = value;
                CheckSize(value);
            }
            else
            {
                string refusal = $"answered with the option {Excerpt.Of(option.Key)}={Excerpt.Of(option.Value)}, which was not asked for so";
                Tell(TftpErrorCode.OptionsRefused, "option not asked for");
                throw Wrong(ProblemId.TftpMalformed, refusal, "Use another file server.");
            }
        }
    }

    private void CheckSize(long bytes)
    {
        if (bytes > _options.MostBytes)
        {
            Tell(TftpErrorCode.DiskFull, "file too large");
            throw Wrong(ProblemId.TftpFileTooLarge, $"has a file of more than {Text(_options.MostBytes)} octets", "Check the file on the server.");
        }
    }

    private TftpPacket Exchange(byte[] datagram, Func<TftpPacket, bool> wanted)
    {
        for (int attempt = 0; attempt < MostTries; attempt++)
        {
            _socket.SendTo(datagram, _peer ?? _server);
            TimeSpan until = SystemClock.Instance.Elapsed + TimeSpan.FromSeconds(_options.TimeoutSeconds * Math.Min(8, 1 << attempt));
            while (SystemClock.Instance.Elapsed is var now && now < until)
            {
                CheckTime(now);
                if (!_socket.Poll((int)Math.Min((until - now).Ticks / 10, LongestWait * 1000), SelectMode.SelectRead) || Receive() is not { } packet)
                {
                    continue;
                }

                CheckRefusal(packet);
                if (wanted(packet))
                {
                    return packet;
                }

                // The block before came again: its acknowledgement was lost. The sender's rule, not ours, keeps this from multiplying (RFC 1123 section 4.2.3.1).
                if (packet.Opcode == TftpOpcode.Data && datagram[1] == (byte)TftpOpcode.Acknowledgement && packet.Block == ((datagram[2] << 8) | datagram[3]))
                {
                    _socket.SendTo(datagram, _peer!);
                }
            }
        }

        throw Wrong(ProblemId.TftpTimedOut, $"did not answer in {Text(MostTries)} tries", "Check that the server runs, that it serves this file, and that nothing between blocks UDP.");
    }

    private void CheckTime(TimeSpan now)
    {
        if (_cancel.IsCancellationRequested)
        {
            Tell(TftpErrorCode.NotDefined, "cancelled");
            throw Wrong(ProblemId.TftpTimedOut, "was left because the transfer was cancelled", "Start again when it is wanted.");
        }

        if (now >= _end)
        {
            Tell(TftpErrorCode.NotDefined, "took too long");
            throw Wrong(ProblemId.TftpTimedOut, $"did not send the whole file within {_options.Deadline}", "Check the network between, or allow more time.");
        }
    }

    // Before the first answer any port of the server's address may be its transfer's; afterwards only that one (RFC 1350 section 4).
    private TftpPacket? Receive()
    {
        EndPoint from = TftpServer.Anybody(_server.AddressFamily);
        int count;
        try
        {
            count = _socket.ReceiveFrom(_incoming, ref from);
        }
        catch (SocketException exception) when (exception.SocketErrorCode is SocketError.MessageSize or SocketError.ConnectionReset or SocketError.TimedOut)
        {
            return null;
        }

        bool known = _peer is null ? ((IPEndPoint)from).Address.Equals(_server.Address) : from.Equals(_peer);
        if (!known)
        {
            TftpSending.Tell(_socket, from, TftpErrorCode.UnknownTransferId, "unknown transfer ID");
            return null;
        }

        TftpPacket? packet = TftpPacket.Read(_incoming, count);
        if (packet is not null && Begins(packet))
        {
            _peer ??= from;
        }

        return packet;
    }

    private void CheckRefusal(TftpPacket packet)
    {
        if (packet.Opcode == TftpOpcode.Error)
        {
            throw Wrong(ProblemId.TftpRefused, $"refused with error {Text((int)packet.Code)} '{Excerpt.Of(packet.Text)}'", "Check the file's name and the server's rules.");
        }
    }

    private void Tell(TftpErrorCode code, string text)
    {
        if (_peer is not null)
        {
            TftpSending.Tell(_socket, _peer, code, text);
        }
    }

    private static byte[] Acknowledge(ushort block) => new TftpPacket(TftpOpcode.Acknowledgement) { Block = block }.Write();

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);

    private PoeOpsException Wrong(ProblemId id, string what, string advice) =>
        new(new Problem(id, $"The file server {_server}, asked for '{Excerpt.Of(_file)}', {what}.", advice));
}
