using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The estimate of RFC 6298, by its own formulas.</summary>
public sealed class RetransmissionTimerTests
{
    private readonly RetransmissionTimer _timer = RetransmissionTimer.Adaptive(Milliseconds(1000), Milliseconds(250), Milliseconds(16000));

    [Fact]
    public void It_begins_with_the_first_time() => Assert.Equal((1000, 0), (Timeout, RoundTrip));

    // Section 2.2: SRTT = R, RTTVAR = R / 2, RTO = SRTT + 4 RTTVAR. Section 2.3: RTTVAR = 3/4 RTTVAR + 1/4 |SRTT - R'|, then SRTT = 7/8 SRTT + 1/8 R'.
    [Fact]
    public void It_follows_the_round_trips()
    {
        _timer.Answered(Milliseconds(400));
        Assert.Equal((1200, 400), (Timeout, RoundTrip));
        _timer.Answered(Milliseconds(400));
        Assert.Equal((1000, 400), (Timeout, RoundTrip));
        _timer.Answered(Milliseconds(1200));
        Assert.Equal((500 + (4 * 312.5), 500), (Timeout, RoundTrip));
    }

    // Section 5.5, and section 3: an answer to one of several copies changes nothing.
    [Fact]
    public void It_doubles_at_each_expiry_until_a_round_trip_is_measured()
    {
        _timer.Answered(Milliseconds(400));
        _timer.Expired();
        Assert.Equal(2400, Timeout);
        _timer.Expired();
        Assert.Equal(4800, Timeout);
        _timer.AnsweredLate();
        Assert.Equal(4800, Timeout);
        _timer.Answered(Milliseconds(400));
        Assert.Equal(1000, Timeout);
    }

    [Fact]
    public void It_is_never_shorter_nor_longer_than_it_may_be()
    {
        _timer.Answered(Milliseconds(1));
        Assert.Equal(250, Timeout);
        for (int times = 0; times < 20; times++)
        {
            _timer.Expired();
        }

        Assert.Equal(16000, Timeout);
    }

    // RFC 2349: the time that was agreed on is the time before a packet is sent again, whatever was measured; RFC 1123 section 4.2.3.2: it still doubles.
    [Theory]
    [InlineData(1, 16)]
    [InlineData(255, 510)]
    public void An_agreed_time_stands_and_doubles(int seconds, int most)
    {
        var timer = RetransmissionTimer.Agreed(TimeSpan.FromSeconds(seconds), Milliseconds(16000));
        timer.Answered(Milliseconds(3));
        Assert.Equal(seconds, timer.Timeout.TotalSeconds);
        timer.Expired();
        Assert.Equal(2 * seconds, timer.Timeout.TotalSeconds);
        for (int times = 0; times < 20; times++)
        {
            timer.Expired();
        }

        Assert.Equal(most, timer.Timeout.TotalSeconds);
        timer.AnsweredLate();
        Assert.Equal(seconds, timer.Timeout.TotalSeconds);
    }

    private double Timeout => _timer.Timeout.TotalMilliseconds;

    private double RoundTrip => _timer.RoundTrip.TotalMilliseconds;

    private static TimeSpan Milliseconds(int count) => TimeSpan.FromMilliseconds(count);
}
