namespace PoeOps.Calendar;

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

    /// <summary>True where somebody is at hand on site.</summary>
    public bool Attended { get; init; }

    /// <summary>True for a single extra window that stands inside a freeze.</summary>
    public bool InsideFreeze { get; init; }
}
