using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a dialect file that says how versions are spelled, and checks its samples.</summary>
internal static class VersionJson
{
    /// <summary>Adds the object <c>versions</c> to a dialect.</summary>
    public static Dialect Read(JsonObjectReader? versions, Dialect dialect)
    {
        if (versions is null)
        {
            return dialect;
        }

        Dialect result = dialect with { Firmware = Rule(versions.Object("firmware")), Release = Rule(versions.Object("release")) };
        versions.Close();
        return result;
    }

    private static VersionRule Rule(JsonObjectReader? rule)
    {
        if (rule is null)
        {
            return new VersionRule();
        }

        List<VersionSpelling> spellings = [];
        foreach (JsonObjectReader item in rule.Objects("spellings"))
        {
            if (Spelling(item) is { } spelling)
            {
                spellings.Add(spelling);
            }
        }

        IReadOnlyList<JsonItem> samples = rule.TextItems("samples");
        var result = new VersionRule { Spellings = spellings, Letters = Letters(rule, spellings), Samples = [.. samples.Select(item => item.Text!)] };
        CheckSamples(result, samples);
        rule.Close();
        return result;
    }

    private static Dictionary<string, LetterOrder> Letters(JsonObjectReader rule, List<VersionSpelling> spellings)
    {
        Dictionary<string, LetterOrder> orders = new(StringComparer.Ordinal);
        if (rule.Object("letters") is not { } given)
        {
            return orders;
        }

        string[] parts = [.. spellings.SelectMany(spelling => spelling.Parts).Distinct(StringComparer.Ordinal)];
        foreach (string part in given.Keys)
        {
            if (given.Item(part) is { } item && !parts.Contains(part))
            {
                item.Report(ProblemId.PropertyUnknown, $"'{Excerpt.Of(part)}' is no part of a spelling{Nearest.Hint(part, parts)}.", "Name a part that holds letters.");
            }
            else if (given.Kind(part) == JsonKind.Text)
            {
                orders.Add(part, new LetterOrder([]));
                if (given.Text(part) != "after")
                {
                    given.Report(ProblemId.JsonBadValue, part, $"'{Excerpt.Of(given.Text(part))}' is no order of letters.", "Write after, where letters come after nothing and in the order of the alphabet, or list them from old to new.");
                }
            }
            else
            {
                orders.Add(part, new LetterOrder(Listed(given, part)));
            }
        }

        return orders;
    }

    private static List<string> Listed(JsonObjectReader given, string part)
    {
        List<string> texts = [.. given.Texts(part)];
        if (texts.Count < 2 || texts.Distinct(StringComparer.OrdinalIgnoreCase).Count() < texts.Count)
        {
            given.Report(ProblemId.JsonBadValue, part, $"The order of '{Excerpt.Of(part)}' does not have two texts or more, each once.", "List all that the part may be from old to new; an empty text stands for none.");
        }

        return texts;
    }

    private static VersionSpelling? Spelling(JsonObjectReader item)
    {
        JsonItem? text = item.Item("pattern", required: true, "a pattern");
        IReadOnlyList<JsonItem> parts = item.TextItems("parts", required: true);
        Regex? pattern = text?.Text is null ? null : PatternJson.Value(text);
        if (text is { Text: null })
        {
            text.ReportKind("a pattern");
        }

        string[] named = pattern is null ? [] : [.. GroupNames.Of(pattern)];
        foreach (JsonItem part in parts.Where(part => pattern is not null && !named.Contains(part.Text)))
        {
            part.Report(ProblemId.PropertyUnknown, $"'{Excerpt.Of(part.Text)}' is no group of the pattern{Nearest.Hint(part.Text!, named)}.", "Name the pattern's groups in order of weight, heaviest first.");
        }

        // A part that is not weighed would let two versions count as one.
        foreach (string name in named.Where(name => parts.Count > 0 && parts.All(part => part.Text != name)))
        {
            text!.Report(ProblemId.PropertyUnknown, $"The group '{name}' of the pattern '{Excerpt.Of(text.Text)}' is none of the parts, so that two versions that differ in it alone would be one.", "Name it under 'parts' at its weight, or write (?:...) instead.");
        }

        item.Close();
        return pattern is null || parts.Count == 0 ? null : new VersionSpelling(pattern, [.. parts.Select(part => part.Text!)]);
    }

    private static ControllerVersion? Read(VersionRule rule, string text, JsonItem sample)
    {
        ControllerVersion? version = rule.Read(text, out Regex? slow);
        if (slow is not null)
        {
            sample.Report(ProblemId.PatternTooSlow, $"The spelling '{Excerpt.Of(slow.ToString())}' did not come to an end on the sample '{Excerpt.Of(text)}'.", "Write it so that no part can match the same text in many ways.");
        }
        else if (version is null)
        {
            sample.Report(ProblemId.DialectSampleFails, $"The sample '{Excerpt.Of(text)}' is no version in any spelling given.", "Correct the sample, or add its spelling.");
        }

        return version;
    }

    // Samples stand from old to new; two that stand beside each other may be the same version in two spellings only when written 'a = b'.
    private static void CheckSamples(VersionRule rule, IReadOnlyList<JsonItem> samples)
    {
        ControllerVersion? last = null;
        foreach (JsonItem sample in samples)
        {
            string[] equal = [.. sample.Text!.Split('=').Select(part => part.Trim())];
            ControllerVersion?[] read = [.. equal.Select(text => Read(rule, text, sample))];
            if (read.Any(version => version is null))
            {
                continue;
            }

            if (read.Any(version => version != read[0]))
            {
                sample.Report(ProblemId.DialectSampleFails, $"The sample '{Excerpt.Of(sample.Text)}' says that these are one version, and they are read as different ones.", "Correct the parts of the spellings.");
            }

            if (last is not null && last >= read[0])
            {
                sample.Report(ProblemId.DialectSampleFails, $"The sample '{Excerpt.Of(sample.Text)}' stands after '{last}' and is not newer.", "Order the samples from old to new, or correct the parts of the spellings.");
            }

            last = read[0];
        }
    }
}
