using PoeOps.Estate;

namespace PoeOps.Planning;

/// <summary>What a plan takes into account beside outages and windows.</summary>
public sealed record PlanOptions
{
    /// <summary>When the plan is made, UTC.</summary>
    public DateTime CreatedUtc { get; init; }

    /// <summary>Nothing starts before this, UTC.</summary>
    public DateTime FromUtc { get; init; }

    /// <summary>Time kept back at each window's end; 0 or more.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It is negative, so that a unit could outlast its window.</exception>
    public TimeSpan Reserve
    {
        get;
        init => field = value >= TimeSpan.Zero ? value : throw new ArgumentOutOfRangeException(nameof(Reserve), value, "The reserve is no time or more.");
    } = TimeSpan.FromMinutes(10);

    /// <summary>How many windows of a site are looked at; 1 to plan a single night.</summary>
    public int MostWindows { get; init; } = 60;

    /// <summary>Units whose life-safety loads may go dark, and who said so.</summary>
    public IReadOnlyList<LifeSafetyAcceptance> LifeSafety { get; init; } = [];

    /// <summary>Units that may be refreshed although some of their loads do not come back within the budget.</summary>
    public IReadOnlyList<UnitId> RefusedLoads { get; init; } = [];

    /// <summary>Units that may be refreshed although their reading has problems.</summary>
    public IReadOnlyList<UnitId> ReadingProblems { get; init; } = [];
}

/// <summary>Somebody's word that the life-safety loads of a unit may go dark.</summary>
/// <param name="UnitId">The unit.</param>
/// <param name="By">Who.</param>
/// <param name="Utc">When, UTC.</param>
public sealed record LifeSafetyAcceptance(UnitId UnitId, string By, DateTime Utc);
