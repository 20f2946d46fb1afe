using PoeOps.Files;

namespace PoeOps.Core.Tests.Files;

public sealed class IsoTextTests
{
    [Theory]
    [InlineData("PT5H", 5 * 3600)]
    [InlineData("PT4H30M", (4 * 3600) + 1800)]
    [InlineData("P1DT1S", 86401)]
    [InlineData("P2D", 2 * 86400)]
    [InlineData("PT90M", 5400)]
    [InlineData("PT0S", 0)]
    public void A_length_is_read(string text, int seconds) => Assert.Equal(TimeSpan.FromSeconds(seconds), IsoText.Length(text));

    [Theory]
    [InlineData("")]
    [InlineData(null)]
    [InlineData("P")]
    [InlineData("PT")]
    [InlineData("P1DT")]
    [InlineData("5H")]
    [InlineData("P1Y")]
    [InlineData("P1M")]
    [InlineData("PT1.5H")]
    [InlineData("-PT5H")]
    [InlineData("PT5h")]
    [InlineData("PT5H\n")]
    [InlineData("PT5M4H")]
    [InlineData("05:00")]
    public void What_is_no_length_is_none(string? text) => Assert.Null(IsoText.Length(text));

    [Theory]
    [InlineData("2026-11-25T21:00:00Z", true)]
    [InlineData("2026-11-25T21:00:00.1234567Z", true)]
    [InlineData("2026-11-25T21:00:00", false)]
    [InlineData("2026-11-25T21:00:00+01:00", false)]
    [InlineData("2026-02-30T21:00:00Z", false)]
    [InlineData("25.11.2026", false)]
    public void A_moment_says_that_it_is_UTC(string text, bool good) => Assert.Equal(good, IsoText.Utc(text)?.Kind == DateTimeKind.Utc);

    [Fact]
    public void What_is_written_is_read_back()
    {
        DateTime moment = new DateTime(2026, 11, 25, 21, 0, 0, DateTimeKind.Utc).AddTicks(1230000);
        Assert.Equal("2026-11-25T21:00:00.123Z", IsoText.Write(moment));
        Assert.Equal(moment, IsoText.Utc(IsoText.Write(moment)));
        Assert.Equal(TimeSpan.FromHours(30), IsoText.Length(IsoText.Write(TimeSpan.FromHours(30))));
    }

    [Fact]
    public void Times_of_day_dates_and_local_times_have_one_spelling()
    {
        Assert.True(IsoText.IsTimeOfDay("00:00") && IsoText.IsTimeOfDay("23:59"));
        Assert.DoesNotContain(new[] { "24:00", "9:00", "22:30:00", "10 pm", "" }, IsoText.IsTimeOfDay);
        Assert.True(IsoText.IsDate("2028-02-29"));
        Assert.DoesNotContain(new[] { "2027-02-29", "20261220", "2026-12-20T00:00", "20.12.2026" }, IsoText.IsDate);
        Assert.True(IsoText.IsLocalTime("2026-12-04T22:00"));
        Assert.DoesNotContain(new[] { "2026-12-04 22:00", "2026-12-04T22:00Z", "2026-12-04T25:00" }, IsoText.IsLocalTime);
    }
}
