using System.Globalization;
using PoeOps.Calendar;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>
/// Instants worked out by hand. Central Europe is at UTC+1, and at UTC+2 from the last Sunday of March to the last Sunday of October, both at 01:00 UTC
/// (IANA TZDB, rule EU): in 2025 the 30th of March and the 26th of October.
/// </summary>
public sealed class WindowCalendarTests
{
    [Theory]
    [InlineData("2025-03-24", "02:00", LocalTimeChoice.First, "30 01:00Z-06:00Z 03:00-08:00")] // in the gap from 02:00 to 03:00: forward by it
    [InlineData("2025-03-24", "02:30", LocalTimeChoice.First, "30 01:30Z-06:30Z 03:30-08:30")]
    [InlineData("2025-03-24", "02:30", LocalTimeChoice.Second, "30 01:30Z-06:30Z 03:30-08:30")]
    [InlineData("2025-03-24", "03:00", LocalTimeChoice.First, "30 01:00Z-06:00Z 03:00-08:00")]
    [InlineData("2025-03-24", "01:59", LocalTimeChoice.First, "30 00:59Z-05:59Z 01:59-07:59")] // five hours that went by, not five on the wall
    [InlineData("2025-10-20", "01:59", LocalTimeChoice.First, "25 23:59Z-04:59Z 01:59-05:59")]
    [InlineData("2025-10-20", "02:00", LocalTimeChoice.First, "26 00:00Z-05:00Z 02:00-06:00")] // comes twice: the first
    [InlineData("2025-10-20", "02:30", LocalTimeChoice.First, "26 00:30Z-05:30Z 02:30-06:30")]
    [InlineData("2025-10-20", "02:30", LocalTimeChoice.Second, "26 01:30Z-06:30Z 02:30-07:30")]
    [InlineData("2025-10-20", "03:00", LocalTimeChoice.Second, "26 02:00Z-07:00Z 03:00-08:00")]
    public void Clocks_that_change_are_decided_and_the_length_is_exact(string from, string opens, LocalTimeChoice choice, string expected)
    {
        Site site = Weekly("Europe/Berlin", opens, "05:00", DayOfWeek.Sunday);
        Window window = new WindowCalendar(site, choice).Next(Utc(from), 1)[0];
        Assert.Equal(expected, string.Create(CultureInfo.InvariantCulture, $"{window.OpensUtc:dd HH:mm}Z-{window.ClosesUtc:HH:mm}Z {window.OpensLocal:HH:mm}-{window.ClosesLocal:HH:mm}"));
        Assert.Equal((DateTimeKind.Utc, DateTimeKind.Utc), (window.OpensUtc.Kind, window.ClosesUtc.Kind));
    }

    [Fact]
    public void An_opening_that_is_moved_out_of_the_gap_onto_another_counts_once()
    {
        Site site = Weekly("Europe/Berlin", "02:00", "05:00", DayOfWeek.Sunday);
        site = site with { Windows = [site.Windows[0], site.Windows[0] with { Opens = "03:00", Attended = true }] };
        Assert.Equal(["2025-03-30T01:00 300 attended"], Lines(site, "2025-03-29T12:00", 9).Take(1));
        Assert.Equal(["2025-04-06T00:00 300", "2025-04-06T01:00 300 attended"], Lines(site, "2025-03-30T12:00", 2));
    }

    [Theory]
    [InlineData("W. Europe Standard Time", "2026-12-01T21:30")]
    [InlineData("Azores Standard Time", "2026-12-01T23:30")] // the name says UTC-1, and so it is in winter
    [InlineData("Atlantic/Azores", "2026-12-01T23:30")]
    [InlineData("Asia/Kolkata", "2026-12-01T17:00")] // UTC+5:30 all year
    [InlineData("UTC", "2026-12-01T22:30")]
    public void Zones_are_known_by_their_IANA_and_their_Windows_ids(string zone, string expected) =>
        Assert.Equal([expected + " 60"], Lines(Weekly(zone, "22:30", "01:00", DayOfWeek.Tuesday), "2026-11-30", 1));

    [Fact]
    public void A_window_is_given_until_it_closes()
    {
        Site site = Weekly("UTC", "22:00", "03:00", DayOfWeek.Tuesday); // Tuesday the 1st of December, until 01:00 on the 2nd
        Assert.Equal(["2026-12-01T22:00 180"], Lines(site, "2026-12-01T21:00", 1));
        Assert.Equal(["2026-12-01T22:00 180"], Lines(site, "2026-12-02T00:59", 1));
        Assert.Equal(["2026-12-08T22:00 180"], Lines(site, "2026-12-02T01:00", 1));
    }

    [Fact]
    public void A_window_of_a_month_is_found_on_its_last_day()
    {
        Site site = new() { Name = "quay", Zone = "Pacific/Auckland", ExtraWindows = [new ExtraWindow { Opens = "2026-12-01T00:00", Length = TimeSpan.FromDays(31) }] };
        Assert.Equal(["2026-11-30T11:00 44640"], Lines(site, "2026-12-31T10:59", 2));
        Assert.Empty(Lines(site, "2026-12-31T11:00", 2));
    }

    [Theory]
    [InlineData("2026-12-02", "2026-12-02", false)] // Wednesday: the window closes as the day begins, and the moment of the close is not its own
    [InlineData("2026-12-01", "2026-12-01", true)]
    [InlineData("2026-11-20", "2026-11-30", false)]
    [InlineData("2026-11-20", "2026-12-01", true)] // the last day belongs to the freeze
    [InlineData("0001-01-01", "9999-12-31", true)]
    public void A_freeze_drops_the_windows_that_it_touches(string from, string until, bool dropped)
    {
        // 22:00 to 24:00 local, in a zone where UTC is another day.
        Site site = Weekly("Pacific/Auckland", "22:00", "02:00", DayOfWeek.Tuesday) with { Freezes = [new Freeze { From = from, Until = until }] };
        Assert.Equal(!dropped, Lines(site, "2026-12-01", 1).Contains("2026-12-01T09:00 120"));
    }

    [Fact]
    public void A_freeze_drops_a_window_that_runs_into_it_whole()
    {
        Site site = Weekly("UTC", "22:00", "03:00", DayOfWeek.Tuesday) with { Freezes = [new Freeze { From = "2026-12-02", Until = "2026-12-02" }] };
        Assert.Equal(["2026-12-08T22:00 180"], Lines(site, "2026-12-01", 1));
    }

    [Fact]
    public void An_extra_window_stands_inside_a_freeze_and_says_so()
    {
        Site site = Weekly("UTC", "22:00", "03:00", DayOfWeek.Tuesday) with
        {
            ExtraWindows = [new ExtraWindow { Opens = "2026-12-01T22:00", Length = TimeSpan.FromHours(3) }, new ExtraWindow { Opens = "2026-12-05T20:00", Length = TimeSpan.FromHours(1), Attended = true }],
            Freezes = [new Freeze { From = "2026-12-01", Until = "2026-12-03" }],
        };
        Assert.Equal(["2026-12-01T22:00 180 frozen", "2026-12-05T20:00 60 attended", "2026-12-08T22:00 180"], Lines(site, "2026-12-01", 3));
    }

    [Fact]
    public void The_same_window_from_two_rules_counts_once_and_overlapping_ones_stay_two()
    {
        WindowRule rule = new() { Days = [DayOfWeek.Tuesday, DayOfWeek.Thursday], Opens = "22:00", Length = TimeSpan.FromHours(3) };
        Site site = new()
        {
            Name = "quay",
            Zone = "UTC",
            Windows = [rule, rule with { Days = [DayOfWeek.Thursday], Attended = true }, rule with { Days = [DayOfWeek.Tuesday], Length = TimeSpan.FromHours(4) }],
        };
        Assert.Equal(["2026-12-01T22:00 180", "2026-12-01T22:00 240", "2026-12-03T22:00 180 attended", "2026-12-08T22:00 180"], Lines(site, "2026-12-01", 4));
    }

    [Fact]
    public void A_site_without_windows_has_none() => Assert.Empty(new WindowCalendar(new Site { Name = "quay", Zone = "UTC" }).Next(Utc("2026-12-01"), 5));

    [Theory]
    [InlineData("0001-01-01")]
    [InlineData("9999-12-31")]
    public void The_ends_of_the_calendar_throw_nothing(string from) =>
        Assert.True(new WindowCalendar(Weekly("Pacific/Auckland", "22:00", "02:00", DayOfWeek.Tuesday) with { ExtraWindows = [new ExtraWindow { Opens = "9999-12-31T23:59", Length = TimeSpan.FromDays(31) }] }).Next(Utc(from), 3).Count <= 3);

    [Theory]
    [InlineData("Europe/Berlyn", "No time zone is called 'Europe/Berlyn'; the nearest is 'Europe/Berlin'.")]
    [InlineData("europe/lisbon", "No time zone is called 'europe/lisbon'; the nearest is 'Europe/Lisbon'.")]
    [InlineData("W. Europe Standart Time", "No time zone is called 'W. Europe Standart Time'; the nearest is 'W. Europe Standard Time'.")]
    public void A_zone_that_does_not_exist_is_told_with_the_nearest(string zone, string sentence)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => new WindowCalendar(new Site { Name = "quay", Zone = zone })).Problem;
        Assert.Equal((ProblemId.ZoneUnknown, sentence, "Write an IANA id such as Europe/Berlin, or a Windows id.", "quay"), (problem.Id, problem.Sentence, problem.Advice, problem.Target));
    }

    private static Site Weekly(string zone, string opens, string length, params DayOfWeek[] days) => new()
    {
        Name = "quay",
        Zone = zone,
        Windows = [new WindowRule { Days = days, Opens = opens, Length = TimeSpan.Parse(length, CultureInfo.InvariantCulture) }],
    };

    // Opening in UTC, minutes, and what is special.
    private static string[] Lines(Site site, string from, int count) =>
        [.. new WindowCalendar(site).Next(Utc(from), count).Select(window => string.Create(
            CultureInfo.InvariantCulture,
            $"{window.OpensUtc:yyyy-MM-dd'T'HH:mm} {(window.ClosesUtc - window.OpensUtc).TotalMinutes}{(window.Attended ? " attended" : "")}{(window.InsideFreeze ? " frozen" : "")}"))];

    private static DateTime Utc(string text) => DateTime.Parse(text, CultureInfo.InvariantCulture, DateTimeStyles.AdjustToUniversal | DateTimeStyles.AssumeUniversal);
}
