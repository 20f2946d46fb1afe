using PoeOps.Calendar;
using PoeOps.Estate;
using static PoeOps.Core.Tests.Calendar.CalendarText;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>Rules by the month and by a count of weeks, read off the calendars of 2026 and 2027 (1 December 2026 is a Tuesday, 1 January 2027 a Friday).</summary>
public sealed class WindowRuleTests
{
    private static readonly WindowRule Friday = Rule("22:00", 3, DayOfWeek.Friday);

    [Fact]
    public void The_first_and_third_Friday_are_those_of_the_calendar() =>
        Assert.Equal(
            ["2026-12-04T22:00", "2026-12-18T22:00", "2027-01-01T22:00", "2027-01-15T22:00", "2027-02-05T22:00"],
            Openings(Site("UTC", Friday with { Weeks = [1, 3] }), "2026-12-01", 5));

    [Fact]
    public void The_last_Friday_is_the_fifth_where_there_is_one_and_the_fourth_where_not() =>
        Assert.Equal(
            ["2026-12-25T22:00", "2027-01-29T22:00", "2027-02-26T22:00", "2027-03-26T22:00", "2027-04-30T22:00"],
            Openings(Site("UTC", Friday with { Weeks = [-1] }), "2026-12-01", 5));

    [Fact]
    public void A_month_without_a_fifth_Friday_opens_none_then() =>
        Assert.Equal(["2027-01-29T22:00", "2027-04-30T22:00", "2027-07-30T22:00", "2027-10-29T22:00", "2027-12-31T22:00"], Openings(Site("UTC", Friday with { Weeks = [5] }), "2026-12-01", 5));

    [Fact]
    public void The_fourth_and_the_last_are_one_window_where_they_are_one_day() =>
        Assert.Equal(["2026-12-25T22:00", "2027-01-22T22:00", "2027-01-29T22:00", "2027-02-26T22:00"], Openings(Site("UTC", Friday with { Weeks = [4, -1] }), "2026-12-01", 4));

    [Fact]
    public void Each_day_is_counted_by_itself()
    {
        // June 2027 begins on a Tuesday: its first Monday is the 7th, after its first Tuesday.
        WindowRule rule = Rule("22:00", 1, DayOfWeek.Monday, DayOfWeek.Tuesday) with { Weeks = [1] };
        Assert.Equal(["2027-06-01T22:00", "2027-06-07T22:00", "2027-07-05T22:00", "2027-07-06T22:00"], Openings(Site("UTC", rule), "2027-06-01", 4));
    }

    [Theory]
    [InlineData("2028-02-01", "2028-02-29T22:00")] // a Tuesday in a leap year, and the fifth
    [InlineData("2026-02-01", "2026-02-24T22:00")]
    public void The_end_of_February_is_the_years(string from, string opens) =>
        Assert.Equal([opens], Openings(Site("UTC", Rule("22:00", 1, DayOfWeek.Tuesday) with { Weeks = [-1] }), from, 1));

    [Theory]
    [InlineData("2026-12-04", "2026-12-18", "2026-12-04T22:00 2026-12-11T22:00 2026-12-18T22:00")] // both days belong to it
    [InlineData("2026-12-05", "2026-12-17", "2026-12-11T22:00")]
    [InlineData(null, "2026-12-04", "2026-12-04T22:00")]
    [InlineData("2027-01-30", null, "2027-02-05T22:00 2027-02-12T22:00 2027-02-19T22:00")]
    [InlineData("2026-12-11", "2026-12-11", "2026-12-11T22:00")]
    public void A_rule_holds_from_its_first_day_until_its_last(string? from, string? until, string opens) =>
        Assert.Equal(opens, string.Join(" ", Openings(Site("UTC", Friday with { From = from, Until = until }), "2026-12-01", 3)));

    [Fact]
    public void The_last_day_is_the_sites_own()
    {
        // 22:00 on the 4th in Honolulu (UTC-10, IANA TZDB) is the 5th in UTC.
        Assert.Equal(["2026-12-05T08:00"], Openings(Site("Pacific/Honolulu", Friday with { Until = "2026-12-04" }), "2026-12-01", 3));
    }

    [Fact]
    public void Every_second_week_is_counted_from_the_week_of_its_first_day()
    {
        // Wednesday the 2nd is in the week that begins on Monday, 30 November: its Friday counts, and the Monday of that week is past.
        WindowRule rule = Rule("22:00", 1, DayOfWeek.Monday, DayOfWeek.Friday, DayOfWeek.Sunday) with { EveryWeeks = 2, From = "2026-12-02" };
        Assert.Equal(
            ["2026-12-04T22:00", "2026-12-06T22:00", "2026-12-14T22:00", "2026-12-18T22:00", "2026-12-20T22:00", "2026-12-28T22:00", "2027-01-01T22:00"], Openings(Site("UTC", rule), "2026-11-01", 7));
        Assert.Equal(["2027-01-01T22:00"], Openings(Site("UTC", rule), "2026-12-30", 1));
    }

    [Fact]
    public void A_day_is_24_hours_that_go_by()
    {
        // Clocks went forward in Berlin on 26 March 2023 at 02:00, the last Sunday (rule EU of IANA TZDB).
        Window window = new WindowCalendar(Site("Europe/Berlin", Rule("22:00", 24, DayOfWeek.Saturday))).Next(Utc("2023-03-25"), 1)[0];
        Assert.Equal(("2023-03-25T22:00", "2023-03-26T23:00", TimeSpan.FromHours(24)), (Minute(window.OpensLocal), Minute(window.ClosesLocal), window.Length));
    }

    [Fact]
    public void A_window_longer_than_the_pace_of_its_rule_overlaps_the_next()
    {
        IReadOnlyList<Window> windows = new WindowCalendar(Site("UTC", Rule("22:00", 240, DayOfWeek.Friday))).Next(Utc("2026-12-16"), 3);
        Assert.Equal(["2026-12-11T22:00", "2026-12-18T22:00", "2026-12-25T22:00"], windows.Select(window => Minute(window.OpensUtc)));
        Assert.True(windows[0].ClosesUtc > windows[1].OpensUtc);
    }

    [Fact]
    public void The_same_window_from_a_week_and_a_month_counts_once_and_is_attended_where_either_says_so() =>
        Assert.Equal(
            ["2026-12-04T22:00 True", "2026-12-11T22:00 False"],
            new WindowCalendar(Site("UTC", Friday, Friday with { Weeks = [1], Attended = true })).Next(Utc("2026-12-01"), 2).Select(window => $"{Minute(window.OpensUtc)} {window.Attended}"));

    [Fact]
    public void Windows_of_ten_years_are_found_and_none_after_them()
    {
        string[] all = Openings(Site("UTC", Friday with { Weeks = [-1] }), "2026-12-01", 500);
        Assert.Equal((120, "2026-12-25T22:00", "2036-11-28T22:00"), (all.Length, all[0], all[^1]));
        Assert.Empty(Openings(Site("UTC", Friday with { From = "2037-01-01" }), "2026-12-01", 5));
    }

    [Fact]
    public void An_extra_window_far_away_does_not_hide_windows_before_it()
    {
        Site site = Site("UTC", Friday with { Weeks = [1] }) with { ExtraWindows = [.. Enumerable.Range(1, 9).Select(day => new ExtraWindow { Opens = $"2030-01-0{day}T22:00", Length = TimeSpan.FromHours(1) })] };
        Assert.Equal(["2026-12-04T22:00", "2027-01-01T22:00", "2027-02-05T22:00"], Openings(site, "2026-12-01", 3));
    }
}
