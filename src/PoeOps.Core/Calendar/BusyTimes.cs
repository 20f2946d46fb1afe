using NodaTime;
using NodaTime.Text;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>A time in which a minute out of service counts otherwise than once.</summary>
/// <param name="FromUtc">When it begins, UTC.</param>
/// <param name="UntilUtc">When it is over, UTC.</param>
/// <param name="Weight">How often a minute of it counts.</param>
public sealed record BusyTime(DateTime FromUtc, DateTime UntilUtc, double Weight);

/// <summary>The busy hours of a site as instants.</summary>
public static class BusyTimes
{
    private static readonly LocalTimePattern TimeOfDay = LocalTimePattern.CreateWithInvariantCulture("HH:mm");

    /// <summary>The busy times of a site between two moments, in order and never overlapping: where several of its busy hours hold at once, their weights multiply.</summary>
    /// <param name="site">The site, whose zone exists.</param>
    /// <param name="fromUtc">The first moment, UTC.</param>
    /// <param name="untilUtc">The last, UTC.</param>
    public static IReadOnlyList<BusyTime> Of(Site site, DateTime fromUtc, DateTime untilUtc)
    {
        DateTimeZone zone = Zones.Find(site.Zone)!;
        LocalDate first = Instant.FromDateTimeUtc(fromUtc).InZone(zone).Date.PlusDays(-1);
        LocalDate last = Instant.FromDateTimeUtc(untilUtc).InZone(zone).Date;
        List<BusyTime> all = [];
        for (LocalDate date = first; date <= last; date = date.PlusDays(1))
        {
            all.AddRange(site.BusyHours.Select(hours => On(date, hours, zone, site)).Where(busy => busy.FromUtc < untilUtc && busy.UntilUtc > fromUtc));
        }

        DateTime[] edges = [.. all.SelectMany(busy => new[] { busy.FromUtc, busy.UntilUtc }).Distinct().OrderBy(edge => edge)];
        return
        [
            .. edges.Zip(edges.Skip(1), (from, until) => (from, until))
                .Select(part => (part, within: all.Where(busy => busy.FromUtc <= part.from && busy.UntilUtc >= part.until).ToList()))
                .Where(part => part.within.Count > 0)
                .Select(part => new BusyTime(part.part.from, part.part.until, part.within.Aggregate(1.0, (weight, busy) => weight * busy.Weight))),
        ];
    }

    private static BusyTime On(LocalDate date, BusyHours hours, DateTimeZone zone, Site site)
    {
        LocalTime from = TimeOfDay.Parse(hours.From).Value;
        LocalTime until = TimeOfDay.Parse(hours.Until).Value;
        LocalDate ends = until > from ? date : date.PlusDays(1);
        return new BusyTime(LocalOpening.Of(date + from, zone, site.LocalTime).Start.ToDateTimeUtc(), LocalOpening.Of(ends + until, zone, site.LocalTime).Start.ToDateTimeUtc(), hours.Weight);
    }
}
