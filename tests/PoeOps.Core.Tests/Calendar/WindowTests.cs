using PoeOps.Calendar;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>Instants by hand: the European Union's clocks change on the last Sunday of March and October at 01:00 UTC (IANA TZDB, rule EU).</summary>
public sealed class WindowTests
{
    [Theory]
    [InlineData("Europe/Berlin", DayOfWeek.Sunday, "02:30", "2025-03-24", "2025-03-30T01:30Z")]
    [InlineData("Europe/Berlin", DayOfWeek.Sunday, "02:30", "2025-10-20", "2025-10-26T00:30Z")]
    [InlineData("W. Europe Standard Time", DayOfWeek.Tuesday, "22:30", "2026-12-01", "2026-12-01T21:30Z")]
    public void A_local_opening_is_this_instant(string zone, DayOfWeek day, string opens, string from, string expected)
    {
        Site site = new() { Name = "quay", Zone = zone, Windows = [new WindowRule { Days = [day], Opens = opens, Length = TimeSpan.FromHours(5) }] };
        Window window = new WindowCalendar(site).Next(Utc(from), 1)[0];
        Assert.Equal(Utc(expected), window.OpensUtc);
        Assert.Equal(TimeSpan.FromHours(5), window.ClosesUtc - window.OpensUtc);
    }

    [Fact]
    public void A_freeze_drops_what_it_touches_and_an_extra_window_stands_in_it()
    {
        Site site = new()
        {
            Name = "quay",
            Zone = "Europe/Lisbon",
            Windows = [new WindowRule { Days = [DayOfWeek.Saturday], Opens = "23:00", Length = TimeSpan.FromHours(3) }],
            ExtraWindows = [new ExtraWindow { Opens = "2026-12-21T22:00", Length = TimeSpan.FromHours(1) }],
            Freezes = [new Freeze { From = "2026-12-20", Until = "2026-12-26" }],
        };
        Assert.Equal(
            ["2026-12-21T22:00 True", "2027-01-02T23:00 False"],
            new WindowCalendar(site).Next(Utc("2026-12-14"), 2).Select(window => $"{window.OpensUtc:yyyy-MM-dd'T'HH:mm} {window.InsideFreeze}"));
    }

    [Fact]
    public void A_zone_that_does_not_exist_is_told_with_the_nearest()
    {
        PoeOpsException exception = Assert.Throws<PoeOpsException>(() => new WindowCalendar(new Site { Name = "quay", Zone = "Europe/Berlyn" }));
        Assert.Equal("No time zone is called 'Europe/Berlyn'; the nearest is 'Europe/Berlin'.", exception.Problem.Sentence);
    }

    private static DateTime Utc(string text) => DateTime.Parse(text, System.Globalization.CultureInfo.InvariantCulture, System.Globalization.DateTimeStyles.AdjustToUniversal | System.Globalization.DateTimeStyles.AssumeUniversal);
}
