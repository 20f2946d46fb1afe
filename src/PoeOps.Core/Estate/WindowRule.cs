namespace PoeOps.Estate;

/// <summary>A window that comes back: on days of the week, every week, every so many weeks, or in some weeks of the month alone.</summary>
public sealed record WindowRule
{
    /// <summary>Of <see cref="Weeks"/>: the last such day of the month.</summary>
    public const int LastWeek = -1;

    /// <summary>The days on which it opens; at least one.</summary>
    public IReadOnlyList<DayOfWeek> Days { get; init; } = [];

    /// <summary>
    /// Which of such days in a month, as the calendar counts them: 1 for the first Friday to 5 for the fifth, -1 for the last; none for every week. A
    /// month that has no fifth opens none then, nor another day in its place (RFC 5545 section 3.3.10).
    /// </summary>
    public IReadOnlyList<int> Weeks { get; init; } = [];

    /// <summary>Every how many weeks it opens, counted from the week that <see cref="From"/> is in; weeks begin on Monday. 1 or more.</summary>
    public int EveryWeeks { get; init; } = 1;

    /// <summary>The first local day on which it may open, such as <c>2026-12-01</c>; null for no first.</summary>
    public string? From { get; init; }

    /// <summary>The last local day on which it may open, which belongs to it; null for no last.</summary>
    public string? Until { get; init; }

    /// <summary>The local time of day at which it opens, such as <c>22:30</c>.</summary>
    public string Opens { get; init; } = string.Empty;

    /// <summary>How long it is open, in time that really goes by; more than 0, at most 31 days. It may be longer than the time until the next one opens.</summary>
    public TimeSpan Length { get; init; }

    /// <summary>True where somebody is at hand on site.</summary>
    public bool Attended { get; init; }
}
