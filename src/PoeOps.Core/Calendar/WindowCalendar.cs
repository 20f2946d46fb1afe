using NodaTime;
using NodaTime.Text;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>Works out the windows of a site: local openings of the estate become instants. The only place that knows time zones.</summary>
public sealed class WindowCalendar
{
    // Ten years and some: what opens later is not looked for.
    private const int MostDays = 3660;

    // A window that began this long ago may still be open: 31 days, and one more for a close within the day and for a zone that skips a date.
    private const int LongestDays = 33;

    // Openings so many local days apart open in that order: offsets differ by a day at the most, where a zone changes sides of the date line.
    private static readonly TimeSpan InOrder = TimeSpan.FromDays(3);

    private static readonly TimeSpan OneDay = TimeSpan.FromDays(1);
    private static readonly LocalTimePattern TimeOfDay = LocalTimePattern.CreateWithInvariantCulture("HH:mm");
    private static readonly LocalDateTimePattern Local = LocalDateTimePattern.CreateWithInvariantCulture("yyyy-MM-dd'T'HH:mm");

    // Local dates outside these have instants that no DateTime holds.
    private static readonly LocalDate FirstDay = new(1, 1, 3);
    private static readonly LocalDate LastDay = new(9999, 11, 28);

    private readonly Site _site;
    private readonly DateTimeZone _zone;
    private readonly LocalTimeChoice _choice;
    private readonly FrozenDays _freezes;
    private readonly (OpeningDays Days, LocalTime Opens, WindowRule Rule)[] _rules;
    private readonly (LocalDateTime Opens, ExtraWindow Extra)[] _extras;

    /// <summary>Makes the calendar of a site.</summary>
    /// <param name="site">The site.</param>
    /// <param name="choice">What a local time means that comes twice; what the site says (<see cref="Site.LocalTime"/>) where null.</param>
    /// <exception cref="PoeOpsException">The site's zone does not exist (<see cref="ProblemId.ZoneUnknown"/>).</exception>
    public WindowCalendar(Site site, LocalTimeChoice? choice = null)
    {
        _site = site;
        _choice = choice ?? site.LocalTime;
        _freezes = new FrozenDays(site.Freezes);
        _rules = [.. site.Windows.Select(rule => (new OpeningDays(rule), TimeOfDay.Parse(rule.Opens).Value, rule))];
        _extras = [.. site.ExtraWindows.Select(extra => (Local.Parse(extra.Opens).Value, extra))];
        _zone = Zones.Find(site.Zone) ?? throw new PoeOpsException(Zones.Check(site.Zone)! with { Target = site.Name });
    }

    /// <summary>The windows that are open at a time or open after it.</summary>
    /// <param name="fromUtc">The time, UTC.</param>
    /// <param name="count">How many at the most.</param>
    /// <returns>
    /// In order of opening, then of close; fewer where the site has no more within ten years (3660 days). A window that is open already is given whole. An
    /// extra window inside a freeze is among them and says so. The same window from two rules counts once; it is attended where either rule says so.
    /// </returns>
    public IReadOnlyList<Window> Next(DateTime fromUtc, int count)
    {
        (LocalDate first, LocalDate last) = Horizon(fromUtc);
        WindowSet windows = new();
        Func<Window, bool> isWanted = window => !window.Frozen && window.ClosesUtc > fromUtc;
        DateTime end = last.ToDateTimeUnspecified();
        for (DateTime day = first.ToDateTimeUnspecified(); day <= end; day += OneDay)
        {
            if (!_freezes.Cover(day))
            {
                Open(day, windows, isWanted);
            }

            if (windows.Count >= count && end - day > InOrder)
            {
                end = day + InOrder;
            }
        }

        AddExtras(first, last, windows, isWanted);
        return windows.First(count);
    }

    /// <summary>The openings that a freeze drops.</summary>
    /// <param name="fromUtc">Those that would be open at this time or open after it, UTC.</param>
    /// <param name="untilUtc">Those that would open at this time or before it, UTC; none later than <see cref="Next"/> looks.</param>
    /// <returns>In order of opening, then of close, each <see cref="Window.Frozen"/>. One in whose place a single extra window stands is not among them.</returns>
    public IReadOnlyList<Window> Dropped(DateTime fromUtc, DateTime untilUtc)
    {
        (LocalDate first, LocalDate last) = Horizon(fromUtc);
        WindowSet windows = new();
        Func<Window, bool> isWanted = window => window.Frozen && window.ClosesUtc > fromUtc && window.OpensUtc <= untilUtc;
        DateTime end = last.ToDateTimeUnspecified();
        DateTime enough = untilUtc < end - InOrder ? untilUtc + InOrder : end;
        for (DateTime day = first.ToDateTimeUnspecified(); day <= enough; day += OneDay)
        {
            Open(day, windows, isWanted);
        }

        WindowSet extras = new();
        AddExtras(first, last, extras, _ => true);
        return windows.Without(extras);
    }

    // What the rules open on a local day, whether a freeze drops it or not.
    private void Open(DateTime day, WindowSet windows, Func<Window, bool> isWanted)
    {
        foreach ((OpeningDays days, LocalTime opens, WindowRule rule) in _rules)
        {
            if (days.Has(day))
            {
                windows.Add(Make(LocalDate.FromDateTime(day) + opens, rule.Length, rule.Attended, isExtra: false), isWanted);
            }
        }
    }

    private void AddExtras(LocalDate first, LocalDate last, WindowSet windows, Func<Window, bool> isWanted)
    {
        foreach ((LocalDateTime opens, ExtraWindow extra) in _extras.Where(one => one.Opens.Date >= first && one.Opens.Date <= last))
        {
            windows.Add(Make(opens, extra.Length, extra.Attended, isExtra: true), isWanted);
        }
    }

    private (LocalDate First, LocalDate Last) Horizon(DateTime fromUtc)
    {
        LocalDate today = Instant.FromDateTimeUtc(fromUtc).InZone(_zone).Date;
        LocalDate last = today > LastDay.PlusDays(-MostDays) ? LastDay : today.PlusDays(MostDays);
        return (LocalDate.Max(FirstDay, today.PlusDays(-LongestDays)), last);
    }

    private Window Make(LocalDateTime written, TimeSpan length, bool attended, bool isExtra)
    {
        (Instant start, LocalTimeReading reading) = LocalOpening.Of(written, _zone, _choice);
        Instant end = start + Duration.FromTimeSpan(length);
        LocalDateTime opens = start.InZone(_zone).LocalDateTime;
        string? freeze = _freezes.Touching(opens, (end - Duration.Epsilon).InZone(_zone).LocalDateTime);
        return new Window
        {
            Site = _site.Name,
            Zone = _site.Zone,
            OpensUtc = start.ToDateTimeUtc(),
            ClosesUtc = end.ToDateTimeUtc(),
            OpensLocal = opens.ToDateTimeUnspecified(),
            ClosesLocal = end.InZone(_zone).ToDateTimeUnspecified(),
            WrittenLocal = written.ToDateTimeUnspecified(),
            LocalTime = reading,
            Attended = attended,
            Freeze = freeze,
            Frozen = freeze is not null && !isExtra,
            InsideFreeze = freeze is not null && isExtra,
        };
    }
}
