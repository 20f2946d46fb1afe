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
    private readonly ValueReader _values;

    /// <summary>Reads rows into a set of records.</summary>
    public RowReader(Dialect dialect, RecordSet records, IList<Problem> problems)
    {
        _dialect = dialect;
        _records = records;
        _problems = problems;
        _values = new ValueReader(dialect);
    }

    /// <summary>Adds a row.</summary>
    /// <param name="block">The block that it stands in.</param>
    /// <param name="texts">Property names and what stood there.</param>
    /// <param name="line">The line that problems name.</param>
    /// <returns>The record that it filled, for a report; or null where it is left out.</returns>
    public string? Add(Block block, IReadOnlyDictionary<string, string> texts, CaptureLine line)
    {
        string? unit = texts.TryGetValue("Unit", out string? named) ? named.Trim() : null;
        Dictionary<string, string?> values = new(StringComparer.Ordinal);
        int before = _problems.Count;
        foreach (KeyValuePair<string, string> text in texts)
        {
            ReadValue(text.Key, text.Value, values, unit, line);
        }

        TakePortNameApart(values, unit, line);
        CheckKeys(block, values, unit, line);
        if (_problems.Count > before)
        {
            return null;
        }

        if (_records.Add(block.Of, values, line.Source, line.Number) is { } contradiction)
        {
            _problems.Add(contradiction);
        }

        return Label(block.Of, values);
    }

    /// <summary>What a line filled, for a report.</summary>
    public static string Fields(Regex pattern, Match match)
    {
        var fields = new Dictionary<string, string>(StringComparer.Ordinal);
        OpenRow.Copy(pattern, match, fields);
        return string.Join("; ", fields.Select(field => $"{field.Key}={field.Value.Trim()}"));
    }

    private void ReadValue(string property, string text, Dictionary<string, string?> values, string? unit, CaptureLine line)
    {
        string? wrong;
        string? value;
        try
        {
            wrong = _values.Read(property, text, out value);
        }
        catch (RegexMatchTimeoutException exception)
        {
            Report(ProblemId.PatternTooSlow, $"A word of {property} did not come to an end on '{Excerpt.Of(text)}': the pattern is '{Excerpt.Of(exception.Pattern)}'.", "Write the pattern so that no part can match the same text in many ways.", unit, line);
            return;
        }

        if (wrong is not null)
        {
            Report(ProblemId.ValueUnreadable, $"{property} '{Excerpt.Of(text)}' {wrong}.", "Say under 'values' of the dialect how it is written.", unit, line);
        }

        values[property] = value;
        if (property == "Condition")
        {
            values["ConditionText"] = text.Trim();
        }
    }

    private void TakePortNameApart(Dictionary<string, string?> values, string? unit, CaptureLine line)
    {
        if (!values.TryGetValue("PortName", out string? name) || name is null)
        {
            return;
        }

        values.Remove("PortName");
        foreach (Regex pattern in _dialect.PortNames)
        {
            if (CaptureReader.Try(pattern, name, out _) is { } match)
            {
                values["Port"] = match.Groups["Port"].Value;
                if (match.Groups["Unit"].Success)
                {
                    values["Unit"] = match.Groups["Unit"].Value;
                }

                return;
            }
        }

        Report(ProblemId.ValueUnreadable, $"The port's name '{Excerpt.Of(name)}' fits none of the dialect's portNames.", "Add a pattern for it.", unit, line);
    }

    private void CheckKeys(Block block, Dictionary<string, string?> values, string? unit, CaptureLine line)
    {
        foreach (string property in RecordProperties.Keys(block.Of).Concat(block.Required).Distinct(StringComparer.Ordinal))
        {
            if (property != "PortName" && (!values.TryGetValue(property, out string? value) || value is null))
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
