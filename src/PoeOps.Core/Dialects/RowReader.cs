using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Turns the texts of a row into a record, whole or not at all.</summary>
internal sealed class RowReader
{
    private const string Again = "Ask the device again; where it really prints both, correct the dialect.";

    private readonly Dialect _dialect;
    private readonly RecordSet _records;
    private readonly IList<Problem> _problems;
    private readonly PatternTries _tries;
    private readonly ValueReader _values;

    // Filled anew for every row, of which there may be a million.
    private readonly List<ReadValue> _row = new(16);

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
    /// <param name="texts">Property names and what stood there; a port's full name is taken apart in it.</param>
    /// <param name="line">The line that problems name where they are about no property.</param>
    /// <returns>The record that it filled; or null where it is left out.</returns>
    public ReadRecord? Add(OpenBlock open, GatheredTexts texts, CaptureLine line)
    {
        int before = _problems.Count;
        TakePortNameApart(texts, line);
        if (_problems.Count > before)
        {
            return null;
        }

        string? unit = texts["Unit"]?.Trim();
        CheckAgreement(texts, unit, line);
        List<ReadValue> values = _row;
        values.Clear();
        HashSet<string>? unreadable = null;
        for (int i = 0; i < texts.All.Count; i++)
        {
            GatheredText text = texts.All[i];
            if (!ReadValue(text.Property, text.Text, values, unit, text.Line ?? line))
            {
                (unreadable ??= new(StringComparer.Ordinal)).Add(text.Property);
            }
        }

        CheckKeys(open, values, unreadable, unit, line);
        if (_problems.Count > before)
        {
            return null;
        }

        ReadRecord record = _records.Add(open.Block.Of, values, open, out Problem? contradiction);
        if (contradiction is not null)
        {
            _problems.Add(contradiction);
        }

        return record;
    }

    /// <summary>The value of a property, or null.</summary>
    public static string? ValueOf(IReadOnlyList<ReadValue> values, string property)
    {
        for (int i = 0; i < values.Count; i++)
        {
            if (string.Equals(values[i].Property, property, StringComparison.Ordinal))
            {
                return values[i].Value;
            }
        }

        return null;
    }

    /// <summary>What a line filled, for a report.</summary>
    public static string Fields(Regex pattern, Match match) =>
        string.Join("; ", GroupNames.Of(pattern).Where(name => match.Groups[name].Success).Select(name => $"{name}={match.Groups[name].Value.Trim()}"));

    private void CheckAgreement(GatheredTexts texts, string? unit, CaptureLine line)
    {
        if (texts.Disagreeing is { } two)
        {
            CaptureLine here = two.Here.Line ?? line;
            Report(
                ProblemId.ReadingsDisagree,
                $"{two.Here.Property} is '{Excerpt.Of(two.Here.Text.Trim())}' here and '{Excerpt.Of(two.Earlier.Text.Trim())}' {(two.Earlier.Line ?? line).SeenFrom(here)}, in one record.",
                Again, unit, here);
        }
    }

    private bool ReadValue(string property, string text, List<ReadValue> values, string? unit, CaptureLine line)
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

        values.Add(new(property, value, line));
        if (property == "Condition")
        {
            values.Add(new("ConditionText", PlainText.Of(text.Trim()), line));
        }

        return slow is null && wrong is null;
    }

    private void TakePortNameApart(GatheredTexts texts, CaptureLine otherwise)
    {
        if (texts["PortName"] is not { } raw)
        {
            return;
        }

        CaptureLine line = texts.LineOf("PortName", otherwise);
        texts.Remove("PortName");
        string name = raw.Trim();
        for (int i = 0; i < _dialect.PortNames.Count; i++)
        {
            Regex pattern = _dialect.PortNames[i];
            Match? match = _tries.Try(pattern, name, out PatternEnd end);
            if (end != PatternEnd.Reached)
            {
                TooSlow("A pattern of portNames", pattern, name, texts["Unit"]?.Trim(), line);
                return;
            }

            if (match is not null)
            {
                foreach (NamedGroup part in GroupNames.In(pattern))
                {
                    Name(texts, part, match, name, line);
                }

                return;
            }
        }

        Report(ProblemId.ValueUnreadable, $"The port's name '{Excerpt.Of(name)}' fits none of the dialect's portNames.", "Add a pattern for it.", texts["Unit"]?.Trim(), line);
    }

    // A name that says another unit than the row or its header does: one of them is misread, and nobody can say which.
    private void Name(GatheredTexts texts, NamedGroup part, Match match, string name, CaptureLine line)
    {
        (string property, Group group) = (part.Name, match.Groups[part.Number]);
        if (!group.Success)
        {
            return;
        }

        if (part.MayRepeat && GroupNames.Earlier(group) is { } earlier)
        {
            Report(
                ProblemId.ReadingsDisagree, $"The port's name '{Excerpt.Of(name)}' says {property} '{Excerpt.Of(group.Value)}' and '{Excerpt.Of(earlier)}'.",
                "Correct the pattern that takes it apart.", texts["Unit"]?.Trim(), line);
        }

        if (texts[property] is { } other && !IsSame(property, other.Trim(), group.Value))
        {
            Report(
                ProblemId.ReadingsDisagree, $"The port's name '{Excerpt.Of(name)}' says {property} '{Excerpt.Of(group.Value)}', and '{Excerpt.Of(other.Trim())}' stands beside it.",
                Again, null, line);
        }

        texts.Put(property, group.Value, line);
    }

    // A unit that is 2 in one place and B in another is one where a word says so.
    private bool IsSame(string property, string one, string other) =>
        string.Equals(one, other, StringComparison.OrdinalIgnoreCase)
        || (_values.Read(property, one, out string? first, out Regex? slow) is null && slow is null && _values.Read(property, other, out string? second, out slow) is null && slow is null
            && first is not null && string.Equals(first, second, StringComparison.OrdinalIgnoreCase));

    private void TooSlow(string what, Regex pattern, string text, string? unit, CaptureLine line) =>
        Report(
            ProblemId.PatternTooSlow, $"{what} did not come to an end on '{Excerpt.Of(text)}': the pattern is '{Excerpt.Of(pattern.ToString())}'.",
            "Write the pattern so that no part can match the same text in many ways.", unit, line);

    private void CheckKeys(OpenBlock open, List<ReadValue> values, HashSet<string>? unreadable, string? unit, CaptureLine line)
    {
        for (int i = 0; i < open.Needed.Count; i++)
        {
            string property = open.Needed[i];
            if (ValueOf(values, property) is null && unreadable?.Contains(property) != true)
            {
                Report(ProblemId.RowIncomplete, $"The row of '{open.Block.Name}' has no {property}.", "A row without it is left out; read the device again, or correct the dialect.", unit, line);
            }
        }

        IReadOnlyList<string> keys = RecordProperties.Keys(open.Block.Of);
        for (int i = 0; i < keys.Count; i++)
        {
            string property = keys[i];
            if (ValueOf(values, property) is { } name && NameParts.Check(name, slashAllowed: property == "Port") is { } wrong)
            {
                Report(ProblemId.ValueUnreadable, $"{property} '{Excerpt.Of(name)}' cannot be a name: {wrong}.", "Correct the pattern that reads it.", unit, line);
            }
        }
    }

    private void Report(ProblemId id, string sentence, string advice, string? unit, CaptureLine line) =>
        _problems.Add(new Problem(id, sentence, advice) { File = line.Source, Line = line.FileLine, Text = Excerpt.Of(line.Text), Target = unit });
}
