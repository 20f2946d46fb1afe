using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Fetches files over TFTP (RFC 1350, 2347, 2348, 2349), octet mode.</summary>
public sealed class TftpClient : IDisposable
{
    private const int MostTries = 6;
    private const int LingerTimeouts = 3;

    private readonly IPEndPoint _server;
    private readonly string _file;
    private readonly TftpClientOptions _options;
    private readonly TftpAgreement _agreement;
    private readonly CancellationToken _cancel;
    private readonly Socket _socket;
    private readonly byte[] _incoming = new byte[65536 + 4];
    private readonly TimeSpan _end;
    private EndPoint? _peer;
    private int _unreadable;

    private TftpClient(IPEndPoint server, string file, TftpClientOptions options, CancellationToken cancel)
    {
        _server = server;
        _file = file;
        _options = options;
        _agreement = new TftpAgreement(options);
        _cancel = cancel;
        _end = SystemClock.Instance.Elapsed + options.Deadline;
        _socket = UdpPort.OpenForWaits(options.Bind is { } local ? new IPEndPoint(local, 0) : UdpPort.Anybody(server.AddressFamily));
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

        var client = new TftpClient(server, file, options, cancel);
        bool lingers = false;
        try
        {
            TftpFetch fetch = client.Run(into, out byte[] answer);
            new Thread(() => client.Linger(answer)) { IsBackground = true, Name = "PoeOps file fetched" }.Start();
            lingers = true;
            return fetch;
        }
        catch (SocketException exception)
        {
            string what = $"cannot be reached: {Excerpt.Line(exception.Message).TrimEnd('.')}";
            throw new PoeOpsException(client.Wrong(ProblemId.TftpTimedOut, what, "Check the address and the network between.").Problem, exception);
        }
        finally
        {
            if (!lingers)
            {
                client.Dispose();
            }
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    private TftpFetch Run(Stream into, out byte[] answer)
    {
        using var hash = SHA256.Create();
        byte[] request = new TftpPacket(TftpOpcode.ReadRequest) { File = _file, Mode = "octet", Options = _agreement.Asked() }.Write();
        TftpPacket packet = Exchange(request, Begins);
        answer = Acknowledge(0);
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
            _options.Progress?.Invoke(total, _agreement.Size);
            answer = Acknowledge((ushort)block);
            if (packet.Data.Count < _agreement.BlockSize)
            {
                break;
            }

            ushort next = (ushort)(block + 1);
            packet = Exchange(answer, found => found.Opcode == TftpOpcode.Data && found.Block == next);
        }

        _socket.SendTo(answer, _peer!);
        hash.TransformFinalBlock([], 0, 0);
        return new TftpFetch(total, _agreement.BlockSize, string.Concat(hash.Hash.Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture))));
    }

    // The server's last block comes again when our acknowledgement was lost (RFC 1350 section 6). The file is whole meanwhile, so nobody waits for this.
    private void Linger(byte[] answer)
    {
        TimeSpan until = SystemClock.Instance.Elapsed + TimeSpan.FromSeconds(LingerTimeouts * _options.TimeoutSeconds);
        try
        {
            while (SystemClock.Instance.Elapsed < until && !_cancel.IsCancellationRequested)
            {
                if (Receive(UdpPort.LongestWait) is { } packet && IsAnsweredBy(answer, packet))
                {
                    _socket.SendTo(answer, _peer!);
                }
            }
        }
        catch (SocketException)
        {
            // The server is out of reach, so nothing can come again.
            return;
        }
        finally
        {
            Dispose();
        }
    }

    private void CheckBlock(TftpPacket packet, long total)
    {
        CheckSize(total);
        if (packet.Data.Count > _agreement.BlockSize)
        {
            Tell(TftpErrorCode.IllegalOperation, "block larger than agreed");
            throw Wrong(ProblemId.TftpMalformed, $"sent a block of {Text(packet.Data.Count)} octets where {Text(_agreement.BlockSize)} were agreed", "Use another file server.");
        }

        // Before the last block is acknowledged, so that the server does not believe in a success either.
        if (packet.Data.Count < _agreement.BlockSize && _agreement.Size is { } size && size != total)
        {
            Tell(TftpErrorCode.NotDefined, "size is not as announced");
            throw Wrong(ProblemId.TftpMalformed, $"said the file has {Text(size)} octets and sent {Text(total)}", "Check the file on the server.");
        }
    }

    private static bool Begins(TftpPacket found) =>
        found.Opcode == TftpOpcode.OptionAcknowledgement || (found.Opcode == TftpOpcode.Data && found.Block == 1);

    // An option that was not asked for, or a value beyond what was asked for, ends the transfer with error 8 (RFC 2347).
    private void TakeOptions(TftpPacket packet)
    {
        foreach (KeyValuePair<string, string> option in packet.Options)
        {
            if (!_agreement.Take(option.Key, option.Value))
            {
                string refusal = $"answered with the option {Excerpt.Of(option.Key)}={Excerpt.Of(option.Value)}, which was not asked for so";
                Tell(TftpErrorCode.OptionsRefused, "option not asked for");
                throw Wrong(ProblemId.TftpMalformed, refusal, "Use another file server.");
            }
        }

        CheckSize(_agreement.Size ?? 0);
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
                if (Receive(until - now) is not { } packet)
                {
                    continue;
                }

                CheckRefusal(packet);
                if (wanted(packet))
                {
                    return packet;
                }

                // The block before came again: its acknowledgement was lost. The sender's rule, not ours, keeps this from multiplying (RFC 1123 section 4.2.3.1).
                if (IsAnsweredBy(datagram, packet))
                {
                    _socket.SendTo(datagram, _peer!);
                }
            }
        }

        throw Silent($"did not answer in {Text(MostTries)} tries", "Check that the server runs, that it serves this file, and that nothing between blocks UDP.");
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
            throw Silent($"did not send the whole file within {_options.Deadline}", "Check the network between, or allow more time.");
        }
    }

    // Before the first answer any port of the server's address may be its transfer's; afterwards only that one (RFC 1350 section 4).
    private TftpPacket? Receive(TimeSpan left)
    {
        EndPoint from = UdpPort.Anybody(_server.AddressFamily);
        int count = UdpPort.Await(_socket, left) ? UdpPort.Take(_socket, _incoming, ref from) : -1;
        if (count < 0)
        {
            return null;
        }

        bool known = _peer is null ? ((IPEndPoint)from).Address.Equals(_server.Address) : from.Equals(_peer);
        if (!known)
        {
            UdpPort.Tell(_socket, from, TftpErrorCode.UnknownTransferId, "unknown transfer ID");
            return null;
        }

        TftpPacket? packet = TftpPacket.Read(_incoming, count);
        if (packet is null)
        {
            _unreadable++;
        }
        else if (Begins(packet))
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

    private static bool IsAnsweredBy(byte[] datagram, TftpPacket packet) =>
        packet.Opcode == TftpOpcode.Data && datagram[1] == (byte)TftpOpcode.Acknowledgement && packet.Block == ((datagram[2] << 8) | datagram[3]);

    private void Tell(TftpErrorCode code, string text)
    {
        if (_peer is not null)
        {
            UdpPort.Tell(_socket, _peer, code, text);
        }
    }

    private static byte[] Acknowledge(ushort block) => new TftpPacket(TftpOpcode.Acknowledgement) { Block = block }.Write();

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);

    private PoeOpsException Silent(string what, string advice) =>
        _peer is null && _unreadable > 0
            ? Wrong(ProblemId.TftpMalformed, $"sent {Text(_unreadable)} packets that cannot be read, and no other", "Check that a file server runs on that port.")
            : Wrong(ProblemId.TftpTimedOut, what, advice);

    private PoeOpsException Wrong(ProblemId id, string what, string advice) =>
        new(new Problem(id, $"The file server {_server}, asked for '{Excerpt.Of(_file)}', {what}.", advice));
}
