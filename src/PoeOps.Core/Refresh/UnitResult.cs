using PoeOps.Estate;

namespace PoeOps.Refresh;

/// <summary>What became of one planned unit.</summary>
public sealed record UnitResult
{
    /// <summary>Its place in the plan.</summary>
    public int Order { get; init; }

    /// <summary>The site of the switch.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The switch.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The unit's id.</summary>
    public UnitId UnitId => new(Switch, Unit);

    /// <summary>How it ended.</summary>
    public StageOutcome Outcome { get; init; }

    /// <summary>Why, in a sentence.</summary>
    public string Reason { get; init; } = string.Empty;

    /// <summary>The kind of problem that it ended with, or null; a unit that is done has one where the journal could not be written to its end.</summary>
    public ProblemId? ProblemId { get; init; }

    /// <summary>What the plan expected it to run before.</summary>
    public string FromFirmware { get; init; } = string.Empty;

    /// <summary>What it was to run afterwards.</summary>
    public string ToFirmware { get; init; } = string.Empty;

    /// <summary>What it was last seen to run; null where it was not seen.</summary>
    public string? FirmwareNow { get; init; }

    /// <summary>When its gates began, UTC.</summary>
    public DateTime StartUtc { get; init; }

    /// <summary>When it was left, UTC.</summary>
    public DateTime EndUtc { get; init; }

    /// <summary>From the start of Erase, or of the refresh where the device names no stages, until the last load had power again, or until it was left where one has not; null where nothing went dark or it is not known.</summary>
    public double? DarkSeconds { get; init; }

    /// <summary>How many loads were powered before.</summary>
    public int Loads { get; init; }

    /// <summary>How many of them are powered afterwards.</summary>
    public int LoadsBack { get; init; }

    /// <summary>How many of them people can come to harm without.</summary>
    public int LifeSafetyLoads { get; init; }

    /// <summary>Loads and settings that are not back, each in a few words.</summary>
    public IReadOnlyList<string> NotBack { get; init; } = [];

    /// <summary>True where the run that began it broke off, or its end was not known, and a later run found out.</summary>
    public bool Late { get; init; }

    /// <summary>The journal; empty where there is none.</summary>
    public string JournalPath { get; init; } = string.Empty;

    /// <summary>The transcript of its last session; null where there is none.</summary>
    public string? TranscriptPath { get; init; }

    /// <summary>How long each stage took, seconds, by its name.</summary>
    public IReadOnlyDictionary<string, double> StageSeconds { get; init; } = new Dictionary<string, double>(StringComparer.Ordinal);
}
