using System.Globalization;
using NodaTime;
using NodaTime.Text;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>Works out the windows of a site. The only place that knows time zones.</summary>
public sealed class WindowCalendar
{
    // Rules come back every week, so a site whose next window is further away than this has none.
    private const int MostDays = 800;

    private readonly Site _site;
    private readonly DateTimeZone _zone;
    private readonly LocalTimeChoice _choice;

    /// <summary>Makes the calendar of a site.</summary>
    /// <param name="site">The site.</param>
    /// <param name="choice">What a local time means that comes twice.</param>
    /// <exception cref="PoeOpsException">The site's zone does not exist (<see cref="ProblemId.ZoneUnknown"/>).</exception>
    public WindowCalendar(Site site, LocalTimeChoice choice = LocalTimeChoice.First)
    {
        _site = site;
        _choice = choice;
        _zone = Zones.Find(site.Zone) ?? throw new PoeOpsException(Zones.Check(site.Zone)! with { Target = site.Name });
    }

    /// <summary>The windows that are open at a time or open after it.</summary>
    /// <param name="fromUtc">The time, UTC.</param>
    /// <param name="count">How many at the most.</param>
    /// <returns>In order of opening, then of close; fewer where the site has no more.</returns>
    public IReadOnlyList<Window> Next(DateTime fromUtc, int count)
    {
        Instant from = Instant.FromDateTimeUtc(fromUtc);
        LocalDate first = from.InZone(_zone).Date.PlusDays(-32);
        IEnumerable<Window> windows = Recurring(first).Concat(Extra())
            .Where(window => window.ClosesUtc > fromUtc)
            .GroupBy(window => (window.OpensUtc, window.ClosesUtc)).Select(Merge);
        return [.. windows.OrderBy(window => window.OpensUtc).ThenBy(window => window.ClosesUtc).Take(count)];
    }

    // The same window from two rules counts once; it is attended where either rule says so.
    private static Window Merge(IEnumerable<Window> same)
    {
        List<Window> all = [.. same];
        return all[0] with { Attended = all.Any(window => window.Attended), InsideFreeze = all.All(window => window.InsideFreeze) };
    }

    private IEnumerable<Window> Recurring(LocalDate first)
    {
        for (int day = 0; day < MostDays; day++)
        {
            LocalDate date = first.PlusDays(day);
            foreach (WindowRule rule in _site.Windows.Where(rule => rule.Days.Contains((DayOfWeek)((int)date.DayOfWeek % 7))))
            {
                LocalTime opens = LocalTimePattern.CreateWithInvariantCulture("HH:mm").Parse(rule.Opens).Value;
                Window window = Make(date + opens, rule.Length, rule.Attended);
                if (!IsFrozen(window))
                {
                    yield return window;
                }
            }
        }
    }

    private IEnumerable<Window> Extra()
    {
        LocalDateTimePattern pattern = LocalDateTimePattern.CreateWithInvariantCulture("yyyy-MM-dd'T'HH:mm");
        foreach (ExtraWindow extra in _site.ExtraWindows)
        {
            Window window = Make(pattern.Parse(extra.Opens).Value, extra.Length, extra.Attended);
            yield return window with { InsideFreeze = IsFrozen(window) };
        }
    }

    private Window Make(LocalDateTime opens, TimeSpan length, bool attended)
    {
        Instant start = _zone.At(opens, _choice);
        Instant end = start + Duration.FromTimeSpan(length);
        return new Window
        {
            Site = _site.Name,
            OpensUtc = start.ToDateTimeUtc(),
            ClosesUtc = end.ToDateTimeUtc(),
            OpensLocal = start.InZone(_zone).ToDateTimeUnspecified(),
            ClosesLocal = end.InZone(_zone).ToDateTimeUnspecified(),
            Attended = attended,
        };
    }

    // A freeze that touches a window drops the whole of it; the last day belongs to the freeze.
    private bool IsFrozen(Window window) => _site.Freezes.Any(freeze =>
    {
        DateTime from = _zone.AtStartOfDay(Day(freeze.From)).ToInstant().ToDateTimeUtc();
        DateTime until = _zone.AtStartOfDay(Day(freeze.Until).PlusDays(1)).ToInstant().ToDateTimeUtc();
        return window.OpensUtc < until && from < window.ClosesUtc;
    });

    private static LocalDate Day(string text) => LocalDate.FromDateTime(DateTime.ParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture));
}
