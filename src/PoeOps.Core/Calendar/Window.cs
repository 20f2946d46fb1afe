namespace PoeOps.Calendar;

/// <summary>What became of the local time at which a window opens.</summary>
public enum LocalTimeReading
{
    /// <summary>It comes once.</summary>
    Once,
    /// <summary>It comes twice, and the first is meant.</summary>
    FirstOfTwo,
    /// <summary>It comes twice, and the second is meant.</summary>
    SecondOfTwo,
    /// <summary>It never comes, and moved forward by the gap.</summary>
    MovedForward,
}

/// <summary>A time in which work is allowed at a site, from its opening up to but not including its close.</summary>
public sealed record Window
{
    /// <summary>The site.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>When it opens, UTC.</summary>
    public DateTime OpensUtc { get; init; }

    /// <summary>When it closes, UTC.</summary>
    public DateTime ClosesUtc { get; init; }

    /// <summary>When it opens, the site's local time.</summary>
    public DateTime OpensLocal { get; init; }

    /// <summary>When it closes, the site's local time.</summary>
    public DateTime ClosesLocal { get; init; }

    /// <summary>How long it is open, in time that really goes by.</summary>
    public TimeSpan Length => ClosesUtc - OpensUtc;

    /// <summary>The site's time zone, as the estate names it.</summary>
    public string Zone { get; init; } = string.Empty;

    /// <summary>True where somebody is at hand on site.</summary>
    public bool Attended { get; init; }

    /// <summary>True for a single extra window that stands inside a freeze.</summary>
    public bool InsideFreeze { get; init; }

    /// <summary>True for an opening that a freeze drops: no window, nobody may work in it. None of <see cref="WindowCalendar.Next"/> is.</summary>
    public bool Frozen { get; init; }

    /// <summary>The freeze that drops it or that it stands inside, such as <c>2026-12-20 until 2027-01-06 (holiday sailings)</c>; null where there is none.</summary>
    public string? Freeze { get; init; }

    /// <summary>What became of the local time at which it opens.</summary>
    public LocalTimeReading LocalTime { get; init; }

    /// <summary>The local time that the estate writes; another one than <see cref="OpensLocal"/> where that moved forward.</summary>
    public DateTime WrittenLocal { get; init; }

    /// <summary>What is to be known of it, in words; empty where there is nothing.</summary>
    public string Note => string.Join(" ", new[] { OfFreeze(), OfLocalTime() }.Where(text => text.Length > 0));

    /// <summary>How the clocks of its site have it, where its local times are those of another zone; null where they are the site's.</summary>
    internal (DateTime Opens, string Zone)? AtSite { get; init; }

    /// <summary>The same window with the local times of another zone. What is to be known of the site's own local time is told by the site's clocks all the same.</summary>
    /// <param name="zone">The zone, by its IANA or Windows id.</param>
    /// <exception cref="PoeOpsException">It does not exist (<see cref="ProblemId.ZoneUnknown"/>).</exception>
    public Window In(string zone)
    {
        var there = SiteTime.Of(zone);
        return this with { AtSite = AtSite ?? (OpensLocal, Zone), Zone = zone, OpensLocal = there.At(OpensUtc).Local, ClosesLocal = there.At(ClosesUtc).Local };
    }

    private string OfFreeze() => Frozen ? $"Frozen {Freeze}." : InsideFreeze ? $"Inside the freeze {Freeze}." : string.Empty;

    private string Where => AtSite is { } site ? $" in {site.Zone}" : string.Empty;

    private string OfLocalTime() => LocalTime switch
    {
        LocalTimeReading.FirstOfTwo => FormattableString.Invariant($"{WrittenLocal:HH:mm}{Where} comes twice; this is the first."),
        LocalTimeReading.SecondOfTwo => FormattableString.Invariant($"{WrittenLocal:HH:mm}{Where} comes twice; this is the second."),
        LocalTimeReading.MovedForward => FormattableString.Invariant($"{WrittenLocal:HH:mm}{Where} does not come; moved forward by {((AtSite?.Opens ?? OpensLocal) - WrittenLocal).TotalMinutes:0} min."),
        _ => string.Empty,
    };
}
