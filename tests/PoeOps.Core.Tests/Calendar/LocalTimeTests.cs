using System.Globalization;
using PoeOps.Calendar;
using PoeOps.Estate;
using static PoeOps.Core.Tests.Calendar.CalendarText;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>
/// Local times that come twice or never, in zones with odd offsets. The instants were worked out by Python 3.11's zoneinfo over IANA TZDB 2025b: fold 0 is
/// the first of two and, in a gap, the offset before it (PEP 495, as RFC 5545 section 3.3.5 has it); fold 1 is the second of two. All are of the past, which
/// newer data of the zones leave as it was.
/// </summary>
public sealed class LocalTimeTests
{
    [Theory]
    [InlineData("Asia/Kathmandu", "2023-12-05T22:30", LocalTimeChoice.First, "2023-12-05T16:45", "2023-12-05T22:30", LocalTimeReading.Once)] // UTC+5:45 all year
    [InlineData("Australia/Lord_Howe", "2023-10-01T02:00", LocalTimeChoice.First, "2023-09-30T15:30", "2023-10-01T02:30", LocalTimeReading.MovedForward)] // half an hour of daylight saving
    [InlineData("Australia/Lord_Howe", "2023-10-01T02:15", LocalTimeChoice.Second, "2023-09-30T15:45", "2023-10-01T02:45", LocalTimeReading.MovedForward)]
    [InlineData("Australia/Lord_Howe", "2023-04-02T01:45", LocalTimeChoice.First, "2023-04-01T14:45", "2023-04-02T01:45", LocalTimeReading.FirstOfTwo)]
    [InlineData("Australia/Lord_Howe", "2023-04-02T01:45", LocalTimeChoice.Second, "2023-04-01T15:15", "2023-04-02T01:45", LocalTimeReading.SecondOfTwo)]
    [InlineData("Australia/Lord_Howe", "2023-04-02T02:00", LocalTimeChoice.Second, "2023-04-01T15:30", "2023-04-02T02:00", LocalTimeReading.Once)]
    [InlineData("Pacific/Chatham", "2023-09-24T02:45", LocalTimeChoice.First, "2023-09-23T14:00", "2023-09-24T03:45", LocalTimeReading.MovedForward)] // from UTC+12:45 to UTC+13:45
    [InlineData("Pacific/Chatham", "2023-09-24T03:15", LocalTimeChoice.First, "2023-09-23T14:30", "2023-09-24T04:15", LocalTimeReading.MovedForward)]
    [InlineData("Pacific/Chatham", "2023-04-02T03:00", LocalTimeChoice.First, "2023-04-01T13:15", "2023-04-02T03:00", LocalTimeReading.FirstOfTwo)]
    [InlineData("Pacific/Chatham", "2023-04-02T03:00", LocalTimeChoice.Second, "2023-04-01T14:15", "2023-04-02T03:00", LocalTimeReading.SecondOfTwo)]
    [InlineData("Pacific/Apia", "2011-12-29T22:00", LocalTimeChoice.First, "2011-12-30T08:00", "2011-12-29T22:00", LocalTimeReading.Once)] // the 30th never came: over the date line
    [InlineData("Pacific/Apia", "2011-12-30T22:00", LocalTimeChoice.First, "2011-12-31T08:00", "2011-12-31T22:00", LocalTimeReading.MovedForward)]
    [InlineData("Pacific/Apia", "2011-12-31T22:00", LocalTimeChoice.First, "2011-12-31T08:00", "2011-12-31T22:00", LocalTimeReading.Once)]
    [InlineData("America/Sao_Paulo", "2018-11-04T00:00", LocalTimeChoice.First, "2018-11-04T03:00", "2018-11-04T01:00", LocalTimeReading.MovedForward)] // a day that begins at 01:00
    [InlineData("America/Sao_Paulo", "2018-11-04T00:30", LocalTimeChoice.Second, "2018-11-04T03:30", "2018-11-04T01:30", LocalTimeReading.MovedForward)]
    [InlineData("America/Sao_Paulo", "2019-02-16T23:30", LocalTimeChoice.First, "2019-02-17T01:30", "2019-02-16T23:30", LocalTimeReading.FirstOfTwo)]
    [InlineData("America/Sao_Paulo", "2019-02-16T23:30", LocalTimeChoice.Second, "2019-02-17T02:30", "2019-02-16T23:30", LocalTimeReading.SecondOfTwo)]
    [InlineData("America/Sao_Paulo", "2019-11-03T00:00", LocalTimeChoice.First, "2019-11-03T03:00", "2019-11-03T00:00", LocalTimeReading.Once)] // daylight saving was given up that year
    [InlineData("Europe/Istanbul", "2015-11-08T03:30", LocalTimeChoice.First, "2015-11-08T00:30", "2015-11-08T03:30", LocalTimeReading.FirstOfTwo)]
    [InlineData("Europe/Istanbul", "2015-11-08T03:30", LocalTimeChoice.Second, "2015-11-08T01:30", "2015-11-08T03:30", LocalTimeReading.SecondOfTwo)]
    [InlineData("Europe/Istanbul", "2016-10-30T03:30", LocalTimeChoice.Second, "2016-10-30T00:30", "2016-10-30T03:30", LocalTimeReading.Once)] // clocks no longer go back
    [InlineData("Europe/Istanbul", "2016-11-06T22:30", LocalTimeChoice.First, "2016-11-06T19:30", "2016-11-06T22:30", LocalTimeReading.Once)]
    [InlineData("America/Havana", "2022-03-13T00:30", LocalTimeChoice.First, "2022-03-13T05:30", "2022-03-13T01:30", LocalTimeReading.MovedForward)]
    [InlineData("America/Havana", "2022-11-06T00:30", LocalTimeChoice.First, "2022-11-06T04:30", "2022-11-06T00:30", LocalTimeReading.FirstOfTwo)]
    [InlineData("America/Havana", "2022-11-06T00:30", LocalTimeChoice.Second, "2022-11-06T05:30", "2022-11-06T00:30", LocalTimeReading.SecondOfTwo)]
    [InlineData("Asia/Beirut", "2022-03-27T00:00", LocalTimeChoice.First, "2022-03-26T22:00", "2022-03-27T01:00", LocalTimeReading.MovedForward)]
    [InlineData("America/Santiago", "2022-09-11T00:15", LocalTimeChoice.First, "2022-09-11T04:15", "2022-09-11T01:15", LocalTimeReading.MovedForward)]
    [InlineData("Africa/Cairo", "2024-04-26T00:00", LocalTimeChoice.First, "2024-04-25T22:00", "2024-04-26T01:00", LocalTimeReading.MovedForward)]
    [InlineData("America/St_Johns", "2023-12-05T22:30", LocalTimeChoice.First, "2023-12-06T02:00", "2023-12-05T22:30", LocalTimeReading.Once)] // UTC-3:30
    [InlineData("Africa/Casablanca", "2024-03-10T02:30", LocalTimeChoice.First, "2024-03-10T01:30", "2024-03-10T02:30", LocalTimeReading.FirstOfTwo)] // clocks go back as Ramadan begins
    [InlineData("Africa/Casablanca", "2024-03-10T02:30", LocalTimeChoice.Second, "2024-03-10T02:30", "2024-03-10T02:30", LocalTimeReading.SecondOfTwo)]
    public void A_local_opening_is_this_instant(string zone, string written, LocalTimeChoice choice, string utc, string local, LocalTimeReading reading)
    {
        var time = DateTime.ParseExact(written, "yyyy-MM-dd'T'HH:mm", CultureInfo.InvariantCulture);
        Site site = Site(zone, Rule(written[11..], 2, time.DayOfWeek) with { From = written[..10], Until = written[..10] }) with { LocalTime = choice };
        Window window = Assert.Single(new WindowCalendar(site).Next(Before(time), 5));
        Assert.Equal((utc, local, written, reading), (Minute(window.OpensUtc), Minute(window.OpensLocal), Minute(window.WrittenLocal), window.LocalTime));
        Assert.Equal(TimeSpan.FromHours(2), window.Length);
        Site single = Site(zone) with { LocalTime = choice, ExtraWindows = [new ExtraWindow { Opens = written, Length = TimeSpan.FromHours(2) }] };
        Assert.Equal(window, Assert.Single(new WindowCalendar(single).Next(Before(time), 5)));
    }

    [Fact]
    public void A_day_that_never_came_opens_with_the_next_and_counts_once()
    {
        Site site = Site("Pacific/Apia", Rule("22:00", 2, DayOfWeek.Thursday, DayOfWeek.Friday, DayOfWeek.Saturday, DayOfWeek.Sunday));
        Assert.Equal(["2011-12-30T08:00", "2011-12-31T08:00", "2012-01-01T08:00"], Openings(site, "2011-12-30", 3));
    }

    [Fact]
    public void An_opening_out_of_a_day_that_never_came_does_not_hide_one_before_it()
    {
        // Friday at 22:00 became Saturday at 22:00; Saturday at 00:00 was 10:00 UTC the day before, at UTC+14.
        Site site = Site("Pacific/Apia", Rule("22:00", 2, DayOfWeek.Friday), Rule("00:00", 2, DayOfWeek.Saturday));
        Assert.Equal(["2011-12-30T10:00"], Openings(site, "2011-12-30T09:00", 1));
    }

    [Fact]
    public void A_freeze_of_a_day_that_never_came_drops_nothing() =>
        Assert.Equal(
            ["2011-12-31T08:00"],
            Openings(Site("Pacific/Apia", Rule("22:00", 2, DayOfWeek.Friday)) with { Freezes = [new Freeze { From = "2011-12-30", Until = "2011-12-30" }] }, "2011-12-30", 1));

    [Theory]
    [InlineData("Europe/Berlin", "2023-03-25", "02:30", LocalTimeChoice.First, "02:30 does not come; moved forward by 60 min.")]
    [InlineData("Australia/Lord_Howe", "2023-09-30", "02:15", LocalTimeChoice.First, "02:15 does not come; moved forward by 30 min.")]
    [InlineData("Europe/Berlin", "2023-10-28", "02:30", LocalTimeChoice.First, "02:30 comes twice; this is the first.")]
    [InlineData("Europe/Berlin", "2023-10-28", "02:30", LocalTimeChoice.Second, "02:30 comes twice; this is the second.")]
    [InlineData("Europe/Berlin", "2023-10-28", "03:00", LocalTimeChoice.Second, "")]
    public void What_was_decided_is_said(string zone, string from, string opens, LocalTimeChoice choice, string note) =>
        Assert.Equal(note, new WindowCalendar(Site(zone, Rule(opens, 1, DayOfWeek.Sunday)) with { LocalTime = choice }).Next(Utc(from), 1)[0].Note);

    [Fact]
    public void The_site_decides_unless_somebody_else_does()
    {
        Site site = Site("Europe/Berlin", Rule("02:30", 1, DayOfWeek.Sunday)) with { LocalTime = LocalTimeChoice.Second };
        string Opens(LocalTimeChoice? choice) => Minute(new WindowCalendar(site, choice).Next(Utc("2023-10-28"), 1)[0].OpensUtc);
        Assert.Equal(("2023-10-29T01:30", "2023-10-29T00:30"), (Opens(null), Opens(LocalTimeChoice.First)));
    }

    [Fact]
    public void A_window_out_of_a_gap_that_falls_on_another_says_so()
    {
        Site site = Site("Europe/Berlin", Rule("03:00", 1, DayOfWeek.Sunday), Rule("02:00", 1, DayOfWeek.Sunday));
        Window window = new WindowCalendar(site).Next(Utc("2023-03-25"), 1)[0];
        Assert.Equal(("2023-03-26T01:00", LocalTimeReading.MovedForward, "02:00 does not come; moved forward by 60 min."), (Minute(window.OpensUtc), window.LocalTime, window.Note));
    }

    private static DateTime Before(DateTime local) => DateTime.SpecifyKind(local.AddDays(-2), DateTimeKind.Utc);
}
