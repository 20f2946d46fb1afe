namespace PoeOps.Dialects;

/// <summary>How a block finds its rows in an answer that is JSON.</summary>
public sealed record JsonRule
{
    /// <summary>The path of the rows, one a level: the first from the root, each other from what the one before found.</summary>
    public IReadOnlyList<JsonPath> Rows { get; init; } = [];

    /// <summary>What fills each property.</summary>
    public IReadOnlyList<JsonField> Fields { get; init; } = [];

    /// <summary>Values that carry nothing, each with all that is in it; from the root.</summary>
    public IReadOnlyList<JsonPath> Ignore { get; init; } = [];
}

/// <summary>Where in a row of JSON a property is found.</summary>
/// <param name="Property">The property that it fills.</param>
/// <param name="Path">The path, from the row of its level, or from the root where it begins with a dollar sign.</param>
/// <param name="Level">The level of the row, as an index of <see cref="JsonRule.Rows"/>.</param>
/// <param name="MemberName">True to take the name of the member that the row of that level stands in, not a value of it.</param>
/// <param name="Otherwise">The text that stands for it where the object that would hold it is not there; null where nothing does.</param>
public sealed record JsonField(string Property, JsonPath Path, int Level, bool MemberName, string? Otherwise = null);
