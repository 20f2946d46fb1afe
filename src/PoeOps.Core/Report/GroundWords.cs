namespace PoeOps.Report;

/// <summary>On what ground life-safety loads go dark: who accepted it, or that somebody is at hand in the window.</summary>
internal static class GroundWords
{
    /// <summary>The ground for a unit.</summary>
    /// <param name="hops">Its images.</param>
    public static string Of(IReadOnlyList<UnitSummary> hops)
    {
        string by = Accepted(hops);
        return by.Length > 0 ? $"accepted by {by}"
            : hops.Any(hop => hop.Order is null) ? "no plan says on what ground"
            : hops.All(hop => hop.WindowAttended) ? "accepted by nobody by name, in an attended window"
            : "ACCEPTED BY NOBODY, and in a window that nobody attends";
    }

    /// <summary>The same in a column whose head says that it is about who accepted it.</summary>
    /// <param name="hops">Its images.</param>
    public static string Cell(IReadOnlyList<UnitSummary> hops)
    {
        string by = Accepted(hops);
        return by.Length > 0 ? by
            : hops.Any(hop => hop.Order is null) ? ReportText.Nothing
            : hops.All(hop => hop.WindowAttended) ? "nobody by name; attended window"
            : "NOBODY, and no attended window";
    }

    private static string Accepted(IReadOnlyList<UnitSummary> hops) => string.Join(", ", hops.Select(hop => hop.LifeSafetyAcceptedBy).Where(by => by.Length > 0).Distinct(StringComparer.Ordinal));
}
