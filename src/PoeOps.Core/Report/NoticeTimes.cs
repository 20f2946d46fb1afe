using System.Globalization;
using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>Says windows by the clocks of a site, with weekday and date in words, the zone's name and what the clocks are ahead of UTC.</summary>
/// <param name="site">The site.</param>
internal sealed class NoticeTimes(Site site)
{
    private readonly SiteTime _clocks = SiteTime.Of(site);

    /// <summary>A window in a sentence, when in it the plan expects the work, and between which times it will be.</summary>
    /// <param name="window">The window.</param>
    public string Say(PlannedWindow window)
    {
        DateTime start = window.Units.Min(unit => unit.StartUtc);
        string span = Span(start, Up(window.Units.Max(unit => unit.EndUtc)), brief: true);

        // After midnight a time alone would be taken for one of the day on which the window opens.
        (DateTime local, DateTime opens) = (_clocks.At(start).Local, _clocks.At(window.OpensUtc).Local);
        string planned = local.Date != opens.Date && !span.StartsWith($"from {Day(local)}", StringComparison.Ordinal) ? $"on {Day(local)}, {span}" : span;
        return $"{Span(window.OpensUtc, Up(window.ClosesUtc), brief: false)} The work is expected {planned}; it may also be earlier or later, but does not begin before {Bound(window, window.OpensUtc)} and is to be over by {Bound(window, Up(window.ClosesUtc))}.";
    }

    /// <summary>When a window is over.</summary>
    /// <param name="window">The window.</param>
    public string End(PlannedWindow window)
    {
        DateTime close = Up(window.ClosesUtc);
        return $"{Day(_clocks.At(close).Local)}, {Bound(window, close)}";
    }

    // The days stand before it; what the clocks are ahead of UTC is said where that changes.
    private string Bound(PlannedWindow window, DateTime utc)
    {
        (DateTime local, TimeSpan offset) = _clocks.At(utc);
        return _clocks.At(window.OpensUtc).Offset == _clocks.At(Up(window.ClosesUtc)).Offset ? Clock(local) : $"{Clock(local)} ({Offset(offset)})";
    }

    private string Span(DateTime fromUtc, DateTime toUtc, bool brief)
    {
        (DateTime from, TimeSpan before) = _clocks.At(fromUtc);
        (DateTime to, TimeSpan after) = _clocks.At(toUtc);
        if (before != after)
        {
            string clocks = brief ? string.Empty
                : FormattableString.Invariant($" (time zone {site.Zone}). The clocks change in between; it is {(int)(toUtc - fromUtc).TotalHours} h {(toUtc - fromUtc).Minutes} min long.");
            return $"{(brief ? "from" : "From")} {Day(from)}, {Clock(from)} ({Offset(before)}) to {Day(to)}, {Clock(to)} ({Offset(after)}){clocks}";
        }

        string zone = brief ? string.Empty : $" (time zone {site.Zone}, {Offset(before)}).";
        return from.Date == to.Date
            ? (brief ? $"from {Clock(from)} to {Clock(to)}" : $"{Day(from)}, from {Clock(from)} to {Clock(to)}{zone}")
            : $"{(brief ? "from" : "From")} {Day(from)}, {Clock(from)} to {Day(to)}, {Clock(to)}{zone}";
    }

    // To the next whole minute.
    private static DateTime Up(DateTime utc) => new(((utc.Ticks + TimeSpan.TicksPerMinute - 1) / TimeSpan.TicksPerMinute) * TimeSpan.TicksPerMinute, DateTimeKind.Utc);

    private static string Day(DateTime local) => local.ToString("dddd, d MMMM yyyy", CultureInfo.InvariantCulture);

    private static string Clock(DateTime local) => local.ToString("HH:mm", CultureInfo.InvariantCulture);

    private static string Offset(TimeSpan offset) => $"UTC{(offset < TimeSpan.Zero ? "-" : "+")}{offset.ToString(@"hh\:mm", CultureInfo.InvariantCulture)}";
}
