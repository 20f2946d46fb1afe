namespace PoeOps.Images;

/// <summary>
/// Which blocks of a transfer are on their way, and what an acknowledgement says of them (RFC 7440 section 4; a window of one block is RFC 1350's
/// lock-step). Block 0 is the acknowledgement of options. Used by one thread.
/// </summary>
internal sealed class SendingWindow(RetransmissionTimer timer, TimeSpan longestDue)
{
    private long _sentOnceFrom;
    private TimeSpan _began;
    private TimeSpan _sent;

    /// <summary>The last block that was acknowledged.</summary>
    public long Acknowledged { get; private set; }

    /// <summary>The furthest block that was sent.</summary>
    public long Sent { get; private set; } = -1;

    /// <summary>When the client last acknowledged anything new.</summary>
    public TimeSpan Progress { get; private set; } = SystemClock.Instance.Elapsed;

    /// <summary>When to go on behind what was acknowledged inside the window; null to wait for its end.</summary>
    public TimeSpan? Resume { get; private set; }

    /// <summary>Sending begins.</summary>
    public void Open()
    {
        _sentOnceFrom = Sent + 1;
        _began = SystemClock.Instance.Elapsed;
        Resume = null;
    }

    /// <summary>A block goes out.</summary>
    /// <returns>True where it did so before.</returns>
    public bool Send(long block)
    {
        bool again = block <= Sent;
        Sent = Math.Max(Sent, block);
        return again;
    }

    /// <summary>All is sent, and an answer is waited for.</summary>
    public void Close() => _sent = SystemClock.Instance.Elapsed;

    /// <summary>
    /// Takes an acknowledgement. One inside the window says that blocks behind it are missing, and the next window begins there. One that comes sooner
    /// than the last sending can have been answered speaks of an earlier one: then others are waited for until that answer is due
    /// (<see cref="Resume"/>), so that a client which acknowledges each block does not have each of them sent again and again. One from the past, or
    /// the last one again, says nothing (RFC 1123 section 4.2.3.1).
    /// </summary>
    /// <param name="block">The number that it carries.</param>
    /// <param name="end">The last block of the window.</param>
    /// <returns>True when the next window is to be sent.</returns>
    public bool Take(ushort block, long end)
    {
        int ahead = (ushort)(block - (ushort)Acknowledged);
        if (ahead == 0 || ahead > end - Acknowledged)
        {
            return false;
        }

        Acknowledged += ahead;
        Progress = SystemClock.Instance.Elapsed;
        TimeSpan due = timer.RoundTrip < longestDue ? timer.RoundTrip : longestDue;
        if (Acknowledged < end && (Progress - _sent).Ticks < due.Ticks / 2)
        {
            Resume = _sent + due;
            return false;
        }

        return true;
    }

    /// <summary>
    /// Measures the round trip of what was acknowledged, where it was sent once: otherwise nobody knows which copy was answered (Karn's algorithm).
    /// What was answered before the end of a window may have been answered while the rest was still being sent.
    /// </summary>
    public void Measure()
    {
        if (Acknowledged >= _sentOnceFrom)
        {
            timer.Answered(SystemClock.Instance.Elapsed - (Acknowledged < Sent ? _began : _sent));
        }
        else
        {
            timer.AnsweredLate();
        }
    }
}
