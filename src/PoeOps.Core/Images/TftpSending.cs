using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// Sends one file to one client, in windows of one block (RFC 1350) or more (RFC 7440). A packet is sent again when its time is over, and where an
/// acknowledgement says that blocks behind it are missing; never because an acknowledgement came twice (RFC 1123 section 4.2.3.1).
/// </summary>
internal sealed class TftpSending : IDisposable
{
    // However long the agreed time is, a packet is sent so often before its client counts as gone; and for so long, however short it is.
    private const int LeastTries = 3;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(45);
    private static readonly TimeSpan FirstTimeout = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan ShortestTimeout = TimeSpan.FromMilliseconds(250);
    private static readonly TimeSpan LongestTimeout = TimeSpan.FromSeconds(16);

    private readonly ServedFile _file;
    private readonly ServedReader _reader;
    private readonly TftpOptions _options;
    private readonly TransferPort _port;
    private readonly RetransmissionTimer _timer;
    private readonly TransferAccount _account;
    private readonly byte[] _packet;
    private readonly long _last;
    private volatile bool _stopped;
    private volatile bool _gaveWay;
    private bool _accepted;
    private long _acknowledged;
    private long _sent;
    private long _sentOnceFrom;
    private TimeSpan _windowBegan;
    private TimeSpan _windowSent;
    private TimeSpan _progress;
    private TimeSpan? _resume;

    /// <summary>Prepares to answer a request.</summary>
    /// <param name="request">The request.</param>
    /// <param name="file">What it asks for.</param>
    /// <param name="port">A port of its own.</param>
    /// <param name="clock">Says when it began and how long it took.</param>
    public TftpSending(TftpPacket request, ServedFile file, TransferPort port, Clock clock)
    {
        Request = request;
        _file = file;
        _reader = new ServedReader(file);
        _port = port;
        _options = TftpOptions.Of(request, file.Bytes);
        _account = new TransferAccount(request, _options, port.Client, clock);
        _timer = _options.Timeout is { } agreed
            ? RetransmissionTimer.Agreed(agreed, LongestTimeout)
            : RetransmissionTimer.Adaptive(FirstTimeout, ShortestTimeout, LongestTimeout);
        _packet = new byte[4 + _options.BlockSize];
        _packet[1] = (byte)TftpOpcode.Data;
        // The last block is shorter than the others, if need be empty: that is how the client knows (RFC 1350 section 6).
        _last = (file.Bytes / _options.BlockSize) + 1;
    }

    /// <summary>Raised on the transfer's thread when the client acknowledges something for the first time.</summary>
    public event Action<TftpSending>? Accepted;

    /// <summary>Who asked.</summary>
    public IPEndPoint Client => _port.Client;

    /// <summary>What it asked.</summary>
    public TftpPacket Request { get; }

    /// <summary>True once an answer has come, looked at or not yet; asked only while it runs.</summary>
    public bool IsUnderWay => _port.HasHeard;

    /// <summary>True once it was told to give way.</summary>
    public bool HasGivenWay => _gaveWay;

    /// <inheritdoc/>
    public void Dispose()
    {
        _port.Dispose();
        _reader.Dispose();
    }

    /// <summary>Breaks it off from another thread; the client is told.</summary>
    public void Stop() => _stopped = true;

    /// <summary>Breaks it off because the client has begun anew from the same port; it is told nothing, as it would take that for an answer.</summary>
    public void GiveWay() => _gaveWay = true;

    /// <summary>Sends the file to its end, or to where it fails.</summary>
    public TftpTransfer Run()
    {
        Problem? wrong;
        try
        {
            wrong = Agree() ?? SendFile();
        }
        catch (SocketException exception)
        {
            wrong = Broken(ProblemId.TftpTimedOut, Excerpt.Line(exception.Message).TrimEnd('.'), "Check this machine's network.");
        }
        catch (PoeOpsException exception)
        {
            _port.Tell(TftpErrorCode.NotDefined, "the file cannot be read as it was offered");
            wrong = exception.Problem with { Target = Client.ToString() };
        }

        return _account.Close(Math.Min(_file.Bytes, _acknowledged * _options.BlockSize), _acknowledged, wrong);
    }

    // The acknowledgement of options is answered with ACK 0 (RFC 2347).
    private Problem? Agree()
    {
        _progress = SystemClock.Instance.Elapsed;
        if (_options.Accepted.Count == 0)
        {
            return null;
        }

        byte[] datagram = new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = _options.Accepted }.Write();
        return Exchange(tries =>
        {
            _account.Retransmissions += tries == 1 ? 0 : 1;
            _sentOnceFrom = tries == 1 ? 0 : 1;
            _port.Send(datagram, datagram.Length);
            _windowSent = SystemClock.Instance.Elapsed;
        }, block => block == 0);
    }

    private Problem? SendFile()
    {
        while (_acknowledged < _last)
        {
            long end = Math.Min(_acknowledged + _options.WindowSize, _last);
            if (Exchange(_ => SendTo(end), block => Takes(block, end)) is { } wrong)
            {
                return wrong with { Sentence = wrong.Sentence + Rest() };
            }
        }

        return null;
    }

    private string Rest() =>
        _sent < _last ? string.Empty
        : _acknowledged == _last - 1 ? " It was the last block, so that the client may have the whole file."
        : " All blocks were sent, so that the client may have the whole file.";

    // The blocks behind the acknowledged one, to the window's end.
    private void SendTo(long end)
    {
        _sentOnceFrom = _sent + 1;
        _windowBegan = SystemClock.Instance.Elapsed;
        _resume = null;
        for (long block = _acknowledged + 1; block <= end; block++)
        {
            int count = _reader.Read((block - 1) * _options.BlockSize, _packet, 4, _options.BlockSize);
            if (count < 0)
            {
                return;
            }

            _packet[2] = (byte)(block >> 8);
            _packet[3] = (byte)block;
            _port.Send(_packet, 4 + count);
            _account.Retransmissions += block <= _sent ? 1 : 0;
            _sent = Math.Max(_sent, block);
        }

        _windowSent = SystemClock.Instance.Elapsed;
        _reader.Prepare(end * _options.BlockSize, _options.BlockSize);
    }

    // True when the next window is to be sent. An acknowledgement inside the window says that blocks behind it are missing, and the next window
    // begins there (RFC 7440 section 4). One that comes sooner than the last sending can have been answered speaks of an earlier one: then others
    // are waited for until that answer is due, so that a client which acknowledges each block does not have each of them sent again and again.
    private bool Takes(ushort block, long end)
    {
        int ahead = (ushort)(block - (ushort)_acknowledged);
        if (ahead == 0 || ahead > end - _acknowledged)
        {
            return false;
        }

        _acknowledged += ahead;
        _progress = SystemClock.Instance.Elapsed;
        TimeSpan due = _timer.RoundTrip < ShortestTimeout ? _timer.RoundTrip : ShortestTimeout;
        bool early = (_progress - _windowSent).Ticks < due.Ticks / 2;
        if (_acknowledged < end && early)
        {
            _resume = _windowSent + due;
            return false;
        }

        return true;
    }

    // Sends, and sends again as often as it takes; null once it was acknowledged.
    private Problem? Exchange(Action<int> send, Func<ushort, bool> acknowledges)
    {
        for (int tries = 1; ; tries++)
        {
            send(tries);
            if (Await(acknowledges, out Problem? wrong))
            {
                return wrong;
            }

            if (tries >= LeastTries && SystemClock.Instance.Elapsed - _progress >= Patience)
            {
                string what = $"no acknowledgement behind block {Text(_acknowledged)} came in {Text(tries)} tries";
                return Broken(ProblemId.TftpTimedOut, what, "Check the network between, and whether the client still runs.");
            }

            _timer.Expired();
        }
    }

    // True when the wait is over before its time: acknowledged, or ended for the reason in wrong.
    private bool Await(Func<ushort, bool> acknowledges, out Problem? wrong)
    {
        TimeSpan end = SystemClock.Instance.Elapsed + _timer.Timeout;
        while (true)
        {
            // Asked before the port is, so that an acknowledgement that came before the client's next request still counts.
            bool gaveWay = _gaveWay;
            wrong = Ended();
            if (wrong is not null)
            {
                return true;
            }

            TimeSpan left = (_resume is { } soon && soon < end ? soon : end) - SystemClock.Instance.Elapsed;
            bool lastLook = gaveWay || left <= TimeSpan.Zero;
            if (_port.Receive(lastLook ? TimeSpan.Zero : left) is { } packet && Answers(packet, acknowledges, out wrong))
            {
                return true;
            }

            if (lastLook)
            {
                wrong = gaveWay ? Broken(ProblemId.TftpRefused, "the client asked again from the same port", "See the transfer that follows.") : null;
                return gaveWay || _resume is not null;
            }
        }
    }

    private bool Answers(TftpPacket packet, Func<ushort, bool> acknowledges, out Problem? wrong)
    {
        wrong = null;
        if (packet.Opcode == TftpOpcode.Error)
        {
            string what = $"the client ended it with error {Text((int)packet.Code)} '{Excerpt.Of(packet.Text)}'";
            wrong = Broken(ProblemId.TftpRefused, what, "See what the client says of it.");
            return true;
        }

        if (packet.Opcode != TftpOpcode.Acknowledgement || !acknowledges(packet.Block))
        {
            return false;
        }

        Time();
        if (!_accepted)
        {
            _accepted = true;
            Accepted?.Invoke(this);
        }

        return true;
    }

    // A round trip is measured on packets that were sent once: of others nobody knows which copy was answered (Karn's algorithm). What was
    // answered before the end of a window may have been answered while the rest was still being sent.
    private void Time()
    {
        if (_acknowledged >= _sentOnceFrom)
        {
            _timer.Answered(SystemClock.Instance.Elapsed - (_acknowledged < _sent ? _windowBegan : _windowSent));
        }
        else
        {
            _timer.AnsweredLate();
        }
    }

    private Problem? Ended()
    {
        string? what = _stopped ? "the server was stopped" : _file.IsWithdrawn ? "the file is no longer offered" : null;
        if (what is null)
        {
            return null;
        }

        _port.Tell(TftpErrorCode.NotDefined, what);
        return Broken(ProblemId.TftpRefused, what, "Ask for it while it is offered.");
    }

    private Problem Broken(ProblemId id, string what, string advice) => new(id, $"Broken off: {what}.", advice) { Target = Client.ToString() };

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
