using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Estate;

namespace PoeOps.Dialects;

/// <summary>How a version is spelled. Without spellings, runs of digits and letters are the parts.</summary>
public sealed record VersionRule
{
    /// <summary>The spellings, the first that fits the whole text.</summary>
    public IReadOnlyList<VersionSpelling> Spellings { get; init; } = [];

    /// <summary>How the letters of a part are ordered, where it is not that letters come before numbers and nothing counts as 0.</summary>
    public IReadOnlyDictionary<string, LetterOrder> Letters { get; init; } = new Dictionary<string, LetterOrder>(StringComparer.Ordinal);

    /// <summary>Versions from old to new, written in any spelling; checked when the dialect is tested.</summary>
    public IReadOnlyList<string> Samples { get; init; } = [];

    /// <summary>Reads a version as it was printed.</summary>
    /// <param name="text">What the device or a file says.</param>
    /// <returns>The version, or null where no spelling fits.</returns>
    /// <exception cref="RegexMatchTimeoutException">A spelling came to no end on the text.</exception>
    public ControllerVersion? Read(string? text)
    {
        ControllerVersion? version = Read(text, out Regex? slow);
        return slow is null ? version : throw new RegexMatchTimeoutException(text!, slow.ToString(), slow.MatchTimeout);
    }

    /// <summary>Reads a version as it was printed.</summary>
    /// <param name="text">What the device or a file says.</param>
    /// <param name="slow">The spelling that came to no end, or null.</param>
    internal ControllerVersion? Read(string? text, out Regex? slow)
    {
        slow = null;
        string trimmed = (text ?? string.Empty).Trim();
        if (Spellings.Count == 0)
        {
            return ControllerVersion.ParseNatural(trimmed);
        }

        var tries = new PatternTries();
        foreach (VersionSpelling spelling in Spellings)
        {
            Match? match = tries.Try(spelling.Pattern, trimmed, out PatternEnd end);
            if (end != PatternEnd.Reached)
            {
                slow = spelling.Pattern;
                return null;
            }

            if (match is not null)
            {
                string?[] parts = [.. spelling.Parts.Select(part => PartIn(match, part))];
                return Array.IndexOf(parts, null) >= 0 ? null : new ControllerVersion(parts.OfType<string>(), trimmed);
            }
        }

        return null;
    }

    private string? PartIn(Match match, string part) => Letters.TryGetValue(part, out LetterOrder? order) ? order.Rank(match.Groups[part].Value) : match.Groups[part].Value;
}

/// <summary>The order of the letters that a part of a version may be.</summary>
/// <param name="Texts">Them all from old to new; an empty text stands for none. Empty for none, and then the alphabet.</param>
public sealed record LetterOrder(IReadOnlyList<string> Texts)
{
    /// <summary>The place of a text, as a number; null where it has none.</summary>
    /// <param name="text">The text, without regard to case.</param>
    internal string? Rank(string text)
    {
        if (Texts.Count > 0)
        {
            int at = Texts.ToList().FindIndex(one => string.Equals(one, text, StringComparison.OrdinalIgnoreCase));
            return at < 0 ? null : at.ToString(CultureInfo.InvariantCulture);
        }

        // As the columns of a sheet are counted: a is 1, z is 26, aa is 27.
        long rank = 0;
        foreach (char c in text.ToLowerInvariant())
        {
            if (c is < 'a' or > 'z' || text.Length > MostLetters)
            {
                return null;
            }

            rank = (rank * 26) + (c - 'a' + 1);
        }

        return rank.ToString(CultureInfo.InvariantCulture);
    }

    private const int MostLetters = 8;
}

/// <summary>One spelling of a version.</summary>
/// <param name="Pattern">Fits the whole text; its named groups are the parts.</param>
/// <param name="Parts">The groups in order of weight, heaviest first.</param>
public sealed record VersionSpelling(Regex Pattern, IReadOnlyList<string> Parts);
