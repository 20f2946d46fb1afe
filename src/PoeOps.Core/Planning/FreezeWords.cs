using PoeOps.Calendar;

namespace PoeOps.Planning;

/// <summary>Names the freezes that drop windows.</summary>
internal static class FreezeWords
{
    private const int MostNamed = 3;

    /// <summary>The freezes with their reasons, each once, the first first; where there are many, how many more.</summary>
    /// <param name="frozen">Openings that a freeze drops, in order.</param>
    public static string Of(IEnumerable<Window> frozen)
    {
        string[] freezes = [.. frozen.Select(window => window.Freeze!).Distinct(StringComparer.Ordinal)];
        string more = freezes.Length > MostNamed ? FormattableString.Invariant($" and {freezes.Length - MostNamed} more") : string.Empty;
        return string.Join(", ", freezes.Take(MostNamed)) + more;
    }
}
