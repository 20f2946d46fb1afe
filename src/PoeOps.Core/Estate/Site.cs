namespace PoeOps.Estate;

/// <summary>A place with switches, and when work is allowed there. Times are the site's own; the calendar gives them meaning.</summary>
public sealed record Site
{
    /// <summary>The site's name.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The time zone, as an IANA or Windows id.</summary>
    public string Zone { get; init; } = string.Empty;

    /// <summary>What a local time means here that comes twice when clocks go back.</summary>
    public LocalTimeChoice LocalTime { get; init; }

    /// <summary>Whom the people of the site call when something is not as they were told; empty where nobody says.</summary>
    public string Contact { get; init; } = string.Empty;

    /// <summary>Windows that come back, by the week or by the month.</summary>
    public IReadOnlyList<WindowRule> Windows { get; init; } = [];

    /// <summary>Windows that open once; they stand inside a freeze as well.</summary>
    public IReadOnlyList<ExtraWindow> ExtraWindows { get; init; } = [];

    /// <summary>Days on which no window opens.</summary>
    public IReadOnlyList<Freeze> Freezes { get; init; } = [];

    /// <summary>What may go dark in one window of the site.</summary>
    public WindowLimits Limits { get; init; } = WindowLimits.None;

    /// <summary>Times of day at which a minute out of service counts for more or less than one; a time that none names counts once.</summary>
    public IReadOnlyList<BusyHours> BusyHours { get; init; } = [];

    /// <summary>Coverage groups of which more is said than the name.</summary>
    public IReadOnlyList<CoverageGroup> CoverageGroups { get; init; } = [];

    /// <summary>The switches, in the order of the file.</summary>
    public IReadOnlyList<Switch> Switches { get; init; } = [];
}

/// <summary>A window that opens once.</summary>
public sealed record ExtraWindow
{
    /// <summary>The local date and time at which it opens, such as <c>2026-12-04T22:00</c>.</summary>
    public string Opens { get; init; } = string.Empty;

    /// <summary>How long it is open, in time that really goes by; more than 0, at most 31 days.</summary>
    public TimeSpan Length { get; init; }

    /// <summary>True where somebody is at hand on site.</summary>
    public bool Attended { get; init; }
}

/// <summary>Days on which no window of a site opens.</summary>
public sealed record Freeze
{
    /// <summary>The first day, such as <c>2026-12-20</c>.</summary>
    public string From { get; init; } = string.Empty;

    /// <summary>The last day, which belongs to it.</summary>
    public string Until { get; init; } = string.Empty;

    /// <summary>Why, for people; empty where nobody says.</summary>
    public string Because { get; init; } = string.Empty;
}
