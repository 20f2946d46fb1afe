namespace PoeOps.Terminal;

/// <summary>
/// Which Telnet options are on, and what is answered to a peer that asks (RFC 855), by the rules of RFC 1143 for an end that asks for nothing itself: a change is
/// answered once and what is so already not at all, so that nothing goes round in circles, and requests that cross leave both ends with one view.
/// </summary>
internal sealed class TelnetOptions
{
    private const byte Se = 240, Sb = 250, Will = 251, Wont = 252, Do = 253, Dont = 254, Iac = 255;
    private const byte Echo = 1, SuppressGoAhead = 3, TerminalType = 24, WindowSize = 31;
    private const byte Is = 0, SendNow = 1;
    private const int MostInARow = 32;

    private static readonly byte[] None = [];
    private static readonly byte[] SayWindow = [Iac, Sb, WindowSize, 0, 200, 0, 0, Iac, Se];
    private static readonly byte[] SayTerminal = [Iac, Sb, TerminalType, Is, (byte)'d', (byte)'u', (byte)'m', (byte)'b', Iac, Se];

    private readonly bool[] _ours = new bool[256];
    private readonly bool[] _theirs = new bool[256];
    private readonly int[] _inARow = new int[256];
    private readonly long[] _row = new long[256];
    private long _rows;

    /// <summary>Octets of the dialogue came: what an option was asked about before counts no more.</summary>
    public void DialogueCame() => _rows++;

    /// <summary>Takes a request.</summary>
    /// <param name="verb">WILL, WONT, DO or DONT.</param>
    /// <param name="option">The option's number.</param>
    /// <returns>What to answer; empty for nothing.</returns>
    public byte[] Ask(byte verb, byte option)
    {
        bool wanted = verb is Will or Do;
        bool theirs = verb is Will or Wont;
        bool[] state = theirs ? _theirs : _ours;
        bool granted = wanted && (theirs ? option is Echo or SuppressGoAhead : option is SuppressGoAhead or TerminalType or WindowSize);
        if (!wanted && !state[option])
        {
            return None;
        }

        // Turning off is answered always: it is asked of what was turned on, and that is counted.
        if (wanted && ((granted && state[option]) || !MayAnswer(option)))
        {
            return None;
        }

        state[option] = granted;
        byte[] answer = [Iac, theirs ? (granted ? Do : Dont) : (granted ? Will : Wont), option];
        return granted && option == WindowSize ? [.. answer, .. SayWindow] : answer;
    }

    /// <summary>Takes what stood between SB and SE.</summary>
    /// <param name="said">The option's number and what follows it, with IAC IAC as one octet.</param>
    /// <returns>What to answer; empty for nothing.</returns>
    public byte[] AskSub(IReadOnlyList<byte> said) =>
        said.Count == 2 && said[0] == TerminalType && said[1] == SendNow && _ours[TerminalType] && MayAnswer(TerminalType) ? SayTerminal : None;

    // A peer that asks for one thing again and again, with nothing else between, is in a loop of its own.
    private bool MayAnswer(byte option)
    {
        if (_row[option] != _rows)
        {
            _row[option] = _rows;
            _inARow[option] = 0;
        }

        return _inARow[option]++ < MostInARow;
    }
}
