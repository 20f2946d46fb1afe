using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>A pattern that knows what its matches can begin with.</summary>
internal sealed class HeadedPattern : Regex
{
    private readonly FirstCharacters? _first;

    /// <summary>Compiles a pattern.</summary>
    /// <exception cref="ArgumentException">It is none.</exception>
    public HeadedPattern(string pattern, RegexOptions options, TimeSpan timeout)
        : base(pattern, options, timeout) => _first = FirstCharacters.Of(pattern, options);

    /// <summary>Its named groups, once they have been worked out.</summary>
    public NamedGroup[]? Groups { get; set; }

    /// <summary>False where the pattern cannot fit a text, without trying it.</summary>
    public bool MayFit(string text) => _first?.MayBegin(text) ?? true;
}
