using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Finds lines that ask for a key, framed by signs, as a device prints them where a long answer stops.</summary>
internal static class DraftPagers
{
    private const int Widest = 80;
    private const int Most = 4;

    private static readonly Regex Words = new(@"\b(more|next|space|press|continue|any key|page|quit)\b", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase, OwnPattern.Longest);

    /// <summary>Finds the pagers, and sets their lines apart.</summary>
    public static IReadOnlyList<DraftPatternGuess> Find(IReadOnlyList<DraftLine> lines)
    {
        var found = lines.Where(line => !line.Apart && IsLikely(line.Text.Trim())).GroupBy(line => line.Text.Trim(), StringComparer.Ordinal)
            .OrderByDescending(one => one.Count()).Take(Most).ToList();
        foreach (DraftLine line in found.SelectMany(one => one))
        {
            line.Apart = true;
            line.Pager = true;
        }

        return [.. found.Select(one => new DraftPatternGuess(DraftPattern.Exact(one.Key), FormattableString.Invariant($"lines that ask for a key so: {one.Count()}"), one.First()))];
    }

    private static bool IsLikely(string text) =>
        text.Length is > 4 and <= Widest && !char.IsLetterOrDigit(text[0]) && !char.IsLetterOrDigit(text[text.Length - 1]) && text[0] != '"' && Words.IsMatch(text);
}
