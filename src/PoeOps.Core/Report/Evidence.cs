namespace PoeOps.Report;

/// <summary>A journal, and how far it can be relied on.</summary>
public sealed record JournalSummary
{
    /// <summary>The file.</summary>
    public string Path { get; init; } = string.Empty;

    /// <summary>SHA-256 of the file's bytes; empty where it cannot be read.</summary>
    public string Sha256 { get; init; } = string.Empty;

    /// <summary>How many entries were read.</summary>
    public int Entries { get; init; }

    /// <summary>True where every line is there, unchanged and in order.</summary>
    public bool ChainHolds { get; init; }

    /// <summary>The state of its chain of digests in a sentence.</summary>
    public string ChainState { get; init; } = string.Empty;

    /// <summary>The digest of its last entry; whoever has noted it down can tell whether lines were taken from the end. Empty where there is no entry.</summary>
    public string LastDigest { get; init; } = string.Empty;

    /// <summary>The journal of which this is a copy, and which counts in its place; empty where this one counts.</summary>
    public string CopyOf { get; init; } = string.Empty;

    /// <summary>The runs in it, in order; none in a copy.</summary>
    public IReadOnlyList<RunFacts> Runs { get; init; } = [];
}

/// <summary>One run, by what it said of itself.</summary>
public sealed record RunFacts
{
    /// <summary>The line of the journal in which it began.</summary>
    public int Line { get; init; }

    /// <summary>When it began, UTC.</summary>
    public DateTime BeganUtc { get; init; }

    /// <summary>When it ended, UTC; null where that is not written.</summary>
    public DateTime? EndedUtc { get; init; }

    /// <summary>Why it ended; empty where that is not written.</summary>
    public string Because { get; init; } = string.Empty;

    /// <summary>The machine.</summary>
    public string Host { get; init; } = string.Empty;

    /// <summary>The account.</summary>
    public string User { get; init; } = string.Empty;

    /// <summary>The plan's name.</summary>
    public string PlanName { get; init; } = string.Empty;

    /// <summary>The fingerprint of the plan that it was made from.</summary>
    public string Fingerprint { get; init; } = string.Empty;

    /// <summary>True where somebody answered its questions.</summary>
    public bool Attended { get; init; }

    /// <summary>How fast its clock went: 1 for a real night, more for a rehearsal.</summary>
    public double Speed { get; init; } = 1;
}

/// <summary>An image that was loaded or is to be.</summary>
public sealed record ImageSummary
{
    /// <summary>Its file name.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>Its size; 0 where nobody says.</summary>
    public long Bytes { get; init; }

    /// <summary>Its SHA-256 as planned; empty where there is no plan.</summary>
    public string PlannedSha256 { get; init; } = string.Empty;

    /// <summary>Its SHA-256 as units were begun with it; empty where none was.</summary>
    public string BegunSha256 { get; init; } = string.Empty;

    /// <summary>How many units were begun with it.</summary>
    public int Units { get; init; }

    /// <summary>True where a unit was begun with another digest than was planned.</summary>
    public bool Differs => PlannedSha256.Length > 0 && BegunSha256.Length > 0 && !string.Equals(PlannedSha256, BegunSha256, StringComparison.OrdinalIgnoreCase);
}

/// <summary>The raw dialogue with a device, as a journal names it.</summary>
public sealed record TranscriptSummary
{
    /// <summary>The file, as the journal names it.</summary>
    public string Path { get; init; } = string.Empty;

    /// <summary>The units whose refresh it holds, as their ids print.</summary>
    public IReadOnlyList<string> Units { get; init; } = [];

    /// <summary>Its size; null where it is not there.</summary>
    public long? Bytes { get; init; }

    /// <summary>SHA-256 of its bytes when this was made; empty where it is not there.</summary>
    public string Sha256 { get; init; } = string.Empty;
}
