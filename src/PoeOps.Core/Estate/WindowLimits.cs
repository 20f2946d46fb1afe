namespace PoeOps.Estate;

/// <summary>The most that may be done in one window of a site. Each image that is loaded counts for itself.</summary>
/// <param name="Units">How many units at the most, at least 1; null for no limit.</param>
/// <param name="DarkLoads">How many loads may go dark at the most, at least 1; null for no limit.</param>
public sealed record WindowLimits(int? Units, int? DarkLoads)
{
    /// <summary>No limits.</summary>
    public static WindowLimits None { get; } = new(null, null);
}
