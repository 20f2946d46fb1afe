using NodaTime;
using NodaTime.TimeZones;
using PoeOps.Files;

namespace PoeOps.Calendar;

/// <summary>Time zones by their IANA or Windows ids.</summary>
public static class Zones
{
    /// <summary>The ids that there are: those of IANA, then those of Windows, each in the order of the alphabet.</summary>
    public static IReadOnlyList<string> Ids => [.. DateTimeZoneProviders.Tzdb.Ids.OrderBy(id => id, StringComparer.Ordinal)
        .Concat(TzdbDateTimeZoneSource.Default.WindowsToTzdbIds.Keys.OrderBy(id => id, StringComparer.Ordinal)).Distinct(StringComparer.Ordinal)];

    /// <summary>Checks an id.</summary>
    /// <returns>The problem (<see cref="ProblemId.ZoneUnknown"/>), which names the nearest zone; or null.</returns>
    public static Problem? Check(string id) => Find(id) is null ? Unknown(id) : null;

    /// <summary>The zone of an id, or null.</summary>
    internal static DateTimeZone? Find(string id)
    {
        TzdbDateTimeZoneSource source = TzdbDateTimeZoneSource.Default;
        string? iana = source.WindowsToTzdbIds.TryGetValue(id, out string? mapped) ? mapped : id;
        return DateTimeZoneProviders.Tzdb.GetZoneOrNull(iana);
    }

    private static Problem Unknown(string id)
    {
        IEnumerable<string> known = DateTimeZoneProviders.Tzdb.Ids.Concat(TzdbDateTimeZoneSource.Default.WindowsToTzdbIds.Keys);
        return new Problem(ProblemId.ZoneUnknown, $"No time zone is called '{Excerpt.Of(id)}'{Nearest.Hint(id, known)}.", "Write an IANA id such as Europe/Berlin, or a Windows id.");
    }
}
