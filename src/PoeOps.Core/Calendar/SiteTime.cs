using NodaTime;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>What the clocks of a site show.</summary>
internal sealed class SiteTime
{
    private readonly DateTimeZone _zone;

    private SiteTime(DateTimeZone zone) => _zone = zone;

    /// <summary>The clocks of a site.</summary>
    /// <param name="site">The site.</param>
    /// <exception cref="PoeOpsException">The site's zone does not exist (<see cref="ProblemId.ZoneUnknown"/>).</exception>
    public static SiteTime Of(Site site) => new(Zones.Find(site.Zone) ?? throw new PoeOpsException(Zones.Check(site.Zone)! with { Target = site.Name }));

    /// <summary>The clocks of a zone.</summary>
    /// <param name="zone">Its IANA or Windows id.</param>
    /// <exception cref="PoeOpsException">It does not exist (<see cref="ProblemId.ZoneUnknown"/>).</exception>
    public static SiteTime Of(string zone) => new(Zones.Find(zone) ?? throw new PoeOpsException(Zones.Check(zone)! with { Target = zone }));

    /// <summary>The local time of an instant, and what it is ahead of UTC.</summary>
    /// <param name="utc">The instant, UTC.</param>
    public (DateTime Local, TimeSpan Offset) At(DateTime utc)
    {
        ZonedDateTime there = Instant.FromDateTimeUtc(utc).InZone(_zone);
        return (there.ToDateTimeUnspecified(), there.Offset.ToTimeSpan());
    }
}
