using System.Globalization;

namespace PoeOps.Estate;

/// <summary>The local days on which a rule opens its window; no zone is known here.</summary>
internal sealed class OpeningDays
{
    // No rule is without a day for longer: every 52 weeks, and a fifth Friday comes within four months.
    private const int LongestWait = 400;
    private const int DaysOfWeek = 7;

    private readonly bool[] _days = new bool[DaysOfWeek];
    private readonly bool[] _weeks = new bool[6];
    private readonly bool _everyWeek;
    private readonly bool _lastWeek;
    private readonly int _pace;

    /// <summary>Takes the days of a rule.</summary>
    public OpeningDays(WindowRule rule)
    {
        foreach (DayOfWeek day in rule.Days)
        {
            _days[(int)day] = true;
        }

        foreach (int week in rule.Weeks.Where(week => week != WindowRule.LastWeek))
        {
            _weeks[week] = true;
        }

        _everyWeek = rule.Weeks.Count == 0;
        _lastWeek = rule.Weeks.Contains(WindowRule.LastWeek);
        _pace = rule.EveryWeeks * DaysOfWeek;
        First = string.IsNullOrEmpty(rule.From) ? DateTime.MinValue : Day(rule.From!);
        Last = string.IsNullOrEmpty(rule.Until) ? DateTime.MaxValue.Date : Day(rule.Until!);
    }

    /// <summary>The first day on which it may open.</summary>
    public DateTime First { get; }

    /// <summary>The last day on which it may open.</summary>
    public DateTime Last { get; }

    /// <summary>True where it opens on no day there is.</summary>
    public bool AreNone => !Enumerable.Range(0, (int)Math.Min((Last - First).TotalDays + 1, LongestWait)).Any(days => Has(First.AddDays(days)));

    /// <summary>True where it opens on a day.</summary>
    /// <param name="day">The local day, without a time.</param>
    public bool Has(DateTime day) =>
        _days[(int)day.DayOfWeek] && day >= First && day <= Last && (_everyWeek ? IsInPace(day) : IsInWeeks(day));

    private bool IsInPace(DateTime day) => _pace == DaysOfWeek || (Monday(day) - Monday(First)).Days % _pace == 0;

    private bool IsInWeeks(DateTime day) => _weeks[1 + ((day.Day - 1) / DaysOfWeek)] || (_lastWeek && day.Day + DaysOfWeek > DateTime.DaysInMonth(day.Year, day.Month));

    // Weeks begin on Monday (ISO 8601, and RFC 5545 where nothing else is said). The first day that there is, 0001-01-01, is a Monday.
    private static DateTime Monday(DateTime day) => day.AddDays(-(((int)day.DayOfWeek + 6) % DaysOfWeek));

    private static DateTime Day(string text) => DateTime.ParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture);
}
