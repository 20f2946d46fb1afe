namespace PoeOps.Report;

/// <summary>What is known of one image on one unit.</summary>
public enum UnitState
{
    /// <summary>It is planned, and no journal was given.</summary>
    Planned,
    /// <summary>It was not begun.</summary>
    NotBegun,
    /// <summary>It was begun and its end is not written: a run is at work on it, or broke off.</summary>
    Open,
    /// <summary>It runs the new version and everything is back.</summary>
    Done,
    /// <summary>It runs the new version, but a load or a setting is not back.</summary>
    Degraded,
    /// <summary>A gate said no, or the unit did; nothing was loaded.</summary>
    Refused,
    /// <summary>It failed, or still runs the old version.</summary>
    Failed,
    /// <summary>Nobody knows.</summary>
    Uncertain,
    /// <summary>There was nothing to do, or somebody said no.</summary>
    Skipped,
    /// <summary>Its run was made to let go of it while it was at work.</summary>
    Detached,
}

/// <summary>One image on one unit: what was planned, and what came of it.</summary>
public sealed record UnitSummary
{
    /// <summary>Its place in the plan; null where no plan says.</summary>
    public int? Order { get; init; }

    /// <summary>The site; empty where no plan says.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The unit as its id prints.</summary>
    public string UnitId { get; init; } = string.Empty;

    /// <summary>The hardware model; empty where nobody says.</summary>
    public string Model { get; init; } = string.Empty;

    /// <summary>Which of the unit's images this is; the first is 1.</summary>
    public int Hop { get; init; } = 1;

    /// <summary>How many images the unit needs; as many as were begun where no plan says.</summary>
    public int Hops { get; init; } = 1;

    /// <summary>What is known of it.</summary>
    public UnitState State { get; init; }

    /// <summary>Why, in a sentence; empty where nothing was done yet.</summary>
    public string Reason { get; init; } = string.Empty;

    /// <summary>The kind of problem that it ended with, such as <c>LoadsNotBack</c>; empty where none.</summary>
    public string ProblemId { get; init; } = string.Empty;

    /// <summary>What somebody must do by hand; empty where nothing.</summary>
    public string Hand { get; init; } = string.Empty;

    /// <summary>What it ran before, as it was read before it was begun, or else as it was planned or begun from; empty where nobody says.</summary>
    public string FirmwareBefore { get; init; } = string.Empty;

    /// <summary>What it is to run.</summary>
    public string ToFirmware { get; init; } = string.Empty;

    /// <summary>What it was last seen to run; empty where it was not seen.</summary>
    public string FirmwareNow { get; init; } = string.Empty;

    /// <summary>The image's file name.</summary>
    public string ImageFile { get; init; } = string.Empty;

    /// <summary>The image's SHA-256 as the unit was begun with it, else as it was planned.</summary>
    public string ImageSha256 { get; init; } = string.Empty;

    /// <summary>When it is planned to start, UTC.</summary>
    public DateTime? PlannedStartUtc { get; init; }

    /// <summary>When its loads serve again in the worst case by the plan, UTC.</summary>
    public DateTime? PlannedEndUtc { get; init; }

    /// <summary>When its gates began, UTC; null where they did not.</summary>
    public DateTime? GatesUtc { get; init; }

    /// <summary>When it was begun, UTC; null where it was not.</summary>
    public DateTime? BeganUtc { get; init; }

    /// <summary>When its loads went dark, UTC; null where they did not or nobody says.</summary>
    public DateTime? DarkFromUtc { get; init; }

    /// <summary>When it was left, UTC; null where it was not begun or its end is not written.</summary>
    public DateTime? EndedUtc { get; init; }

    /// <summary>How long the load that is dark longest is to be dark, typical times; null where the plan does not say.</summary>
    public double? PlannedDarkSecondsTypical { get; init; }

    /// <summary>The same where every stage takes its worst time.</summary>
    public double? PlannedDarkSecondsWorst { get; init; }

    /// <summary>How long it was until the last load had power again, or until the unit was left where one has not; null where no journal says.</summary>
    public double? RealDarkSeconds { get; init; }

    /// <summary>How many loads were powered before; by the plan where it was not begun.</summary>
    public int Loads { get; init; }

    /// <summary>How many of them had power again in the end; null where nobody knows.</summary>
    public int? LoadsBack { get; init; }

    /// <summary>How many of them people can come to harm without.</summary>
    public int LifeSafetyLoads { get; init; }

    /// <summary>Who accepted that life-safety loads go dark; empty where nobody did.</summary>
    public string LifeSafetyAcceptedBy { get; init; } = string.Empty;

    /// <summary>True where the plan puts it in a window with somebody at hand on site.</summary>
    public bool WindowAttended { get; init; }

    /// <summary>True for the first of its model and image, after which the others of its kind wait.</summary>
    public bool Pilot { get; init; }

    /// <summary>Units with the same word here cover for each other; empty where none.</summary>
    public string CoverageGroup { get; init; } = string.Empty;

    /// <summary>How often it was begun.</summary>
    public int Attempts { get; init; }

    /// <summary>True where a run broke off and a later one found out how it had ended.</summary>
    public bool Late { get; init; }

    /// <summary>Loads and settings that are not back, as the journal says them.</summary>
    public IReadOnlyList<string> NotBack { get; init; } = [];

    /// <summary>Settings that were put back, or could not be, and other notes of the journal.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>The stages in order.</summary>
    public IReadOnlyList<StageSummary> Stages { get; init; } = [];
}

/// <summary>One stage, planned and real.</summary>
public sealed record StageSummary
{
    /// <summary>The stage's name.</summary>
    public string Stage { get; init; } = string.Empty;

    /// <summary>How long it takes as a rule; null where the plan does not say.</summary>
    public double? TypicalSeconds { get; init; }

    /// <summary>How long it takes at the most; null where the plan does not say.</summary>
    public double? WorstSeconds { get; init; }

    /// <summary>How long it took; null where nobody watched it, or the device did not name it.</summary>
    public double? RealSeconds { get; init; }

    /// <summary>When it began, UTC; null where it is not written.</summary>
    public DateTime? BeganUtc { get; init; }
}
