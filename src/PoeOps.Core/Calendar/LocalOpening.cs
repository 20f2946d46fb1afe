using NodaTime;
using NodaTime.TimeZones;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>What a local time of opening means in a zone.</summary>
/// <param name="Start">The instant that it stands for.</param>
/// <param name="Reading">How that was decided.</param>
internal readonly record struct LocalOpening(Instant Start, LocalTimeReading Reading)
{
    /// <summary>Decides about a local time: forward by the gap where it never comes, the chosen one where it comes twice.</summary>
    public static LocalOpening Of(LocalDateTime local, DateTimeZone zone, LocalTimeChoice choice)
    {
        ZoneLocalMapping mapping = zone.MapLocal(local);
        return (mapping.Count, choice) switch
        {
            (1, _) => new(mapping.Single().ToInstant(), LocalTimeReading.Once),
            (0, _) => new(Resolvers.ReturnForwardShifted(local, zone, mapping.EarlyInterval, mapping.LateInterval).ToInstant(), LocalTimeReading.MovedForward),
            (_, LocalTimeChoice.Second) => new(mapping.Last().ToInstant(), LocalTimeReading.SecondOfTwo),
            _ => new(mapping.First().ToInstant(), LocalTimeReading.FirstOfTwo),
        };
    }
}
