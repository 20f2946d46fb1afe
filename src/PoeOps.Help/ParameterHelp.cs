namespace PoeOps.Help;

/// <summary>What Get-Help says of a parameter.</summary>
internal sealed record ParameterHelp
{
    /// <summary>The name, without the hyphen.</summary>
    public required string Name { get; init; }

    /// <summary>The type as PowerShell shows it.</summary>
    public required string TypeName { get; init; }

    /// <summary>The texts, a paragraph each.</summary>
    public required IReadOnlyList<string> Text { get; init; }

    /// <summary>Other names.</summary>
    public IReadOnlyList<string> Aliases { get; init; } = [];

    /// <summary>What holds where it is not given; null where that is nothing.</summary>
    public string? DefaultValue { get; init; }

    /// <summary>The words that it takes; none where it takes any.</summary>
    public IReadOnlyList<string> Values { get; init; } = [];

    /// <summary>True where it takes no value.</summary>
    public bool IsSwitch { get; init; }

    /// <summary>Where it stands in each set; one of <see cref="ParameterPlace.AllSets"/> stands for every set.</summary>
    public required IReadOnlyList<ParameterPlace> Places { get; init; }

    /// <summary>True where names with wildcards are taken: its text says so.</summary>
    public bool TakesWildcards => Text.Any(text => text.Contains("wildcards are allowed", StringComparison.OrdinalIgnoreCase));

    /// <summary>Where it stands in a set, or null where it is not in it.</summary>
    public ParameterPlace? In(string set) => Places.FirstOrDefault(place => place.Set == set) ?? Places.FirstOrDefault(place => place.Set == ParameterPlace.AllSets);
}

/// <summary>Where a parameter stands in a set.</summary>
/// <param name="Set">The set.</param>
/// <param name="IsMandatory">True where it must be given.</param>
/// <param name="Position">Its place on a line without names; null where it wants its name.</param>
/// <param name="ByValue">True where it takes whole objects from the pipeline.</param>
/// <param name="ByName">True where it takes the property of its name from objects of the pipeline.</param>
internal sealed record ParameterPlace(string Set, bool IsMandatory, int? Position, bool ByValue, bool ByName)
{
    /// <summary>What PowerShell calls being in every set.</summary>
    public const string AllSets = "__AllParameterSets";

    /// <summary>How Get-Help says what is taken from the pipeline.</summary>
    public string Pipeline => (ByValue, ByName) switch
    {
        (true, true) => "true (ByValue, ByPropertyName)",
        (true, false) => "true (ByValue)",
        (false, true) => "true (ByPropertyName)",
        _ => "false",
    };

    /// <summary>How Get-Help says where it stands.</summary>
    public string PositionText => Position is { } position ? FormattableString.Invariant($"{position}") : "named";
}
