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
    private readonly SendingWindow _window;
    private readonly TransferAccount _account;
    private readonly byte[] _packet;
    private readonly long _last;
    private volatile bool _stopped;
    private volatile bool _gaveWay;
    private bool _accepted;

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
        _window = new SendingWindow(_timer, ShortestTimeout);
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

        return _account.Close(Math.Min(_file.Bytes, _window.Acknowledged * _options.BlockSize), _window.Acknowledged, wrong);
    }

    // The acknowledgement of options is answered with ACK 0 (RFC 2347).
    private Problem? Agree()
    {
        if (_options.Accepted.Count == 0)
        {
            return null;
        }

        byte[] datagram = new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = _options.Accepted }.Write();
        return Exchange(() =>
        {
            _window.Open();
            _account.Retransmissions += _window.Send(0) ? 1 : 0;
            _port.Send(datagram, datagram.Length);
            _window.Close();
        }, block => block == 0);
    }

    private Problem? SendFile()
    {
        while (_window.Acknowledged < _last)
        {
            long end = Math.Min(_window.Acknowledged + _options.WindowSize, _last);
            if (Exchange(() => SendTo(end), block => _window.Take(block, end)) is { } wrong)
            {
                return wrong with { Sentence = wrong.Sentence + Rest() };
            }
        }

        return null;
    }

    private string Rest() =>
        _window.Sent < _last ? string.Empty
        : _window.Acknowledged == _last - 1 ? " It was the last block, so that the client may have the whole file."
        : " All blocks were sent, so that the client may have the whole file.";

    // The blocks behind the acknowledged one, to the window's end.
    private void SendTo(long end)
    {
        _window.Open();
        for (long block = _window.Acknowledged + 1; block <= end; block++)
        {
            int count = _reader.Read((block - 1) * _options.BlockSize, _packet, 4, _options.BlockSize);
            if (count < 0)
            {
                return;
            }

            _packet[2] = (byte)(block >> 8);
            _packet[3] = (byte)block;
            _account.Retransmissions += _window.Send(block) ? 1 : 0;
            _port.Send(_packet, 4 + count);
        }

        _window.Close();
        _reader.Prepare(end * _options.BlockSize, _options.BlockSize);
    }

    // Sends, and sends again as often as it takes; null once it was acknowledged.
    private Problem? Exchange(Action send, Func<ushort, bool> acknowledges)
    {
        for (int tries = 1; ; tries++)
        {
            send();
            if (Await(acknowledges, out Problem? wrong))
            {
                return wrong;
            }

            if (tries >= LeastTries && SystemClock.Instance.Elapsed - _window.Progress >= Patience)
            {
                string what = $"no acknowledgement behind block {Text(_window.Acknowledged)} came in {Text(tries)} tries";
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

            TimeSpan left = (_window.Resume is { } soon && soon < end ? soon : end) - SystemClock.Instance.Elapsed;
            bool lastLook = gaveWay || left <= TimeSpan.Zero;
            if (_port.Receive(lastLook ? TimeSpan.Zero : left) is { } packet && Answers(packet, acknowledges, out wrong))
            {
                return true;
            }

            if (lastLook)
            {
                wrong = gaveWay ? Broken(ProblemId.TftpRefused, "the client asked again from the same port", "See the transfer that follows.") : null;
                return gaveWay || _window.Resume is not null;
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

        _window.Measure();
        if (!_accepted)
        {
            _accepted = true;
            Accepted?.Invoke(this);
        }

        return true;
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
