using System.Runtime.CompilerServices;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>The named groups of patterns, worked out once a pattern: a row asks for them on every line.</summary>
internal static class GroupNames
{
    /// <summary>The group that tells how many records a block must give; it fills no property.</summary>
    public const string Count = "Count";

    /// <summary>The group that says how a device calls the work that it began.</summary>
    public const string Job = "Job";

    /// <summary>The group that says how wide a screen is.</summary>
    public const string Width = "Width";

    private static readonly ConditionalWeakTable<Regex, NamedGroup[]> Known = new();

    // A group that is repeated. A comment may stand before the sign, and where white space is no part of the pattern that may as well.
    private static readonly Regex Repetition = new(@"\)[*+{]|#|\(\?[A-Za-z-]*x", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>The groups of a pattern that have names, in order.</summary>
    public static IEnumerable<string> Of(Regex pattern) => In(pattern).Select(group => group.Name);

    /// <summary>The same with their numbers, by which a match gives them soonest.</summary>
    public static NamedGroup[] In(Regex pattern) => pattern is HeadedPattern headed ? headed.Groups ??= Find(headed) : Known.GetValue(pattern, Find);

    private static NamedGroup[] Find(Regex pattern) => [.. pattern.GetGroupNames().Where(name => !char.IsDigit(name[0])).Select(name => Named(pattern, name))];

    /// <summary>What a group took before, where it took several texts in one match and they differ; else null.</summary>
    public static string? Earlier(Group group)
    {
        foreach (Capture capture in group.Captures)
        {
            if (!string.Equals(capture.Value.Trim(), group.Value.Trim(), StringComparison.OrdinalIgnoreCase))
            {
                return capture.Value;
            }
        }

        return null;
    }

    private static NamedGroup Named(Regex pattern, string name)
    {
        string text = pattern.ToString();
        bool mayRepeat = Repetition.IsMatch(text) || Times(text, name) > 1;
        return new NamedGroup(name, pattern.GroupNumberFromName(name), mayRepeat, name == Count);
    }

    // How often the name stands in the pattern between signs that can name a group.
    private static int Times(string text, string name)
    {
        int times = 0;
        for (int at = text.IndexOf(name, StringComparison.Ordinal); at >= 0; at = text.IndexOf(name, at + 1, StringComparison.Ordinal))
        {
            int end = at + name.Length;
            times += at > 0 && text[at - 1] is '<' or '\'' && end < text.Length && text[end] is '>' or '\'' or '-' ? 1 : 0;
        }

        return times;
    }
}

/// <summary>A group of a pattern.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Number">Its number.</param>
/// <param name="MayRepeat">False where it takes one text a match at the most, so that its captures need not be looked through.</param>
/// <param name="Counts">True for the group that tells how many records there are.</param>
internal readonly record struct NamedGroup(string Name, int Number, bool MayRepeat, bool Counts);
