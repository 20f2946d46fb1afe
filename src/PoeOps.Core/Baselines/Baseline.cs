namespace PoeOps.Baselines;

/// <summary>Which firmware is approved for which hardware and software release. Made by <see cref="BaselineFile"/>.</summary>
public sealed record Baseline
{
    /// <summary>The baseline's name.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The file that it was read from, as it was named.</summary>
    public string SourcePath { get; init; } = string.Empty;

    /// <summary>The entries, in the order of the file.</summary>
    public IReadOnlyList<BaselineEntry> Entries { get; init; } = [];

    /// <summary>Every image that an entry or a hop names, each once.</summary>
    public IReadOnlyList<ImageSpec> Images => [.. ImageUses.Select(use => use.Image)];

    /// <summary>Every image with what it brings and to which models, each image once.</summary>
    public IReadOnlyList<ImageUse> ImageUses =>
        [.. Entries.SelectMany(entry => entry.Hops.Select(hop => (hop.Image, hop.Firmware, entry.Model)).Append((entry.Image, entry.Firmware, entry.Model)))
            .GroupBy(use => use.Image, (image, uses) => new ImageUse(image, [.. uses.Select(use => use.Firmware).Distinct()], [.. uses.Select(use => use.Model).Distinct(StringComparer.OrdinalIgnoreCase)]))];
}

/// <summary>The approved firmware of one hardware model on a range of software releases.</summary>
public sealed record BaselineEntry
{
    /// <summary>The hardware model of the unit, compared without regard to case.</summary>
    public string Model { get; init; } = string.Empty;

    /// <summary>The first software release that it holds for, or null for no lower bound.</summary>
    public string? ReleaseFrom { get; init; }

    /// <summary>The first software release that it no longer holds for, or null for no upper bound.</summary>
    public string? ReleaseBefore { get; init; }

    /// <summary>The approved firmware, in any spelling that the dialect knows.</summary>
    public string Firmware { get; init; } = string.Empty;

    /// <summary>The image that brings it.</summary>
    public ImageSpec Image { get; init; } = new(string.Empty, 0, string.Empty, string.Empty);

    /// <summary>How long the stages take; <see cref="StageTimes.None"/> where the baseline does not say.</summary>
    public StageTimes Times { get; init; } = StageTimes.None;

    /// <summary>Images that an old controller needs on the way, oldest first.</summary>
    public IReadOnlyList<HopRule> Hops { get; init; } = [];

    /// <summary>The line in the file on which it begins.</summary>
    public int Line { get; init; }
}

/// <summary>An image on the way: a controller older than <see cref="Below"/> gets it first.</summary>
public sealed record HopRule
{
    /// <summary>Controllers older than this need the hop.</summary>
    public string Below { get; init; } = string.Empty;

    /// <summary>The firmware that the hop brings.</summary>
    public string Firmware { get; init; } = string.Empty;

    /// <summary>The image that brings it.</summary>
    public ImageSpec Image { get; init; } = new(string.Empty, 0, string.Empty, string.Empty);

    /// <summary>How long the stages take: the hop's own times, else the entry's.</summary>
    public StageTimes Times { get; init; } = StageTimes.None;
}

/// <summary>One image that a controller has to be given.</summary>
/// <param name="Firmware">The firmware that it brings.</param>
/// <param name="Image">The file.</param>
/// <param name="Times">How long the stages take.</param>
public sealed record Hop(string Firmware, ImageSpec Image, StageTimes Times);

/// <summary>What an image file must be.</summary>
/// <param name="File">The plain name of the file, as the unit asks the file server for it.</param>
/// <param name="Bytes">Its size.</param>
/// <param name="Sha256">Its SHA-256 digest, 64 hexadecimal digits in lower case.</param>
/// <param name="Family">The family of devices that it is for; empty where nobody says.</param>
public sealed record ImageSpec(string File, long Bytes, string Sha256, string Family)
{
    /// <summary>What stands in every image of the family at one place; null where nobody says.</summary>
    public HeaderMark? Mark { get; init; }
}

/// <summary>Octets by which the images of a family are known.</summary>
/// <param name="Offset">Where they stand, in octets from the image's beginning.</param>
/// <param name="Hex">The octets, two lower-case hexadecimal digits each.</param>
public sealed record HeaderMark(int Offset, string Hex);

/// <summary>An image with what the baseline has it for.</summary>
/// <param name="Image">The file.</param>
/// <param name="Firmware">The firmware that it brings, as each entry or hop spells it; empty where nobody says.</param>
/// <param name="Models">The hardware models that get it; empty where nobody says.</param>
public sealed record ImageUse(ImageSpec Image, IReadOnlyList<string> Firmware, IReadOnlyList<string> Models);
