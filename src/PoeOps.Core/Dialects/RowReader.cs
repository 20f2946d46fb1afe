using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Turns the texts of a row into a record, whole or not at all.</summary>
internal sealed class RowReader
{
    private readonly Dialect _dialect;
    private readonly RecordSet _records;
    private readonly IList<Problem> _problems;
    private readonly PatternTries _tries;
    private readonly ValueReader _values;

    /// <summary>Reads rows into a set of records.</summary>
    public RowReader(Dialect dialect, RecordSet records, IList<Problem> problems, PatternTries tries)
    {
        _dialect = dialect;
        _records = records;
        _problems = problems;
        _tries = tries;
        _values = new ValueReader(dialect, tries);
    }

    /// <summary>Adds a row, or the one record of a block.</summary>
    /// <param name="open">The block that it stands in.</param>
    /// <param name="texts">Property names and what stood there.</param>
    /// <param name="line">The line that problems name where they are about no property.</param>
    /// <returns>The record that it filled, for a report; or null where it is left out.</returns>
    public string? Add(OpenBlock open, GatheredTexts texts, CaptureLine line)
    {
        Block block = open.Block;
        int before = _problems.Count;
        Dictionary<string, string> plain = texts.Values.ToDictionary(text => text.Key, text => text.Value, StringComparer.Ordinal);
        TakePortNameApart(plain, texts.LineOf("PortName", line));
        if (_problems.Count > before)
        {
            return null;
        }

        string? unit = plain.TryGetValue("Unit", out string? named) ? named.Trim() : null;
        CheckAgreement(texts, unit, line);
        Dictionary<string, string?> values = new(StringComparer.Ordinal);
        HashSet<string> unreadable = new(StringComparer.Ordinal);
        foreach (KeyValuePair<string, string> text in plain)
        {
            if (!ReadValue(text.Key, text.Value, values, unit, texts.LineOf(text.Key, line)))
            {
                unreadable.Add(text.Key);
            }
        }

        CheckKeys(block, values, unreadable, unit, line);
        if (_problems.Count > before)
        {
            return null;
        }

        if (_records.Add(block.Of, values, line, open) is { } contradiction)
        {
            _problems.Add(contradiction);
        }

        return Label(block.Of, values);
    }

    /// <summary>What a line filled, for a report.</summary>
    public static string Fields(Regex pattern, Match match) =>
        string.Join("; ", GatheredTexts.Of(pattern, match).Select(field => $"{field.Key}={field.Value.Trim()}"));

    private void CheckAgreement(GatheredTexts texts, string? unit, CaptureLine line)
    {
        if (texts.Disagreeing is { } property)
        {
            Report(
                ProblemId.ReadingsDisagree, $"{property} is '{Excerpt.Of(texts.Values[property].Trim())}' here, and an earlier line of the same record says otherwise.",
                "Ask the device again; where it really prints both, correct the dialect.", unit, texts.LineOf(property, line));
        }
    }

    private bool ReadValue(string property, string text, Dictionary<string, string?> values, string? unit, CaptureLine line)
    {
        string? wrong = _values.Read(property, text, out string? value, out Regex? slow);
        if (slow is not null)
        {
            TooSlow($"A word of {property}", slow, text, unit, line);
        }
        else if (wrong is not null)
        {
            Report(ProblemId.ValueUnreadable, $"{property} '{Excerpt.Of(text)}' {wrong}.", "Say under 'values' of the dialect how it is written and what its words mean.", unit, line);
        }

        values[property] = value;
        if (property == "Condition")
        {
            values["ConditionText"] = text.Trim();
        }

        return slow is null && wrong is null;
    }

    private void TakePortNameApart(Dictionary<string, string> texts, CaptureLine line)
    {
        if (!texts.TryGetValue("PortName", out string? raw))
        {
            return;
        }

        texts.Remove("PortName");
        string name = raw.Trim();
        string? unit = texts.TryGetValue("Unit", out string? named) ? named.Trim() : null;
        foreach (Regex pattern in _dialect.PortNames)
        {
            Match? match = _tries.Try(pattern, name, out PatternEnd end);
            if (end != PatternEnd.Reached)
            {
                TooSlow("A pattern of portNames", pattern, name, unit, line);
                return;
            }

            if (match is not null)
            {
                Name(texts, "Port", match, name, line);
                Name(texts, "Unit", match, name, line);
                return;
            }
        }

        Report(ProblemId.ValueUnreadable, $"The port's name '{Excerpt.Of(name)}' fits none of the dialect's portNames.", "Add a pattern for it.", unit, line);
    }

    // A name that says another unit than the row or its header does: one of them is misread, and nobody can say which.
    private void Name(Dictionary<string, string> texts, string property, Match match, string name, CaptureLine line)
    {
        if (!match.Groups[property].Success)
        {
            return;
        }

        string part = match.Groups[property].Value;
        if (texts.TryGetValue(property, out string? other) && !string.Equals(other.Trim(), part, StringComparison.OrdinalIgnoreCase))
        {
            Report(
                ProblemId.ReadingsDisagree, $"The port's name '{Excerpt.Of(name)}' says {property} '{Excerpt.Of(part)}', and '{Excerpt.Of(other.Trim())}' stands beside it.",
                "Ask the device again; where it really prints both, correct the dialect.", null, line);
        }

        texts[property] = part;
    }

    private void TooSlow(string what, Regex pattern, string text, string? unit, CaptureLine line) =>
        Report(
            ProblemId.PatternTooSlow, $"{what} did not come to an end on '{Excerpt.Of(text)}': the pattern is '{Excerpt.Of(pattern.ToString())}'.",
            "Write the pattern so that no part can match the same text in many ways.", unit, line);

    private void CheckKeys(Block block, Dictionary<string, string?> values, HashSet<string> unreadable, string? unit, CaptureLine line)
    {
        foreach (string property in RecordProperties.Keys(block.Of).Concat(block.Required).Distinct(StringComparer.Ordinal))
        {
            if (property != "PortName" && !unreadable.Contains(property) && (!values.TryGetValue(property, out string? value) || value is null))
            {
                Report(ProblemId.RowIncomplete, $"The row of '{block.Name}' has no {property}.", "A row without it is left out; read the device again, or correct the dialect.", unit, line);
            }
        }

        foreach (string property in RecordProperties.Keys(block.Of))
        {
            if (values.TryGetValue(property, out string? name) && name is not null && NameParts.Check(name, slashAllowed: property == "Port") is { } wrong)
            {
                Report(ProblemId.ValueUnreadable, $"{property} '{Excerpt.Of(name)}' cannot be a name: {wrong}.", "Correct the pattern that reads it.", unit, line);
            }
        }
    }

    private void Report(ProblemId id, string sentence, string advice, string? unit, CaptureLine line) =>
        _problems.Add(new Problem(id, sentence, advice) { File = line.Source, Line = line.Number, Text = Excerpt.Of(line.Text), Target = unit });

    private static string Label(RecordKind kind, Dictionary<string, string?> values) => kind switch
    {
        RecordKind.Switch => "switch",
        RecordKind.Controller => $"controller {values["Unit"]}",
        _ => $"port {values["Unit"]}/{values["Port"]}",
    };
}
