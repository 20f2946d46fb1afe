using System.Management.Automation;

namespace PoeOps.Cmdlets;

/// <summary>Names with wildcards, as given on the line; none fits everything.</summary>
internal sealed class NamePatterns
{
    private readonly string[] _names;
    private readonly WildcardPattern[] _patterns;

    private NamePatterns(string[] names)
    {
        _names = names;
        _patterns = [.. names.Select(Pattern)];
    }

    /// <summary>Takes the names of a parameter.</summary>
    public static NamePatterns Of(string[] names) => new(names);

    /// <summary>True when one of them fits, or when there are none.</summary>
    public bool Fits(string name) => _patterns.Length == 0 || _patterns.Any(pattern => pattern.IsMatch(name));

    /// <summary>Those of the names that fit none of what there is.</summary>
    public IEnumerable<string> Fitless(IReadOnlyCollection<string> known) => _names.Where((_, i) => !known.Any(_patterns[i].IsMatch));

    /// <summary>The names for a sentence.</summary>
    public string Describe(string what) => _names.Length == 0 ? $"any {what}" : $"{what} {string.Join(", ", _names.Select(name => $"'{name}'"))}";

    // A name such as quay[1 is no pattern, and stands for itself.
    private static WildcardPattern Pattern(string name)
    {
        var pattern = WildcardPattern.Get(name, WildcardOptions.IgnoreCase);
        try
        {
            _ = pattern.IsMatch(name);
            return pattern;
        }
        catch (WildcardPatternException)
        {
            return WildcardPattern.Get(WildcardPattern.Escape(name), WildcardOptions.IgnoreCase);
        }
    }
}
