using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Devices;

/// <summary>Something new about a refresh, before a family puts it into its words.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Stage">The stage it is about.</param>
internal sealed record RefreshNews(RefreshNewsKind Kind, Stage Stage)
{
    /// <summary>How much of the stage is done, 0 to 100.</summary>
    public int Percent { get; init; }

    /// <summary>What the controller is said to run now; only for a success.</summary>
    public string Firmware { get; init; } = string.Empty;

    /// <summary>Why it failed; null elsewhere.</summary>
    public RefreshFailure? Failure { get; init; }
}

/// <summary>Kinds of news.</summary>
internal enum RefreshNewsKind
{
    /// <summary>A stage began.</summary>
    Began,
    /// <summary>A stage got further.</summary>
    Progress,
    /// <summary>A stage ended.</summary>
    Ended,
    /// <summary>All is done, as the device says.</summary>
    Succeeded,
    /// <summary>It failed; the old firmware runs on.</summary>
    Failed,
}

/// <summary>Why a unit does not take an image.</summary>
internal enum RefreshFailure
{
    /// <summary>The file server refused the transfer.</summary>
    ServerRefused,
    /// <summary>The file server has no such file.</summary>
    FileNotFound,
    /// <summary>The file server stopped answering, or never did.</summary>
    ServerSilent,
    /// <summary>What came has no image header.</summary>
    NotAnImage,
    /// <summary>The image is for another family of controllers.</summary>
    WrongFamily,
    /// <summary>The image is for other hardware models.</summary>
    WrongModel,
    /// <summary>The controller runs something too old to take the image.</summary>
    FirmwareTooOld,
    /// <summary>The payload has another size than the header says.</summary>
    WrongSize,
    /// <summary>The payload has another digest than the header says.</summary>
    WrongDigest,
}
