using System.Globalization;
using PoeOps.Calendar;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>Sites and moments in few words, and windows as lines.</summary>
internal static class CalendarText
{
    /// <summary>A site with rules.</summary>
    public static Site Site(string zone, params WindowRule[] rules) => new() { Name = "quay", Zone = zone, Windows = rules };

    /// <summary>A rule of some hours.</summary>
    public static WindowRule Rule(string opens, double hours, params DayOfWeek[] days) => new() { Days = days, Opens = opens, Length = TimeSpan.FromHours(hours) };

    /// <summary>A moment, UTC.</summary>
    public static DateTime Utc(string text) => DateTime.Parse(text, CultureInfo.InvariantCulture, DateTimeStyles.AdjustToUniversal | DateTimeStyles.AssumeUniversal);

    /// <summary>The next openings of a site, UTC.</summary>
    public static string[] Openings(Site site, string from, int count) => [.. new WindowCalendar(site).Next(Utc(from), count).Select(window => Minute(window.OpensUtc))];

    /// <summary>A moment to the minute.</summary>
    public static string Minute(DateTime time) => time.ToString("yyyy-MM-dd'T'HH:mm", CultureInfo.InvariantCulture);
}
