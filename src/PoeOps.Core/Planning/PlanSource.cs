namespace PoeOps.Planning;

/// <summary>A file that a plan was made from, and digests by which it is told later what of it changed.</summary>
public sealed record PlanSource
{
    /// <summary>The file.</summary>
    public string Path { get; init; } = string.Empty;

    /// <summary>SHA-256 of its bytes.</summary>
    public string Sha256 { get; init; } = string.Empty;

    /// <summary>The first 16 digits of the SHA-256 of each part, by what the part is, such as <c>switch 'quay-1'</c>; in the order of the file.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Parts { get; init; } = [];
}
