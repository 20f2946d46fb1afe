namespace PoeOps.Images;

/// <summary>What was found of an image, beside what the baseline says of it.</summary>
public sealed record ImageVerdict
{
    /// <summary>The image's name.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>Where it was looked for: a path, or an address on a server.</summary>
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

    /// <summary>The family that the baseline says; empty where it does not.</summary>
    public string Family { get; init; } = string.Empty;

    /// <summary>The family that the image's own header says; null where it has no header that can be read.</summary>
    public string? HeaderFamily { get; init; }

    /// <summary>The version that the image's own header says; null where it has no header that can be read.</summary>
    public string? HeaderVersion { get; init; }

    /// <summary>The version that the image's name says; null where none can be read from it.</summary>
    public string? NameVersion { get; init; }

    /// <summary>The firmware that the baseline has it for, in each spelling; empty where the baseline does not name it.</summary>
    public string ApprovedFirmware { get; init; } = string.Empty;

    /// <summary>The hardware models that the baseline has it for, with commas between.</summary>
    public string Models { get; init; } = string.Empty;

    /// <summary>Octets in a block, as agreed with the TFTP server, or as asked about; null where nobody says.</summary>
    public int? BlockSize { get; init; }

    /// <summary>True where it is the approved image, whole.</summary>
    public bool Good => Problem is null;

    /// <summary>The verdict in a sentence.</summary>
    public string Reason { get; init; } = string.Empty;

    /// <summary>What is wrong, or null.</summary>
    public Problem? Problem { get; init; }

    /// <summary>
    /// What looks wrong of an image that may be right all the same: another version in its name or header
    /// (<see cref="ProblemId.ImageVersionDiffers"/>), or too many blocks for a server that does not start again at 0 (<see cref="ProblemId.ImageNeedsWrap"/>).
    /// </summary>
    public IReadOnlyList<Problem> Warnings { get; init; } = [];
}
