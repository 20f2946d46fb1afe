using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Names in braces that stand for values in a command, such as <c>{Unit}</c>.</summary>
internal static class Placeholders
{
    private const int LongestCommand = 1000;

    private static readonly Regex Braced = new(@"\{([A-Za-z]+)\}", RegexOptions.CultureInvariant, OwnPattern.Longest);

    // Not any word in braces: a pattern may have \p{Lu}.
    private static readonly HashSet<string> Names = new(StringComparer.OrdinalIgnoreCase)
    {
        "{Unit}", "{Port}", "{User}", "{Password}", "{ElevationPassword}", "{Protocol}", "{Server}", "{ServerPort}", "{File}", "{Job}",
    };

    private static readonly Regex Escaped = new(@"\\\{[A-Za-z]+}", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>The first placeholder in a pattern, where it would stand for nothing; null where there is none.</summary>
    public static string? In(string? pattern) => pattern is null ? null : Braced.Matches(pattern).Cast<Match>().Select(match => match.Value).FirstOrDefault(Names.Contains);

    /// <summary>The pattern of a command, with whatever stands in the place of its placeholders.</summary>
    public static string Pattern(string command) => Escaped.Replace(Regex.Escape(command.Trim()), @"\S+");

    /// <summary>A pattern that fits any of some commands whole, with whatever stands in the place of their placeholders.</summary>
    public static Regex Shape(IEnumerable<string> commands) =>
        new($@"\A(?:{string.Join("|", commands.Select(Whole))})\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    // No value has a space in it, so that what stands behind a placeholder is best found where it comes first; to try every other place as well
    // would take for ever with several placeholders.
    private static string Whole(string command)
    {
        string[] between = Escaped.Split(Regex.Escape(command.Trim()));
        IEnumerable<string> pieces = between.Skip(1).Select((text, i) => i == between.Length - 2 ? @"\S+?" + text : $@"(?>\S+?{text})");
        return between[0] + string.Concat(pieces);
    }

    /// <summary>True where a text is one of those commands; one that is longer than any command is none.</summary>
    public static bool Fits(Regex shape, string text) => text.Length <= LongestCommand && shape.IsMatch(text);

    /// <summary>Reports placeholders of a text that stand for nothing there.</summary>
    public static void Check(JsonObjectReader owner, string key, string text, IReadOnlyList<string> known)
    {
        foreach (Match match in Braced.Matches(text))
        {
            if (!known.Contains(match.Value))
            {
                string advice = known.Count == 0 ? "No placeholder is filled here." : $"The placeholders that are filled here are {string.Join(" ", known)}.";
                owner.Report(ProblemId.PropertyUnknown, key, $"'{match.Value}' in '{Excerpt.Of(text)}' stands for nothing here{Nearest.Hint(match.Value, known)}.", advice);
            }
        }
    }
}
