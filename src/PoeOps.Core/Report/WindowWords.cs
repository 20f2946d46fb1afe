using System.Globalization;

namespace PoeOps.Report;

/// <summary>Windows of a plan by the clocks of their sites, or by UTC where the zone is not known.</summary>
internal static class WindowWords
{
    /// <summary>From when to when, with the weekday: <c>Tue 2026-12-01 23:00 to Wed 2026-12-02 03:00</c>.</summary>
    public static string Span(WindowSummary window)
    {
        DateTime opens = Local(window.OpensUtc, window.OpensOffset);
        DateTime closes = Local(window.ClosesUtc, window.ClosesOffset);
        return $"{Day(opens)} to {(closes.Date == opens.Date ? ReportText.Clock(closes) : Day(closes))}";
    }

    /// <summary>The clocks that it is said by: <c>Europe/Oslo, UTC+01:00</c>, with both where they change in between.</summary>
    public static string Clocks(WindowSummary window) => window.OpensOffset is not { } opens || window.ClosesOffset is not { } closes ? "UTC"
        : $"{window.Zone}, {Offset(opens)}{(opens == closes ? string.Empty : $", at its end {Offset(closes)}")}";

    /// <summary>When its work is over in the worst case, by the same clocks.</summary>
    public static string Ends(WindowSummary window) => window.EndsUtc is { } ends ? Day(Local(ends, window.ClosesOffset)) : ReportText.Nothing;

    /// <summary>How likely it is too short, in per cent.</summary>
    public static string Risk(double? probability) => probability switch
    {
        null => "not known",
        < 0.001 => "under 0.1",
        { } known => (known * 100).ToString("0.#", CultureInfo.InvariantCulture),
    };

    private static DateTime Local(DateTime utc, TimeSpan? offset) => ReportTime.Later(utc, offset?.TotalSeconds ?? 0) ?? utc;

    private static string Day(DateTime local) => local.ToString("ddd yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private static string Offset(TimeSpan offset) => $"UTC{(offset < TimeSpan.Zero ? "-" : "+")}{offset.ToString(@"hh\:mm", CultureInfo.InvariantCulture)}";
}
