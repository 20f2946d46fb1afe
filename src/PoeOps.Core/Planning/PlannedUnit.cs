using PoeOps.Baselines;
using PoeOps.Estate;

namespace PoeOps.Planning;

/// <summary>One image on one unit at one time. A unit that needs several images is planned once for each.</summary>
public sealed record PlannedUnit
{
    /// <summary>Its place in the plan; the first is 1.</summary>
    public int Order { get; init; }

    /// <summary>The site of the switch.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The switch.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The unit's id.</summary>
    public UnitId UnitId => new(Switch, Unit);

    /// <summary>The hardware model of the unit.</summary>
    public string Model { get; init; } = string.Empty;

    /// <summary>The serial number of the unit; null where the device does not say.</summary>
    public string? Serial { get; init; }

    /// <summary>The software release of the switch when the plan was made; null where it was not read.</summary>
    public string? Release { get; init; }

    /// <summary>What the controller must run before.</summary>
    public string FromFirmware { get; init; } = string.Empty;

    /// <summary>What it runs afterwards.</summary>
    public string ToFirmware { get; init; } = string.Empty;

    /// <summary>Which of the unit's images this is; the first is 1.</summary>
    public int Hop { get; init; } = 1;

    /// <summary>How many images the unit needs.</summary>
    public int Hops { get; init; } = 1;

    /// <summary>The image's file name.</summary>
    public string ImageFile { get; init; } = string.Empty;

    /// <summary>The image's size.</summary>
    public long ImageBytes { get; init; }

    /// <summary>The image's SHA-256.</summary>
    public string ImageSha256 { get; init; } = string.Empty;

    /// <summary>The image's family.</summary>
    public string ImageFamily { get; init; } = string.Empty;

    /// <summary>When it is planned to start, UTC.</summary>
    public DateTime StartUtc { get; init; }

    /// <summary>When its loads serve again in the worst case, UTC.</summary>
    public DateTime EndUtc { get; init; }

    /// <summary>When the window opens, UTC.</summary>
    public DateTime WindowOpensUtc { get; init; }

    /// <summary>When the window closes, UTC.</summary>
    public DateTime WindowClosesUtc { get; init; }

    /// <summary>True where somebody is at hand on site in that window.</summary>
    public bool WindowAttended { get; init; }

    /// <summary>The lane that refreshes it: of several runs that are at work at a time, which one. The first is 1.</summary>
    public int Lane { get; init; } = 1;

    /// <summary>True for the first of its model and image: the others of its kind wait until its loads serve again, and for the soak.</summary>
    public bool Pilot { get; init; }

    /// <summary>Gate to the end of Verify in the worst case.</summary>
    public double WorstSeconds { get; init; }

    /// <summary>From there until its loads serve again.</summary>
    public double RecoverSeconds { get; init; }

    /// <summary>Time kept back at the window's end.</summary>
    public double ReserveSeconds { get; init; }

    /// <summary>How many loads go dark.</summary>
    public int Loads { get; init; }

    /// <summary>How many of them people can come to harm without.</summary>
    public int LifeSafetyLoads { get; init; }

    /// <summary>Who accepted that life-safety loads go dark; null where nobody did.</summary>
    public string? LifeSafetyAcceptedBy { get; init; }

    /// <summary>When they accepted it, UTC; null where nobody did.</summary>
    public DateTime? LifeSafetyAcceptedUtc { get; init; }

    /// <summary>True where the unit may be refreshed although its reading has problems.</summary>
    public bool ReadingProblemsAccepted { get; init; }

    /// <summary>What the unit's supplies can give its ports, watts; null where it was not read.</summary>
    public decimal? BudgetWatts { get; init; }

    /// <summary>What all of its loads claim together after the reset, watts; null where a figure of the unit cannot be.</summary>
    public decimal? RestartDemandWatts { get; init; }

    /// <summary>What that exceeds budget less guard band by, watts, or 0; null where the budget was not read.</summary>
    public decimal? ShortfallWatts { get; init; }

    /// <summary>How many loads may stay without power after the reset, as somebody accepted; null where nobody did.</summary>
    public int? RefusedLoadsAccepted { get; init; }

    /// <summary>Units with the same word here cover for each other; empty where none.</summary>
    public string CoverageGroup { get; init; } = string.Empty;

    /// <summary>How many units its switch listed when the plan was made; 0 where nobody counted.</summary>
    public int SwitchUnits { get; init; }

    /// <summary>The loads that go dark, in port order.</summary>
    public IReadOnlyList<PlannedLoad> DarkLoads { get; init; } = [];

    /// <summary>Typical and worst times of its stages.</summary>
    public StageTimes StageTimes { get; init; } = StageTimes.None;

    /// <summary>The image, as a baseline says it.</summary>
    public ImageSpec Image => new(ImageFile, ImageBytes, ImageSha256, ImageFamily);
}

/// <summary>A unit that is not planned, and why.</summary>
public sealed record Obstacle
{
    /// <summary>The site of the switch.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The switch.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The unit's id.</summary>
    public UnitId UnitId => new(Switch, Unit);

    /// <summary>The kind of problem that stands in the way.</summary>
    public ProblemId ProblemId { get; init; }

    /// <summary>Why, in a sentence.</summary>
    public string Reason { get; init; } = string.Empty;

    /// <summary>What would lift it, in a sentence.</summary>
    public string WouldHelp { get; init; } = string.Empty;
}
