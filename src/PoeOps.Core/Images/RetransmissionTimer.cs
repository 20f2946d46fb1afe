namespace PoeOps.Images;

/// <summary>
/// How long to wait for an answer before a packet is sent again. It follows the round trips that were measured (RFC 6298 section 2: SRTT, RTTVAR
/// and RTO), takes none from a packet that was sent twice (section 3, Karn's algorithm), and doubles at each expiry (section 5.5; RFC 1123
/// section 4.2.3.2). A time that was agreed on as an option (RFC 2349) stands in the estimate's place and doubles alike.
/// </summary>
internal sealed class RetransmissionTimer
{
    private readonly TimeSpan _first;
    private readonly TimeSpan _least;
    private readonly TimeSpan _most;
    private readonly bool _agreed;
    private TimeSpan _variation;

    private RetransmissionTimer(TimeSpan first, TimeSpan least, TimeSpan most, bool agreed)
    {
        _first = first;
        _least = least;
        _most = most;
        _agreed = agreed;
        Timeout = first;
    }

    /// <summary>How long to wait now (RTO).</summary>
    public TimeSpan Timeout { get; private set; }

    /// <summary>The smoothed round trip (SRTT); zero until one was measured.</summary>
    public TimeSpan RoundTrip { get; private set; }

    /// <summary>A timer that follows the network.</summary>
    /// <param name="first">The wait until a round trip was measured.</param>
    /// <param name="least">The shortest wait: a peer may be slow for reasons of its own.</param>
    /// <param name="most">The longest wait.</param>
    public static RetransmissionTimer Adaptive(TimeSpan first, TimeSpan least, TimeSpan most) => new(first, least, most, agreed: false);

    /// <summary>A timer that starts each time from what was agreed on.</summary>
    /// <param name="time">The agreed time.</param>
    /// <param name="most">The longest wait; twice the agreed time where that is longer.</param>
    public static RetransmissionTimer Agreed(TimeSpan time, TimeSpan most) => new(time, time, Longer(most, time + time), agreed: true);

    /// <summary>An answer came to a packet that was sent once.</summary>
    /// <param name="roundTrip">How long after.</param>
    public void Answered(TimeSpan roundTrip)
    {
        // RFC 6298 sections 2.2 and 2.3: alpha is 1/8, beta is 1/4, K is 4.
        bool isFirst = RoundTrip == TimeSpan.Zero;
        _variation = isFirst ? TimeSpan.FromTicks(roundTrip.Ticks / 2) : TimeSpan.FromTicks(((3 * _variation.Ticks) + (RoundTrip - roundTrip).Duration().Ticks) / 4);
        RoundTrip = isFirst ? Longer(roundTrip, TimeSpan.FromTicks(1)) : TimeSpan.FromTicks(((7 * RoundTrip.Ticks) + roundTrip.Ticks) / 8);
        Timeout = _agreed ? _first : Bounded(TimeSpan.FromTicks(RoundTrip.Ticks + (4 * _variation.Ticks)));
    }

    /// <summary>An answer came, and nobody knows to which of several copies of a packet. The estimate stays backed off; an agreed time starts anew.</summary>
    public void AnsweredLate() => Timeout = _agreed ? _first : Timeout;

    /// <summary>The wait went by without an answer.</summary>
    public void Expired() => Timeout = Bounded(Timeout + Timeout);

    private TimeSpan Bounded(TimeSpan span) => span < _least ? _least : span > _most ? _most : span;

    private static TimeSpan Longer(TimeSpan one, TimeSpan other) => one > other ? one : other;
}
