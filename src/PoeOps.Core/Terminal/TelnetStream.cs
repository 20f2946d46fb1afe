namespace PoeOps.Terminal;

/// <summary>
/// Telnet over a stream (RFC 854, 855). Every option is refused except: the far end may echo (RFC 857) and both may suppress go-ahead (RFC 858);
/// asked for, the terminal type is <c>dumb</c> (RFC 1091) and the window 200 columns by 0 rows (RFC 1073), so that lines are not wrapped.
/// A change is answered once, and a peer that asks for one thing again and again is answered no more, so that no negotiation goes round in circles.
/// </summary>
public sealed class TelnetStream : Stream
{
    private const byte Se = 240, Sb = 250, Will = 251, Wont = 252, Do = 253, Dont = 254, Iac = 255;
    private const byte Echo = 1, SuppressGoAhead = 3, TerminalType = 24, WindowSize = 31;
    private const int LongestSubnegotiation = 1024;
    private const int MostAnswers = 32;

    private readonly Stream _inner;
    private readonly object _writing = new();
    private readonly bool[] _ours = new bool[256];
    private readonly bool[] _theirs = new bool[256];
    private readonly int[] _answers = new int[256];
    private readonly List<byte> _sub = [];
    private State _state;
    private byte _verb;
    private bool _afterReturn;

    /// <summary>Speaks Telnet over a stream, which it owns.</summary>
    public TelnetStream(Stream inner) => _inner = inner;

    private enum State
    {
        Data,
        Command,
        Option,
        Sub,
        SubCommand,
    }

    /// <inheritdoc/>
    public override bool CanRead => true;

    /// <inheritdoc/>
    public override bool CanSeek => false;

    /// <inheritdoc/>
    public override bool CanWrite => true;

    /// <inheritdoc/>
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    /// <inheritdoc/>
    public override void Flush() => _inner.Flush();

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count)
    {
        byte[] raw = new byte[count];
        while (true)
        {
            int read = _inner.Read(raw, 0, count);
            if (read <= 0)
            {
                return 0;
            }

            int kept = 0;
            for (int i = 0; i < read; i++)
            {
                if (IsData(raw[i]))
                {
                    buffer[offset + kept++] = raw[i];
                }
            }

            if (kept > 0)
            {
                return kept;
            }
        }
    }

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count)
    {
        List<byte> escaped = new(count + 8);
        for (int i = 0; i < count; i++)
        {
            byte b = buffer[offset + i];
            escaped.Add(b);
            if (b == Iac)
            {
                escaped.Add(Iac);
            }
            else if (b == '\r' && (i + 1 == count || buffer[offset + i + 1] != '\n'))
            {
                escaped.Add(0);
            }
        }

        Send([.. escaped]);
    }

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _inner.Dispose();
        }

        base.Dispose(disposing);
    }

    // True for a byte of the dialogue; everything of Telnet's own is dealt with here.
    private bool IsData(byte b)
    {
        switch (_state)
        {
            case State.Command:
                return TakeCommand(b);
            case State.Option:
                _state = State.Data;
                Negotiate(_verb, b);
                return false;
            case State.Sub:
                TakeSub(b);
                return false;
            case State.SubCommand:
                TakeSubCommand(b);
                return false;
            default:
                return TakeData(b);
        }
    }

    private bool TakeData(byte b)
    {
        bool afterReturn = _afterReturn;
        _afterReturn = b == '\r';
        if (b == Iac)
        {
            _state = State.Command;
            return false;
        }

        return !(b == 0 && afterReturn);
    }

    private bool TakeCommand(byte b)
    {
        _state = b is >= Will and <= Dont ? State.Option : b == Sb ? State.Sub : State.Data;
        _verb = b;
        if (b == Sb)
        {
            _sub.Clear();
        }

        return b == Iac;
    }

    private void TakeSub(byte b)
    {
        if (b == Iac)
        {
            _state = State.SubCommand;
        }
        else
        {
            TakeSubByte(b);
        }
    }

    private void TakeSubCommand(byte b)
    {
        if (b == Se)
        {
            _state = State.Data;
            AnswerSub();
        }
        else if (b == Iac)
        {
            _state = State.Sub;
            TakeSubByte(b);
        }
        else
        {
            // RFC 855 allows nothing else here: the peer forgot the end, and goes on with another command.
            _ = TakeCommand(b);
        }
    }

    // One that does not end would swallow the rest of the dialogue.
    private void TakeSubByte(byte b)
    {
        _sub.Add(b);
        if (_sub.Count >= LongestSubnegotiation)
        {
            _state = State.Data;
        }
    }

    private void Negotiate(byte verb, byte option)
    {
        bool wanted = verb is Will or Do;
        bool theirs = verb is Will or Wont;
        bool[] state = theirs ? _theirs : _ours;
        bool granted = wanted && (theirs ? option is Echo or SuppressGoAhead : option is SuppressGoAhead or TerminalType or WindowSize);

        // RFC 854: what is so already is not acknowledged.
        if (granted == state[option] && (granted || !wanted))
        {
            return;
        }

        state[option] = granted;
        Answer(option, [Iac, theirs ? (granted ? Do : Dont) : (granted ? Will : Wont), option]);
        if (granted && option == WindowSize)
        {
            Answer(option, [Iac, Sb, WindowSize, 0, 200, 0, 0, Iac, Se]);
        }
    }

    private void AnswerSub()
    {
        const byte Is = 0, SendNow = 1;
        if (_sub.Count == 2 && _sub[0] == TerminalType && _sub[1] == SendNow && _ours[TerminalType])
        {
            Answer(TerminalType, [Iac, Sb, TerminalType, Is, (byte)'d', (byte)'u', (byte)'m', (byte)'b', Iac, Se]);
        }
    }

    private void Answer(byte option, byte[] bytes)
    {
        if (_answers[option] < MostAnswers)
        {
            _answers[option]++;
            Send(bytes);
        }
    }

    private void Send(byte[] bytes)
    {
        lock (_writing)
        {
            _inner.Write(bytes, 0, bytes.Length);
            _inner.Flush();
        }
    }
}
