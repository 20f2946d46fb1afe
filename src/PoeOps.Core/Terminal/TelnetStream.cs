namespace PoeOps.Terminal;

/// <summary>
/// Telnet over a stream (RFC 854, 855). Every option is refused except: the far end may echo (RFC 857) and both may suppress go-ahead (RFC 858);
/// asked for, the terminal type is <c>dumb</c> (RFC 1091) and the window 200 columns by 0 rows (RFC 1073), so that lines are not wrapped.
/// What is read are the octets of the dialogue: commands, negotiation and the NUL behind a carriage return are taken out, wherever reads cut them. Octets
/// before a data mark are kept, though RFC 854 lets a terminal drop them: nothing that a device said is lost.
/// </summary>
public sealed class TelnetStream : ConnectionStream
{
    private const byte Se = 240, Sb = 250, Will = 251, Dont = 254, Iac = 255;
    private const int LongestSubnegotiation = 1024;

    private readonly Stream _inner;
    private readonly object _writing = new();
    private readonly TelnetOptions _options = new();
    private readonly List<byte> _sub = [];
    private State _state;
    private byte _verb;
    private bool _afterReturn;
    private bool _peerTakesNothing;

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
                Answer(_options.Ask(_verb, b));
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

    // RFC 854: a carriage return is followed by a line feed, or by a NUL that means nothing. Commands may stand between.
    private bool TakeData(byte b)
    {
        if (b == Iac)
        {
            _state = State.Command;
            return false;
        }

        bool isData = b != 0 || !_afterReturn;
        Said(b);
        return isData;
    }

    private void Said(byte b)
    {
        _afterReturn = b == '\r';
        _options.DialogueCame();
    }

    private bool TakeCommand(byte b)
    {
        _state = b is >= Will and <= Dont ? State.Option : b == Sb ? State.Sub : State.Data;
        _verb = b;
        if (b == Sb)
        {
            _sub.Clear();
        }

        if (b == Iac)
        {
            Said(b);
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
            Answer(_options.AskSub(_sub));
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

    // A peer may close for writing and still have something to say: what came is read to its end, and nothing more is answered.
    private void Answer(byte[] bytes)
    {
        if (bytes.Length == 0 || _peerTakesNothing)
        {
            return;
        }

        try
        {
            Send(bytes);
        }
        catch (IOException)
        {
            _peerTakesNothing = true;
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
