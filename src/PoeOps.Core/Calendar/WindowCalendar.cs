using NodaTime;
using NodaTime.Extensions;
using NodaTime.Text;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>Works out the windows of a site: local openings of the estate become instants. The only place that knows time zones.</summary>
public sealed class WindowCalendar
{
    // Two years and some: what opens later is not looked for.
    private const int MostDays = 800;

    // A window that began this long ago may still be open.
    private const int LongestDays = 31;

    private static readonly LocalTimePattern TimeOfDay = LocalTimePattern.CreateWithInvariantCulture("HH:mm");
    private static readonly LocalDateTimePattern Local = LocalDateTimePattern.CreateWithInvariantCulture("yyyy-MM-dd'T'HH:mm");
    private static readonly LocalDatePattern Day = LocalDatePattern.CreateWithInvariantCulture("yyyy-MM-dd");

    // Local dates outside these have instants that no DateTime holds.
    private static readonly LocalDate FirstDay = new(1, 1, 3);
    private static readonly LocalDate LastDay = new(9999, 11, 28);

    private readonly Site _site;
    private readonly DateTimeZone _zone;
    private readonly LocalTimeChoice _choice;
    private readonly IReadOnlyList<(LocalDate From, LocalDate Until)> _freezes;

    /// <summary>Makes the calendar of a site.</summary>
    /// <param name="site">The site.</param>
    /// <param name="choice">What a local time means that comes twice.</param>
    /// <exception cref="PoeOpsException">The site's zone does not exist (<see cref="ProblemId.ZoneUnknown"/>).</exception>
    public WindowCalendar(Site site, LocalTimeChoice choice = LocalTimeChoice.First)
    {
        _site = site;
        _choice = choice;
        _freezes = [.. site.Freezes.Select(freeze => (Day.Parse(freeze.From).Value, Day.Parse(freeze.Until).Value))];
        _zone = Zones.Find(site.Zone) ?? throw new PoeOpsException(Zones.Check(site.Zone)! with { Target = site.Name });
    }

    /// <summary>The windows that are open at a time or open after it.</summary>
    /// <param name="fromUtc">The time, UTC.</param>
    /// <param name="count">How many at the most.</param>
    /// <returns>
    /// In order of opening, then of close; fewer where the site has no more within 800 days. A window that is open already is given whole. An extra
    /// window inside a freeze is among them and says so.
    /// </returns>
    public IReadOnlyList<Window> Next(DateTime fromUtc, int count)
    {
        (LocalDate first, LocalDate last) = Horizon(fromUtc);
        IEnumerable<Window> windows = Recurring(first, last).Concat(Extra(first, last))
            .Where(window => window.ClosesUtc > fromUtc)
            .GroupBy(window => (window.OpensUtc, window.ClosesUtc)).Select(Merge);
        return [.. windows.OrderBy(window => window.OpensUtc).ThenBy(window => window.ClosesUtc).Take(count)];
    }

    // The same window from two rules counts once; it is attended where either rule says so.
    private static Window Merge(IEnumerable<Window> same)
    {
        List<Window> all = [.. same];
        return all[0] with { Attended = all.Any(window => window.Attended) };
    }

    private IEnumerable<Window> Recurring(LocalDate first, LocalDate last)
    {
        for (LocalDate date = first; date <= last; date = date.PlusDays(1))
        {
            foreach (WindowRule rule in _site.Windows.Where(rule => rule.Days.Contains(date.DayOfWeek.ToDayOfWeek())))
            {
                Window window = Make(date + TimeOfDay.Parse(rule.Opens).Value, rule.Length, rule.Attended);
                if (!window.InsideFreeze)
                {
                    yield return window;
                }
            }
        }
    }

    private IEnumerable<Window> Extra(LocalDate first, LocalDate last) =>
        from extra in _site.ExtraWindows
        let opens = Local.Parse(extra.Opens).Value
        where opens.Date >= first && opens.Date <= last
        select Make(opens, extra.Length, extra.Attended);

    private (LocalDate First, LocalDate Last) Horizon(DateTime fromUtc)
    {
        LocalDate today = Instant.FromDateTimeUtc(fromUtc).InZone(_zone).Date;
        LocalDate last = today > LastDay.PlusDays(-MostDays) ? LastDay : today.PlusDays(MostDays);
        return (LocalDate.Max(FirstDay, today.PlusDays(-LongestDays - 1)), last);
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
            InsideFreeze = IsFrozen(start, end),
        };
    }

    // A freeze that touches a window drops the whole of it. The last day belongs to the freeze; the moment of the close does not belong to the window.
    private bool IsFrozen(Instant start, Instant end)
    {
        LocalDate first = start.InZone(_zone).Date;
        LocalDate last = (end - Duration.Epsilon).InZone(_zone).Date;
        return _freezes.Any(freeze => first <= freeze.Until && last >= freeze.From);
    }
}
