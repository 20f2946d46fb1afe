namespace PoeOps.Planning;

/// <summary>Which unit in which window, in which order; and what stands in the way of the rest.</summary>
public sealed record Plan
{
    /// <summary>The estate's name.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>When it was made, UTC, by the estate's clock.</summary>
    public DateTime CreatedUtc { get; init; }

    /// <summary>The estate file that it was made from.</summary>
    public string EstatePath { get; init; } = string.Empty;

    /// <summary>SHA-256 of that file's bytes.</summary>
    public string EstateSha256 { get; init; } = string.Empty;

    /// <summary>Digests of its parts, by which a change is named.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> EstateParts { get; init; } = [];

    /// <summary>The baselines that it was made from.</summary>
    public IReadOnlyList<PlanSource> Baselines { get; init; } = [];

    /// <summary>SHA-256 of everything else in the plan; empty until it is written.</summary>
    public string Fingerprint { get; init; } = string.Empty;

    /// <summary>How many controllers have nothing to load: current, or newer than approved.</summary>
    public int NothingToDo { get; init; }

    /// <summary>How many runs may be at work at a time, each with a lane of the plan.</summary>
    public int Lanes { get; init; } = 1;

    /// <summary>How long a pilot is watched before its fellows start, seconds.</summary>
    public double SoakSeconds { get; init; }

    /// <summary>True where it is proved that no plan of these units has fewer windows, or as few and an earlier end; false where it is only not known.</summary>
    public bool IsBest { get; init; }

    /// <summary>The refreshes in order.</summary>
    public IReadOnlyList<PlannedUnit> Units { get; init; } = [];

    /// <summary>The units that are not planned.</summary>
    public IReadOnlyList<Obstacle> Obstacles { get; init; } = [];

    /// <summary>When the first one starts, UTC; null in an empty plan.</summary>
    public DateTime? FirstStartUtc => Units.Count == 0 ? null : Units.Min(unit => unit.StartUtc);

    /// <summary>When the loads of the last one serve again in the worst case, UTC; null in an empty plan.</summary>
    public DateTime? LastEndUtc => Units.Count == 0 ? null : Units.Max(unit => unit.EndUtc);

    /// <summary>How many life-safety loads go dark, each once, however many images its unit is to take.</summary>
    public int LifeSafetyLoads => LifeSafetyLoadsOf(Units);

    /// <summary>How likely each window that it uses is too short for it, worked out when it is asked for; by opening, then by site.</summary>
    public IReadOnlyList<WindowRisk> Risks => OverrunRisk.Of(this);

    /// <summary>How many windows it uses; one window at two sites counts twice.</summary>
    public int Windows => Units.Select(unit => (unit.Site, unit.WindowOpensUtc, unit.WindowClosesUtc)).Distinct().Count();

    /// <summary>How many life-safety loads some units of a plan feed, each once.</summary>
    /// <param name="units">The units.</param>
    public static int LifeSafetyLoadsOf(IEnumerable<PlannedUnit> units) => units.GroupBy(unit => unit.UnitId).Sum(unit => unit.Max(hop => hop.LifeSafetyLoads));
}
