namespace PoeOps.Snmp;

/// <summary>
/// What we know of the clock of an agent's engine (RFC 3414 section 2.3 and 3.2.7): how often it was started and the seconds since. Only what an authentic message
/// says is known; what came before that is a first guess for the messages that we send.
/// </summary>
internal sealed class EngineClock
{
    /// <summary>How far a message may lie behind, seconds.</summary>
    public const int WindowSeconds = 150;

    private int _time;
    private TimeSpan _setAt;
    private bool _known;

    /// <summary>How often the engine was started.</summary>
    public int Boots { get; private set; }

    /// <summary>The seconds since then, by now.</summary>
    public int Time => (int)Math.Min(int.MaxValue, _time + (long)(SystemClock.Instance.Elapsed - _setAt).TotalSeconds);

    /// <summary>Takes what an unauthentic message says, until an authentic one comes.</summary>
    public void Guess(int boots, int time)
    {
        if (!_known)
        {
            Set(boots, time);
        }
    }

    /// <summary>Forgets everything, as for another engine.</summary>
    public void Forget()
    {
        _known = false;
        Set(0, 0);
    }

    /// <summary>Takes what an authentic message says.</summary>
    /// <returns>False where the message is outside the window: from before a restart, or more than 150 seconds old.</returns>
    public bool Accept(int boots, int time)
    {
        if (boots == int.MaxValue || (_known && (boots < Boots || (boots == Boots && time < (long)Time - WindowSeconds))))
        {
            return false;
        }

        if (!_known || boots > Boots || time > _time)
        {
            _known = true;
            Set(boots, time);
        }

        return true;
    }

    private void Set(int boots, int time)
    {
        Boots = boots;
        _time = time;
        _setAt = SystemClock.Instance.Elapsed;
    }
}
