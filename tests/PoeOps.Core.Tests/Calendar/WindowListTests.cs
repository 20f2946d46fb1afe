using PoeOps.Calendar;
using PoeOps.Estate;
using static PoeOps.Core.Tests.Calendar.CalendarText;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>Windows of several sites. 1 December 2026 is a Tuesday.</summary>
public sealed class WindowListTests
{
    private static readonly Site Quay = Site("UTC", Rule("22:00", 3, DayOfWeek.Tuesday, DayOfWeek.Thursday));
    private static readonly Site Hall = Site("Asia/Kolkata", Rule("22:30", 5, DayOfWeek.Tuesday)) with { Name = "hall" }; // UTC+5:30
    private static readonly Freeze Sailings = new() { From = "2026-12-10", Until = "2026-12-16", Because = "holiday sailings" };

    [Fact]
    public void Windows_of_all_sites_come_in_order_of_opening_and_are_counted_together() =>
        Assert.Equal(
            ["hall 2026-12-01T17:00", "quay 2026-12-01T22:00", "quay 2026-12-03T22:00", "hall 2026-12-08T17:00"],
            Lines(WindowList.Of([Quay, Hall], Utc("2026-12-01"), 4).Windows));

    [Fact]
    public void Windows_at_one_moment_come_by_their_close_and_the_names_of_their_sites() =>
        Assert.Equal(
            ["quay 2026-12-01T22:00", "quay-2 2026-12-01T22:00", "quay-10 2026-12-01T22:00", "hall 2026-12-01T22:00"],
            Lines(WindowList.Of([Quay with { Name = "quay-10" }, Site("UTC", Rule("22:00", 4, DayOfWeek.Tuesday)) with { Name = "hall" }, Quay with { Name = "quay-2" }, Quay], Utc("2026-12-01"), 4).Windows));

    [Fact]
    public void Openings_that_a_freeze_drops_are_known_up_to_the_last_window()
    {
        WindowList list = WindowList.Of([Quay with { Freezes = [Sailings, Sailings with { From = "2027-06-01", Until = "2027-06-30" }] }], Utc("2026-12-01"), 4);
        Assert.Equal(["quay 2026-12-01T22:00", "quay 2026-12-03T22:00", "quay 2026-12-08T22:00", "quay 2026-12-17T22:00"], Lines(list.Windows));
        Assert.Equal(["quay 2026-12-10T22:00", "quay 2026-12-15T22:00"], Lines(list.Dropped));
        Assert.Equal((true, false, "2026-12-10 until 2026-12-16 (holiday sailings)", "Frozen 2026-12-10 until 2026-12-16 (holiday sailings)."), (list.Dropped[0].Frozen, list.Dropped[0].InsideFreeze, list.Dropped[0].Freeze, list.Dropped[0].Note));
        Assert.Equal([false, false, false, true, true, false], list.All.Select(window => window.Frozen));
    }

    [Fact]
    public void A_site_that_is_frozen_for_good_says_what_was_dropped_for_a_year()
    {
        WindowList list = WindowList.Of([Hall with { Freezes = [Sailings with { Until = "9999-12-31", Because = "" }] }], Utc("2026-12-09"), 5);
        Assert.Empty(list.Windows);
        Assert.Equal((52, "hall 2026-12-15T17:00", "hall 2027-12-07T17:00"), (list.Dropped.Count, Lines(list.Dropped)[0], Lines(list.Dropped)[^1]));
        Assert.Equal("Frozen 2026-12-10 until 9999-12-31.", list.Dropped[0].Note);
        Assert.Equal(["hall"], list.Without);
    }

    [Fact]
    public void A_single_window_inside_a_freeze_says_so_and_takes_the_place_of_what_was_dropped()
    {
        Site site = Quay with { Freezes = [Sailings], ExtraWindows = [new ExtraWindow { Opens = "2026-12-10T22:00", Length = TimeSpan.FromHours(3) }, new ExtraWindow { Opens = "2026-12-12T22:00", Length = TimeSpan.FromHours(1) }] };
        WindowList list = WindowList.Of([site], Utc("2026-12-09T12:00"), 3);
        Assert.Equal(
            ["2026-12-10T22:00 Inside the freeze 2026-12-10 until 2026-12-16 (holiday sailings).", "2026-12-12T22:00 Inside the freeze 2026-12-10 until 2026-12-16 (holiday sailings).", "2026-12-17T22:00 "],
            list.Windows.Select(window => $"{Minute(window.OpensUtc)} {window.Note}"));
        Assert.Equal(["quay 2026-12-15T22:00"], Lines(list.Dropped));
    }

    [Fact]
    public void A_site_in_no_zone_is_told_and_the_others_are_listed()
    {
        WindowList list = WindowList.Of([Quay with { Name = "islet", Zone = "Europe/Lisbn" }, Quay], Utc("2026-12-01"), 1);
        Assert.Equal(["quay 2026-12-01T22:00"], Lines(list.Windows));
        Problem problem = Assert.Single(list.Problems);
        Assert.Equal((ProblemId.ZoneUnknown, "islet: No time zone is called 'Europe/Lisbn'; the nearest is 'Europe/Lisbon'. Write an IANA id such as Europe/Berlin, or a Windows id."), (problem.Id, problem.ToString()));
        Assert.Empty(list.Without);
    }

    [Fact]
    public void A_site_that_the_estate_has_not_is_told_with_the_nearest()
    {
        Problem problem = WindowList.NoSite(new EstateMap { Name = "Lagoon", Sites = [Quay, Hall] }, "quai");
        Assert.Equal(
            (ProblemId.NotInEstate, "The estate 'Lagoon' has no site 'quai'; the nearest is 'quay'. Name sites as the estate file does; case makes no difference."),
            (problem.Id, problem.ToString()));
    }

    [Fact]
    public void Sites_without_windows_are_named_in_natural_order() =>
        Assert.Equal(["quay-2", "quay-10"], WindowList.Of([Site("UTC") with { Name = "quay-10" }, Hall, Site("UTC") with { Name = "quay-2" }], Utc("2026-12-01"), 2).Without);

    [Theory]
    [InlineData("0001-01-01")]
    [InlineData("9999-12-31")]
    public void The_ends_of_the_calendar_throw_nothing(string from)
    {
        WindowList list = WindowList.Of([Quay with { Freezes = [Sailings with { From = "0001-01-01", Until = "9999-12-31" }] }, Hall with { Zone = "America/Adak" }], Utc(from), 3);
        Assert.True(list.Windows.Count <= 3);
        Assert.NotEmpty(list.Dropped.Concat(list.Windows).Concat(from[0] == '9' ? [new Window()] : []));
    }

    [Fact]
    public void What_a_freeze_says_is_shown_plain() =>
        Assert.Equal("2026-12-10 until 2026-12-16 (a\\u001bb)", WindowList.Of([Quay with { Freezes = [Sailings with { Because = "a\u001bb" }] }], Utc("2026-12-01"), 9).Dropped[0].Freeze);

    private static string[] Lines(IEnumerable<Window> windows) => [.. windows.Select(window => $"{window.Site} {Minute(window.OpensUtc)}")];
}
