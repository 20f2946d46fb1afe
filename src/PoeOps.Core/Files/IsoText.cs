using System.Globalization;
using System.Text.RegularExpressions;

namespace PoeOps.Files;

/// <summary>Reads dates, times and lengths of time in the few spellings of ISO 8601 that the users' files have, the same in every culture.</summary>
public static class IsoText
{
    private static readonly Regex LengthPattern = new(
        @"\AP(?:(?<days>[0-9]{1,4})D)?(?<time>T(?:(?<hours>[0-9]{1,5})H)?(?:(?<minutes>[0-9]{1,7})M)?(?:(?<seconds>[0-9]{1,8})S)?)?\z",
        RegexOptions.CultureInvariant,
        OwnPattern.Longest);

    /// <summary>Reads a length of time such as <c>PT5H</c> or <c>P1DT30M</c>: whole days, hours, minutes and seconds; no months or years, which have no length of their own.</summary>
    /// <returns>The length, or null where the text is none.</returns>
    public static TimeSpan? Length(string? text)
    {
        Match match = LengthPattern.Match(text ?? string.Empty);
        if (!match.Success || text!.Length < 3 || text.EndsWith("T", StringComparison.Ordinal))
        {
            return null;
        }

        return TimeSpan.FromDays(Part(match, "days")) + TimeSpan.FromHours(Part(match, "hours"))
            + TimeSpan.FromMinutes(Part(match, "minutes")) + TimeSpan.FromSeconds(Part(match, "seconds"));
    }

    /// <summary>True for a time of day such as <c>22:30</c>.</summary>
    public static bool IsTimeOfDay(string? text) => Exact(text, "HH:mm", DateTimeStyles.None) is not null;

    /// <summary>True for a date such as <c>2026-12-20</c>.</summary>
    public static bool IsDate(string? text) => Exact(text, "yyyy-MM-dd", DateTimeStyles.None) is not null;

    /// <summary>True for a local date and time such as <c>2026-12-04T22:00</c>.</summary>
    public static bool IsLocalTime(string? text) => Exact(text, "yyyy-MM-dd'T'HH:mm", DateTimeStyles.None) is not null;

    /// <summary>Reads a moment such as <c>2026-11-25T21:00:00Z</c>, with or without fractions of a second.</summary>
    /// <returns>The moment, UTC, or null where the text is none.</returns>
    public static DateTime? Utc(string? text) =>
        Exact(text, "yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'", DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal);

    /// <summary>Writes a moment so that <see cref="Utc"/> reads it back.</summary>
    /// <param name="utc">The moment, UTC.</param>
    public static string Write(DateTime utc) => utc.ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'", CultureInfo.InvariantCulture);

    /// <summary>Writes a length of time so that <see cref="Length"/> reads it back; fractions of a second are dropped.</summary>
    /// <param name="length">0 or more.</param>
    public static string Write(TimeSpan length) => "PT" + ((long)length.TotalSeconds).ToString(CultureInfo.InvariantCulture) + "S";

    private static double Part(Match match, string group) =>
        match.Groups[group].Success ? double.Parse(match.Groups[group].Value, NumberStyles.None, CultureInfo.InvariantCulture) : 0;

    private static DateTime? Exact(string? text, string format, DateTimeStyles styles) =>
        DateTime.TryParseExact(text, format, CultureInfo.InvariantCulture, styles, out DateTime value) ? value : null;
}
