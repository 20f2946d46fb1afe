using System.Globalization;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using PoeOps.Calendar;
using PoeOps.Estate;
using static PoeOps.Core.Tests.Calendar.CalendarText;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>
/// Ten years of openings beside those of Ical.Net 5.2.4, which reads recurrence rules of RFC 5545 (section 3.8.5.3) by code of its own; the zones' data
/// are NodaTime's in both, so that <see cref="LocalTimeTests"/> holds the instants against another source. Only its starts are taken: in the hour that comes
/// twice its ends are wrong (a window of 1 h at 02:30 ends as it begins, one of 3 h at 00:30 after 2 h), so that a close is start and exact length here;
/// and rules by the hour, which never return there, are not used. It knows the first of two times alone.
/// </summary>
public sealed class RecurrenceReferenceTests
{
    private const string From = "2016-01-01";
    private static readonly DateTime Begin = Utc(From);
    private static readonly DateTime End = Begin.AddDays(3650);
    private static readonly TimeSpan Length = TimeSpan.FromMinutes(75);

    private static readonly (string Rule, WindowRule Ours)[] Rules =
    [
        ("FREQ=WEEKLY;BYDAY=SU", Rule("", 1, DayOfWeek.Sunday)),
        ("FREQ=WEEKLY;BYDAY=MO,TU,FR,SA", Rule("", 1, DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Friday, DayOfWeek.Saturday)),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=SU,MO", Rule("", 1, DayOfWeek.Sunday, DayOfWeek.Monday) with { EveryWeeks = 2 }),
        ("FREQ=WEEKLY;INTERVAL=5;BYDAY=FR", Rule("", 1, DayOfWeek.Friday) with { EveryWeeks = 5 }),
        ("FREQ=MONTHLY;BYDAY=1SU,3SU", Rule("", 1, DayOfWeek.Sunday) with { Weeks = [1, 3] }),
        ("FREQ=MONTHLY;BYDAY=2SU,2TH,4SU,4TH", Rule("", 1, DayOfWeek.Sunday, DayOfWeek.Thursday) with { Weeks = [2, 4] }),
        ("FREQ=MONTHLY;BYDAY=5SA", Rule("", 1, DayOfWeek.Saturday) with { Weeks = [5] }),
        ("FREQ=MONTHLY;BYDAY=-1SU", Rule("", 1, DayOfWeek.Sunday) with { Weeks = [-1] }),
        ("FREQ=MONTHLY;BYDAY=-1SU,1SU", Rule("", 1, DayOfWeek.Sunday) with { Weeks = [1, -1] }),
    ];

    [Theory]
    [InlineData("Africa/Cairo")]
    [InlineData("Africa/Casablanca")]
    [InlineData("America/Asuncion")]
    [InlineData("America/Caracas")]
    [InlineData("America/Havana")]
    [InlineData("America/New_York")]
    [InlineData("America/Santiago")]
    [InlineData("America/Sao_Paulo")]
    [InlineData("America/St_Johns")]
    [InlineData("Asia/Amman")]
    [InlineData("Asia/Beirut")]
    [InlineData("Asia/Kathmandu")]
    [InlineData("Asia/Tehran")]
    [InlineData("Atlantic/Azores")]
    [InlineData("Australia/Adelaide")]
    [InlineData("Australia/Lord_Howe")]
    [InlineData("Europe/Berlin")]
    [InlineData("Europe/Istanbul")]
    [InlineData("Europe/London")]
    [InlineData("Pacific/Apia")]
    [InlineData("Pacific/Auckland")]
    [InlineData("Pacific/Chatham")]
    public void Ten_years_of_openings_are_those_of_the_reference(string zone)
    {
        foreach ((string rule, WindowRule ours) in Rules)
        {
            foreach (string opens in (string[])["00:00", "02:30", "22:45"])
            {
                WindowRule whole = ours with { Opens = opens, Length = Length, From = From, Until = "2025-06-29" };
                Assert.Equal((rule, opens, Reference(zone, rule, opens, whole.Until, [])), (rule, opens, Ours(Site(zone, whole))));
            }
        }
    }

    [Theory]
    [InlineData("America/Sao_Paulo")]
    [InlineData("Asia/Kathmandu")]
    [InlineData("Europe/Lisbon")]
    [InlineData("Pacific/Auckland")]
    public void Freezes_are_exception_dates(string zone)
    {
        // The windows end on the day on which they begin, so that a freeze touches those that begin on its days.
        Freeze[] freezes = [.. Enumerable.Range(2016, 9).SelectMany(year => (Freeze[])[Days(year, "-12-18", year + 1, "-01-06"), Days(year, "-02-10", year, "-02-20"), Days(year, "-10-25", year, "-11-05")])];
        foreach ((string rule, WindowRule ours) in Rules)
        {
            WindowRule whole = ours with { Opens = "20:15", Length = Length, From = From };
            Assert.Equal((rule, Reference(zone, rule, "20:15", null, freezes)), (rule, Ours(Site(zone, whole) with { Freezes = freezes })));
        }
    }

    private static Freeze Days(int year, string from, int lastYear, string until) => new() { From = year.ToString(CultureInfo.InvariantCulture) + from, Until = lastYear.ToString(CultureInfo.InvariantCulture) + until };

    private static string Ours(Site site) =>
        string.Join(" ", new WindowCalendar(site).Next(Begin, 10_000).Where(window => window.OpensUtc < End).Select(window => $"{Minute(window.OpensUtc)}/{Minute(window.ClosesUtc)}"));

    private static string Reference(string zone, string rule, string opens, string? until, IEnumerable<Freeze> freezes)
    {
        var first = DateTime.ParseExact(From + opens, "yyyy-MM-ddHH:mm", CultureInfo.InvariantCulture);
        var series = new CalendarEvent { Start = new CalDateTime(first, zone), RecurrenceRule = new RecurrencePattern(rule) };
        if (until is not null)
        {
            // Its last second in UTC, as the RFC wants it of a start with a zone.
            DateTime lastSecond = DateTime.ParseExact(until, "yyyy-MM-dd", CultureInfo.InvariantCulture).AddDays(1).AddSeconds(-1);
            series.RecurrenceRule.Until = new CalDateTime(new CalDateTime(lastSecond, zone).AsUtc, "UTC");
        }

        foreach (Freeze freeze in freezes)
        {
            for (DateTime day = DateTime.Parse(freeze.From, CultureInfo.InvariantCulture); day <= DateTime.Parse(freeze.Until, CultureInfo.InvariantCulture); day = day.AddDays(1))
            {
                series.ExceptionDates.Add(new CalDateTime(day + first.TimeOfDay, zone));
            }
        }

        IEnumerable<DateTime> starts = series.GetOccurrences(new CalDateTime(Begin.AddDays(-40))).Select(one => one.Period.StartTime.AsUtc).TakeWhile(start => start < End);
        return string.Join(" ", starts.Where(start => start + Length > Begin).Distinct().Select(start => $"{Minute(start)}/{Minute(start + Length)}"));
    }
}
