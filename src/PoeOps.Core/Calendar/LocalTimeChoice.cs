using NodaTime;
using NodaTime.TimeZones;

namespace PoeOps.Calendar;

/// <summary>What a local time means that comes twice when clocks go back. One that never comes always moves forward by the gap (RFC 5545 section 3.3.5).</summary>
public enum LocalTimeChoice
{
    /// <summary>The first of the two, as RFC 5545 reads it; the default.</summary>
    First,
    /// <summary>The second of the two.</summary>
    Second,
}

/// <summary>The resolvers that stand for the choices.</summary>
internal static class LocalTimeResolvers
{
    /// <summary>The resolver of a choice.</summary>
    public static ZoneLocalMappingResolver Of(LocalTimeChoice choice) =>
        Resolvers.CreateMappingResolver(choice == LocalTimeChoice.First ? Resolvers.ReturnEarlier : Resolvers.ReturnLater, Resolvers.ReturnForwardShifted);

    /// <summary>The instant that a local time stands for.</summary>
    public static Instant At(this DateTimeZone zone, LocalDateTime local, LocalTimeChoice choice) => local.InZone(zone, Of(choice)).ToInstant();
}
