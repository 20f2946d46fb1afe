using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>One image on one unit as a journal tells that it was loaded.</summary>
public sealed record RefreshSample
{
    /// <summary>The unit.</summary>
    public UnitId UnitId { get; init; }

    /// <summary>The hardware model of the unit; empty where the journal does not say.</summary>
    public string Model { get; init; } = string.Empty;

    /// <summary>The image's size in bytes; 0 where the journal does not say.</summary>
    public long ImageBytes { get; init; }

    /// <summary>The firmware that the image was to bring.</summary>
    public string ToFirmware { get; init; } = string.Empty;

    /// <summary>The digest of the entry that ended it, which is the same in every copy of the journal; empty where there is none.</summary>
    public string Id { get; init; } = string.Empty;

    /// <summary>When it ended, UTC.</summary>
    public DateTime EndUtc { get; init; }

    /// <summary>How it ended, such as <c>Done</c>.</summary>
    public string Outcome { get; init; } = string.Empty;

    /// <summary>False where the run broke off under it and a later one asked what had become of it: its times are not those of its stages.</summary>
    public bool WasWatched { get; init; } = true;

    /// <summary>True where the unit ran the image in the end and was watched, so that its times are those of a whole refresh.</summary>
    public bool IsWhole => WasWatched && Outcome is ("Done" or "Degraded");

    /// <summary>How long each stage took, seconds, by the stage's name; one that the device did not name is not there.</summary>
    public IReadOnlyDictionary<string, double> StageSeconds { get; init; } = new Dictionary<string, double>(StringComparer.Ordinal);

    /// <summary>From the first dark stage until the last load had power again, seconds; null where the journal does not say.</summary>
    public double? DarkSeconds { get; init; }

    /// <summary>How many loads had power again in the end; null where the journal does not say.</summary>
    public int? LoadsBack { get; init; }

    /// <summary>How long each load was dark, seconds, by its port; null for one that did not come back. Empty where the journal does not say.</summary>
    public IReadOnlyDictionary<string, double?> LoadDarkSeconds { get; init; } = new Dictionary<string, double?>(StringComparer.OrdinalIgnoreCase);
}
