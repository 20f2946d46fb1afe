using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a dialect file that says how values are written.</summary>
internal static class ValueJson
{
    private const string UnitAsMark = "unit";

    private static readonly string[] Units = ["W", "mW", "dW", "kW", "%"];
    private static readonly string[] Wholes = ["BudgetWatts", "LimitWatts", "AllocatedWatts"];

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

        foreach (KeyValuePair<string, ValueRule> one in rules)
        {
            CheckWhole(values, one.Key, one.Value, rules);
        }

        values.Close();
        return rules;
    }

    private static ValueRule Rule(string property, JsonObjectReader rule)
    {
        ValueRule plain = RecordProperties.IsWatts(property) ? Amounts(rule) : new ValueRule();
        ValueRule result = plain with { Words = Words(property, plain, rule) };
        rule.Close();
        return result;
    }

    private static ValueRule Amounts(JsonObjectReader rule)
    {
        IReadOnlyList<JsonItem> marks = DecimalMarks(rule);
        return new ValueRule
        {
            Unit = Unit(rule),
            DecimalMarks = marks.Count == 0 ? "." : string.Concat(marks.Select(mark => mark.Text).Where(mark => mark is "." or ",")),
            UnitIsDecimalMark = marks.Any(mark => mark.Text == UnitAsMark),
            PercentOf = PercentOf(rule),
        };
    }

    // A percentage of itself, by whatever way, is of nothing that is known.
    private static void CheckWhole(JsonObjectReader values, string property, ValueRule rule, Dictionary<string, ValueRule> rules)
    {
        if (rule.Unit == "%" && rule.PercentOf is null)
        {
            values.Report(ProblemId.JsonMissingKey, property, $"{property} is a percentage, and 'percentOf' does not say of what.", $"Add 'percentOf' with {string.Join(", ", Wholes)}.");
        }

        string? whole = rule.PercentOf;
        for (int steps = 0; whole is not null && whole != property && steps < Wholes.Length; steps++)
        {
            whole = rules.TryGetValue(whole, out ValueRule? other) ? other.PercentOf : null;
        }

        if (whole is not null)
        {
            values.Report(ProblemId.JsonBadValue, property, $"{property} is a percentage of {rule.PercentOf}, and that of {property} again.", "Name a property that is printed in watts.");
        }
    }

    private static string? PercentOf(JsonObjectReader rule)
    {
        string? whole = rule.Text("percentOf");
        if (whole is not null && !Wholes.Contains(whole))
        {
            rule.Report(ProblemId.JsonBadValue, "percentOf", $"No percentage is of '{Excerpt.Of(whole)}'{Nearest.Hint(whole, Wholes)}.", $"Write one of {string.Join(", ", Wholes)}.");
        }

        return whole;
    }

    private static string? Unit(JsonObjectReader rule)
    {
        string? unit = rule.Text("unit");
        if (unit is not null && !Units.Contains(unit))
        {
            rule.Report(ProblemId.JsonBadValue, "unit", $"'{Excerpt.Of(unit)}' is no unit of power{Nearest.Hint(unit, Units)}.", "Write W, mW, dW (tenths of a watt), kW or %.");
        }

        return unit;
    }

    private static IReadOnlyList<JsonItem> DecimalMarks(JsonObjectReader rule)
    {
        IReadOnlyList<JsonItem> marks = rule.TextItems("decimalMark");
        foreach (JsonItem mark in marks.Where(mark => mark.Text is not "." and not "," and not UnitAsMark))
        {
            mark.Report(ProblemId.JsonBadValue, $"'{Excerpt.Of(mark.Text)}' is no decimal mark.", "Write a full stop, a comma, 'unit' for a unit in its place, or several in a list.");
        }

        return marks;
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
