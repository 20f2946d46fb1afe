using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>A line that holds a name and a value: <c>name : value</c>, <c>name ..... value</c> or <c>name = value</c>.</summary>
/// <param name="Indent">How many blanks stand before the name.</param>
/// <param name="Name">The name.</param>
/// <param name="Sign">What stands between, as a pattern.</param>
/// <param name="Value">The value; may be empty.</param>
internal sealed record DraftPair(int Indent, string Name, string Sign, string Value)
{
    private static readonly Regex Shape = new(
        @"^(?<indent> *)(?<name>[A-Za-z][A-Za-z0-9 _/()-]{0,39}?)(?:(?<dots> *\.{2,}:? +)|(?<colon> *:(?: +|$))|(?<equals> *= *))(?<value>.*)$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture, OwnPattern.Longest);

    /// <summary>Takes a line apart; null where it is no such line.</summary>
    public static DraftPair? Of(string text)
    {
        if (text.Length == 0 || text.IndexOfAny([':', '=', '.']) < 0 || Shape.Match(text) is not { Success: true } match)
        {
            return null;
        }

        string sign = match.Groups["dots"].Success ? @" *\.{2,}:? *" : match.Groups["colon"].Success ? " *: *" : " *= *";
        string value = match.Groups["value"].Value;
        return value.Length > 0 && value[0] == '=' ? null : new DraftPair(match.Groups["indent"].Length, match.Groups["name"].Value.Trim(), sign, value.Trim());
    }

    /// <summary>The pattern of the line, with what it fills.</summary>
    public static string Pattern(int indent, string name, string sign, string? property) =>
        new string(' ', indent) + DraftPattern.Exact(name) + sign + DraftPattern.Group(property, ".*");
}
