namespace PoeOps.Images;

/// <summary>What was found of an image, beside what the baseline says of it.</summary>
public sealed record ImageVerdict
{
    /// <summary>The image's name.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>Where it was looked for.</summary>
    public string Path { get; init; } = string.Empty;

    /// <summary>True where a file is there.</summary>
    public bool Found { get; init; }

    /// <summary>Its size in bytes; null where it is not there.</summary>
    public long? Bytes { get; init; }

    /// <summary>The size that the baseline says.</summary>
    public long ExpectedBytes { get; init; }

    /// <summary>Its SHA-256, 64 lower-case hexadecimal digits; null where it was not worth working out.</summary>
    public string? Sha256 { get; init; }

    /// <summary>The SHA-256 that the baseline says.</summary>
    public string ExpectedSha256 { get; init; } = string.Empty;

    /// <summary>True where it is the approved image, whole.</summary>
    public bool Good => Problem is null;

    /// <summary>The verdict in a sentence.</summary>
    public string Reason { get; init; } = string.Empty;

    /// <summary>What is wrong, or null.</summary>
    public Problem? Problem { get; init; }
}
