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

    /// <summary>Says why a reserve or a soak cannot be.</summary>
    /// <returns>The problem (<see cref="ProblemId.ReserveImpossible"/>, <see cref="ProblemId.SoakImpossible"/>), or null.</returns>
    public static Problem? Check(TimeSpan reserve, TimeSpan? soak) =>
        reserve < TimeSpan.Zero ? new Problem(ProblemId.ReserveImpossible, $"A reserve of {reserve} was given, and no time or more was expected.", "Write it such as 00:10:00.")
        : soak < TimeSpan.Zero ? new Problem(ProblemId.SoakImpossible, $"A soak of {soak} was given, and no time or more was expected.", "Write it such as 1.00:00:00 for a day; 0 for none.")
        : null;

    /// <summary>How many windows of a site are looked at; 1 to plan a single night.</summary>
    public int MostWindows { get; init; } = 60;

    /// <summary>No window that closes later is used, UTC; null for no such limit.</summary>
    public DateTime? UntilUtc { get; init; }

    /// <summary>How many runs may be at work at a time, each at sites of its own; 1 or more.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It is less than 1.</exception>
    public int Lanes
    {
        get;
        init => field = value >= 1 ? value : throw new ArgumentOutOfRangeException(nameof(Lanes), value, "There is one lane at least.");
    } = 1;

    /// <summary>How long a pilot is watched before its fellows start, 0 or more; null for what the estate says, which is 24 hours where it says nothing.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It is negative.</exception>
    public TimeSpan? Soak
    {
        get;
        init => field = value is null || value >= TimeSpan.Zero ? value : throw new ArgumentOutOfRangeException(nameof(Soak), value, "The soak is no time or more.");
    }

    /// <summary>Pilots that are through already: their fellows wait for the soak alone, and no other pilot is named.</summary>
    public IReadOnlyList<PilotDone> PilotsDone { get; init; } = [];

    /// <summary>Units that are obstacles from the beginning, such as those that did not end well.</summary>
    public IReadOnlyList<Obstacle> Obstacles { get; init; } = [];

    /// <summary>Windows of an earlier plan that units keep where they can.</summary>
    public IReadOnlyList<KeptWindow> Keep { get; init; } = [];

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

/// <summary>The window that a unit had in an earlier plan.</summary>
/// <param name="UnitId">The unit.</param>
/// <param name="Hop">Which of its images; the first that is left is 1.</param>
/// <param name="WindowOpensUtc">When the window opens, UTC.</param>
public sealed record KeptWindow(UnitId UnitId, int Hop, DateTime WindowOpensUtc);
