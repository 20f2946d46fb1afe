using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Receives one file of one server, in windows of one block (RFC 1350) or more (RFC 7440). Used by one thread at a time.</summary>
internal sealed class TftpReceiving : IDisposable
{
    private const int MostTries = 6;
    private const int LingerTimeouts = 3;

    private readonly string _file;
    private readonly TftpClientOptions _options;
    private readonly TftpAgreement _agreement;
    private readonly FetchTrouble _trouble;
    private readonly CancellationToken _cancel;
    private readonly ServerPort _port;
    private readonly RetransmissionTimer _timer;
    private readonly TimeSpan _end;
    private long _taken;
    private long _acknowledged;
    private bool _missing;

    /// <summary>Prepares a fetch.</summary>
    /// <exception cref="SocketException">No port can be had.</exception>
    public TftpReceiving(IPEndPoint server, string file, TftpClientOptions options, FetchTrouble trouble, CancellationToken cancel)
    {
        _file = file;
        _options = options;
        _agreement = new TftpAgreement(options);
        _trouble = trouble;
        _cancel = cancel;
        var time = TimeSpan.FromSeconds(options.TimeoutSeconds);
        var most = TimeSpan.FromSeconds(8 * options.TimeoutSeconds);
        _timer = options.AskTimeout ? RetransmissionTimer.Agreed(time, most) : RetransmissionTimer.Adaptive(time, time, most);
        _end = SystemClock.Instance.Elapsed + options.Deadline;
        _port = new ServerPort(server, options);
        trouble.Port = _port;
    }

    /// <inheritdoc/>
    public void Dispose() => _port.Dispose();

    /// <summary>Fetches the file.</summary>
    /// <param name="into">Where its octets are written.</param>
    /// <exception cref="PoeOpsException">It does not come, or is not the one that is expected.</exception>
    /// <exception cref="SocketException">The server is out of reach.</exception>
    public TftpFetch Run(Stream into)
    {
        using var octets = new FetchedOctets(_options, _agreement, _trouble);
        TftpPacket packet = Exchange(Request(), found => Begins(found) || RefusesOptions(found));
        if (packet.Opcode == TftpOpcode.Error)
        {
            // After a refusal of its options a client may ask without them (RFC 2347).
            _agreement.AskNothing();
            packet = Exchange(Request(), Begins);
        }

        if (packet.Opcode == TftpOpcode.OptionAcknowledgement)
        {
            TakeOptions(packet);
            octets.CheckAnnounced();
            packet = Exchange(Acknowledge(), IsNext);
        }

        while (!Take(packet, octets, into))
        {
            packet = _taken - _acknowledged >= _agreement.WindowSize ? Exchange(Acknowledge(), IsNext) : Exchange(null, IsNext);
        }

        _port.Send(Acknowledge());
        return new TftpFetch(octets.Total, _agreement.BlockSize, octets.Sha256) { WindowSize = _agreement.WindowSize };
    }

    /// <summary>
    /// Stays a while and closes: the server's last block comes again when our acknowledgement was lost (RFC 1350 section 6). The file is whole
    /// meanwhile, so nobody waits for this.
    /// </summary>
    public void Linger()
    {
        TimeSpan until = SystemClock.Instance.Elapsed + TimeSpan.FromSeconds(LingerTimeouts * _options.TimeoutSeconds);
        try
        {
            while (SystemClock.Instance.Elapsed < until && !_cancel.IsCancellationRequested)
            {
                if (_port.Receive(UdpPort.LongestWait) is { } packet)
                {
                    AnswerAgain(packet);
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

    private bool Take(TftpPacket packet, FetchedOctets octets, Stream into)
    {
        bool last = octets.Take(packet.Data, into);
        _taken++;
        _missing = false;
        return last;
    }

    // An option that was not asked for, or a value beyond what was asked for, ends the transfer with error 8 (RFC 2347).
    private void TakeOptions(TftpPacket packet)
    {
        foreach (KeyValuePair<string, string> option in packet.Options)
        {
            if (!_agreement.Take(option.Key, option.Value))
            {
                string what = $"answered with the option {Excerpt.Of(option.Key)}={Excerpt.Of(option.Value)}, which was not asked for so";
                throw _trouble.Told(TftpErrorCode.OptionsRefused, "option not asked for", ProblemId.TftpMalformed, what, "Use another file server.");
            }
        }
    }

    // Sends, and waits for what is wanted. Inside a window nothing is sent at first; when its time is over, what was taken so far is acknowledged.
    private TftpPacket Exchange(byte[]? datagram, Func<TftpPacket, bool> wanted)
    {
        for (int tries = 1; tries <= MostTries; tries++)
        {
            TimeSpan sent = SystemClock.Instance.Elapsed;
            if (datagram is not null)
            {
                _port.Send(datagram);
            }

            if (Await(sent + _timer.Timeout, wanted) is { } packet)
            {
                Time(datagram is not null && tries == 1, SystemClock.Instance.Elapsed - sent);
                return packet;
            }

            _timer.Expired();
            datagram ??= Acknowledge();
            _missing = false;
        }

        string what = $"did not answer in {Text(MostTries)} tries";
        throw Silent(what, "Check that the server runs, that it serves this file, and that nothing between blocks UDP.");
    }

    private void Time(bool once, TimeSpan roundTrip)
    {
        if (once)
        {
            _timer.Answered(roundTrip);
        }
        else
        {
            _timer.AnsweredLate();
        }
    }

    private TftpPacket? Await(TimeSpan until, Func<TftpPacket, bool> wanted)
    {
        while (SystemClock.Instance.Elapsed is var now && now < until)
        {
            CheckTime(now);
            if (_port.Receive(until - now) is not { } packet)
            {
                continue;
            }

            if (wanted(packet))
            {
                return packet;
            }

            CheckRefusal(packet);
            AnswerAgain(packet);
            AnswerGap(packet);
        }

        return null;
    }

    private byte[] Request() => new TftpPacket(TftpOpcode.ReadRequest) { File = _file, Mode = "octet", Options = _agreement.Asked() }.Write();

    private bool Begins(TftpPacket packet) => packet.Opcode == TftpOpcode.OptionAcknowledgement || IsNext(packet);

    private bool RefusesOptions(TftpPacket packet) =>
        packet is { Opcode: TftpOpcode.Error, Code: TftpErrorCode.OptionsRefused } && _agreement.Asked().Count > 0;

    private bool IsNext(TftpPacket packet) => packet.Opcode == TftpOpcode.Data && packet.Block == (ushort)(_taken + 1);

    // What was acknowledged comes again, so that acknowledgement was lost. The sender's rule, not ours, keeps this from multiplying (RFC 1123
    // section 4.2.3.1). Of a window that comes again only the block that was acknowledged counts.
    private void AnswerAgain(TftpPacket packet)
    {
        bool options = packet.Opcode == TftpOpcode.OptionAcknowledgement && _taken == 0;
        bool block = packet.Opcode == TftpOpcode.Data && _taken > 0 && _taken == _acknowledged && packet.Block == (ushort)_taken;
        if (_port.HasPeer && (options || block))
        {
            _port.Send(Acknowledge());
        }
    }

    // A block from further on in the window: one is missing, and the server is told at once, and once, where to go on (RFC 7440 section 4).
    private void AnswerGap(TftpPacket packet)
    {
        int ahead = packet.Opcode == TftpOpcode.Data ? (ushort)(packet.Block - (ushort)_taken) : 0;
        if (_port.HasPeer && !_missing && ahead > 1 && ahead <= _agreement.WindowSize)
        {
            _missing = true;
            _port.Send(Acknowledge());
        }
    }

    private byte[] Acknowledge()
    {
        _acknowledged = _taken;
        return new TftpPacket(TftpOpcode.Acknowledgement) { Block = (ushort)_taken }.Write();
    }

    private void CheckTime(TimeSpan now)
    {
        if (_cancel.IsCancellationRequested)
        {
            _port.Tell(TftpErrorCode.NotDefined, "cancelled");
            throw _trouble.Of(ProblemId.TftpTimedOut, "was left because the transfer was cancelled", "Start again when it is wanted.");
        }

        if (now >= _end)
        {
            _port.Tell(TftpErrorCode.NotDefined, "took too long");
            throw Silent($"did not send the whole file within {_options.Deadline}", "Check the network between, or allow more time.");
        }
    }

    private void CheckRefusal(TftpPacket packet)
    {
        if (packet.Opcode == TftpOpcode.Error)
        {
            throw _trouble.Of(ProblemId.TftpRefused, $"refused with error {Text((int)packet.Code)} '{Excerpt.Of(packet.Text)}'", "Check the file's name and the server's rules.");
        }
    }

    private PoeOpsException Silent(string what, string advice) =>
        !_port.HasPeer && _port.Unreadable > 0
            ? _trouble.Of(ProblemId.TftpMalformed, $"sent {Text(_port.Unreadable)} packets that cannot be read, and no other", "Check that a file server runs on that port.")
            : _trouble.Of(ProblemId.TftpTimedOut, what, advice);

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
