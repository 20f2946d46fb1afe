using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a dialect file that says how values are written.</summary>
internal static class ValueJson
{
    private static readonly string[] Units = ["W", "mW", "dW", "kW"];

    /// <summary>Reads the object <c>values</c>.</summary>
    public static IReadOnlyDictionary<string, ValueRule> Read(JsonObjectReader? values)
    {
        Dictionary<string, ValueRule> rules = new(StringComparer.Ordinal);
        if (values is null)
        {
            return rules;
        }

        foreach (string name in RecordProperties.All)
        {
            if (values.Object(name) is { } rule)
            {
                rules.Add(name, Rule(name, rule));
            }
        }

        values.Close();
        return rules;
    }

    private static ValueRule Rule(string property, JsonObjectReader rule)
    {
        ValueRule plain = RecordProperties.IsWatts(property) ? new ValueRule { Unit = Unit(rule), DecimalMarks = DecimalMarks(rule) } : new ValueRule();
        ValueRule result = plain with { Words = Words(property, plain, rule) };
        rule.Close();
        return result;
    }

    private static string? Unit(JsonObjectReader rule)
    {
        string? unit = rule.Text("unit");
        if (unit is not null && !Units.Contains(unit))
        {
            rule.Report(ProblemId.JsonBadValue, "unit", $"'{Excerpt.Of(unit)}' is no unit of power{Nearest.Hint(unit, Units)}.", "Write W, mW, dW (tenths of a watt) or kW.");
        }

        return unit;
    }

    private static string DecimalMarks(JsonObjectReader rule)
    {
        IReadOnlyList<JsonItem> marks = rule.TextItems("decimalMark");
        foreach (JsonItem mark in marks.Where(mark => mark.Text is not "." and not ","))
        {
            mark.Report(ProblemId.JsonBadValue, $"'{Excerpt.Of(mark.Text)}' is no decimal mark.", "Write a full stop or a comma, or both in a list.");
        }

        return marks.Count == 0 ? "." : string.Concat(marks.Select(mark => mark.Text));
    }

    private static List<WordRule> Words(string property, ValueRule plain, JsonObjectReader rule)
    {
        List<WordRule> words = [];
        if (rule.Object("words") is not { } map)
        {
            return words;
        }

        foreach (string key in map.Keys)
        {
            if (map.Item(key) is not { } means)
            {
                continue;
            }

            if (means.Text is null)
            {
                means.ReportKind("a text");
            }
            else if (ValueReader.Meaning(property, means.Text, plain, translated: true, out _) is { } wrong)
            {
                means.Report(ProblemId.JsonBadValue, $"The word '{Excerpt.Of(key)}' means {property} '{Excerpt.Of(means.Text)}', which {wrong}.", "Write what the property can be, or an empty text for nothing.");
            }
            else if (Compile(means, key) is { } pattern)
            {
                words.Add(new WordRule(pattern, means.Text));
            }
        }

        return words;
    }

    private static Regex? Compile(JsonItem place, string pattern)
    {
        try
        {
            _ = new Regex(pattern, RegexOptions.CultureInvariant, PatternJson.MatchTimeout);
            return new Regex($"^(?:{pattern})$", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase | RegexOptions.Compiled, PatternJson.MatchTimeout);
        }
        catch (ArgumentException exception)
        {
            place.Report(
                ProblemId.PatternInvalid, $"The pattern '{Excerpt.Of(pattern)}' is no regular expression: {Excerpt.Line(exception.Message).TrimEnd('.')}.",
                "Write a .NET regular expression; in JSON a backslash is written twice.");
            return null;
        }
    }
}
