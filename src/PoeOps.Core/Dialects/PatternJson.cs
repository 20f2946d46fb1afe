using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Compiles the patterns of a dialect file, and reports those that cannot be or whose groups name nothing.</summary>
internal static class PatternJson
{
    /// <summary>How long a pattern may take on one line; a longer one backtracks for ever.</summary>
    public static readonly TimeSpan MatchTimeout = TimeSpan.FromMilliseconds(250);

    private const RegexOptions Options = RegexOptions.CultureInvariant | RegexOptions.Compiled;

    /// <summary>Patterns that must fit a whole line, spaces at its end aside.</summary>
    public static List<Regex> Lines(JsonObjectReader owner, string key, IReadOnlyList<string> groups, bool required = false) =>
        All(owner.TextItems(key, required), item => Line(item, groups));

    /// <summary>Patterns that are looked for anywhere in a line.</summary>
    public static List<Regex> Parts(JsonObjectReader owner, string key, bool required = false, params string[] groups) =>
        All(owner.TextItems(key, required), item => Part(item, groups));

    /// <summary>A pattern that must fit a whole line.</summary>
    /// <param name="item">The pattern.</param>
    /// <param name="groups">The named groups that it may have.</param>
    public static Regex? Line(JsonItem item, IReadOnlyList<string> groups) => Compile(item, $@"^(?:{item.Text})\s*$", groups);

    /// <summary>A pattern that is looked for anywhere in a line.</summary>
    /// <param name="item">The pattern.</param>
    /// <param name="groups">The named groups that it may have.</param>
    public static Regex? Part(JsonItem item, params string[] groups) => Compile(item, item.Text!, groups);

    /// <summary>A pattern that must fit a whole value, with groups of any name.</summary>
    public static Regex? Value(JsonItem item) => Compile(item, $"^(?:{item.Text})$", null);

    private static List<Regex> All(IReadOnlyList<JsonItem> items, Func<JsonItem, Regex?> compile)
    {
        List<Regex> patterns = [];
        foreach (JsonItem item in items)
        {
            if (compile(item) is { } pattern)
            {
                patterns.Add(pattern);
            }
        }

        return patterns;
    }

    private static Regex? Compile(JsonItem item, string pattern, IReadOnlyList<string>? groups)
    {
        try
        {
            _ = new Regex(item.Text!, RegexOptions.CultureInvariant, MatchTimeout);
            Regex compiled = new HeadedPattern(pattern, Options, MatchTimeout);
            return groups is null || GroupsAreKnown(item, compiled, groups) ? compiled : null;
        }
        catch (ArgumentException exception)
        {
            item.Report(
                ProblemId.PatternInvalid, $"The pattern '{Excerpt.Of(item.Text)}' is no regular expression: {Excerpt.Line(exception.Message).TrimEnd('.')}.",
                "Write a .NET regular expression; in JSON a backslash is written twice.");
            return null;
        }
    }

    private static bool GroupsAreKnown(JsonItem item, Regex compiled, IReadOnlyList<string> groups)
    {
        bool known = true;
        foreach (string name in GroupNames.Of(compiled).Where(name => !groups.Contains(name)))
        {
            known = false;
            string advice = groups.Count == 0 ? "No named groups are used here; write (?:...) instead." : $"The names that can be filled here are {string.Join(", ", groups)}.";
            item.Report(ProblemId.PropertyUnknown, $"The group '{name}' of the pattern '{Excerpt.Of(item.Text)}' names nothing that can be filled here{Nearest.Hint(name, groups)}.", advice);
        }

        return known;
    }
}
