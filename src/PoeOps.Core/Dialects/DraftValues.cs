using System.Text.RegularExpressions;
using Newtonsoft.Json;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Guesses how values are written, and takes away what could not be read so.</summary>
internal sealed class DraftValues
{
    private static readonly string[] Worded = ["AdminEnabled", "Status", "Priority", "Condition"];
    private static readonly string[] Nothing = ["n/a", "none", "--"];
    private static readonly Regex Comma = new(@"^\d+,\d", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex Stop = new(@"^\d+\.\d", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private static readonly (Regex Test, string Pattern)[] Shapes =
    [
        (Whole(@"\d+:\d+"), @"(?<Unit>\d+):(?<Port>\d+)"), (Whole(@"\d+/\d+"), @"(?<Unit>\d+)/(?<Port>\d+)"), (Whole(@"\d+-\d+"), @"(?<Unit>\d+)-(?<Port>\d+)"),
        (Whole(@"\w+\.\d+"), @"(?<Unit>\w+)\.(?<Port>\d+)"), (Whole(@"[A-Z]\d+"), @"(?<Unit>[A-Z])(?<Port>\d+)"),
    ];

    private readonly IReadOnlyList<DraftBlock> _blocks;
    private readonly SortedDictionary<string, (string Json, string Why)> _rules = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _portNames = new(StringComparer.Ordinal);

    private DraftValues(IReadOnlyList<DraftBlock> blocks) => _blocks = blocks;

    /// <summary>What stands under <c>values</c>, per property, and what it rests on.</summary>
    public IEnumerable<(string Property, string Json, string Why)> Rules => _rules.Select(one => (one.Key, one.Value.Json, one.Value.Why));

    /// <summary>What stands under <c>portNames</c>, each with an example.</summary>
    public IReadOnlyDictionary<string, string> PortNames => _portNames;

    /// <summary>Settles what the fields of all blocks fill.</summary>
    public static DraftValues Settle(IReadOnlyList<DraftBlock> blocks)
    {
        DraftValues values = new(blocks);
        values.NamePorts();
        values.AgreeOnUnits();
        foreach (IGrouping<string, DraftField> fields in values.Fields().GroupBy(field => field.Property!, StringComparer.Ordinal).ToList())
        {
            values.Guess(fields.Key, [.. fields]);
        }

        values.DropUnreadable();
        foreach (DraftBlock block in blocks)
        {
            block.Settle();
        }

        return values;
    }

    private static Regex Whole(string pattern) => new($"^(?:{pattern})$", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private IEnumerable<DraftField> Fields() => _blocks.SelectMany(block => block.Fields).Where(field => field.Property is not null);

    private void NamePorts()
    {
        foreach (DraftField field in Fields().Where(field => field.Property == "Port" && !field.Values.All(value => value.All(char.IsDigit))).ToList())
        {
            string? pattern = Shapes.FirstOrDefault(shape => field.Values.All(value => shape.Test.IsMatch(value))).Pattern;
            field.Property = pattern is null ? "Port" : "PortName";
            if (pattern is not null && !_portNames.ContainsKey(pattern))
            {
                _portNames.Add(pattern, field.Values.First());
            }
        }
    }

    // A number has one unit where the dialect names it: a column that says another is left to the user.
    private void AgreeOnUnits()
    {
        foreach (IGrouping<string, DraftField> fields in Fields().Where(field => field.Unit is not null).GroupBy(field => field.Property!, StringComparer.Ordinal).ToList())
        {
            foreach (DraftField other in fields.Where(field => field.Unit != fields.First().Unit).ToList())
            {
                other.Drop($"its unit {DraftWords.UnitIn(other.Name)} is not the {fields.First().Unit} of '{fields.First().Name}', and values names one for both");
            }
        }
    }

    private void Guess(string property, DraftField[] fields)
    {
        string[] seen = [.. fields.SelectMany(field => field.Values).Where(value => value.Length > 0).Distinct(StringComparer.OrdinalIgnoreCase)];
        List<string> parts = [];
        List<string> why = [];
        if (fields.Select(field => field.Unit).FirstOrDefault(unit => unit is not null) is { } unit)
        {
            parts.Add($"\"unit\": \"{unit}\"");
            why.Add($"the header '{fields.First(field => field.Unit is not null).Name}' names the unit");
        }

        if (RecordProperties.IsWatts(property) && seen.FirstOrDefault(value => Comma.IsMatch(value)) is { } comma)
        {
            parts.Add(seen.Any(value => Stop.IsMatch(value)) ? "\"decimalMark\": [\".\", \",\"]" : "\"decimalMark\": \",\"");
            why.Add($"a value is '{comma}'");
        }

        (string Word, string Means)[] words = [.. seen.Select(value => (Word: value, Means: Meaning(property, value))).Where(one => one.Means is not null).Select(one => (one.Word, one.Means!))];
        if (words.Length > 0)
        {
            parts.Add($"\"words\": {{ {string.Join(", ", words.Select(word => $"{JsonConvert.ToString(PlainText.Of(DraftPattern.Exact(word.Word)))}: \"{word.Means}\""))} }}");
            why.Add($"the words {string.Join(", ", words.Select(word => $"'{word.Word}'"))} stand there");
        }

        if (parts.Count > 0)
        {
            _rules[property] = ($"{{ {string.Join(", ", parts)} }}", string.Join(" and ", why));
        }
    }

    private static string? Meaning(string property, string value) =>
        Worded.Contains(property) ? DraftWords.Meaning(property, value)
        : (property == "PdClass" || RecordProperties.IsWatts(property)) && Nothing.Contains(value, StringComparer.OrdinalIgnoreCase) ? string.Empty
        : null;

    private void DropUnreadable()
    {
        string json = $"{{ \"name\": \"a\", \"console\": {{ \"prompts\": [\"a\"] }}, \"blocks\": [], \"values\": {{ {string.Join(", ", _rules.Select(one => $"\"{one.Key}\": {one.Value.Json}"))} }} }}";
        Dialect dialect = DialectFile.Parse(json, "draft").Dialect ?? new Dialect();
        ValueReader reader = new(dialect, new PatternTries());
        foreach (DraftField field in Fields().ToList())
        {
            string property = field.Property!;
            (string Value, string? Wrong) unread = field.Values.Select(value => (value, reader.Read(property, value, out _, out _))).FirstOrDefault(one => one.Item2 is not null);
            if (unread.Wrong is not null)
            {
                field.Drop($"it could fill {property}, but '{unread.Value}' {unread.Wrong}");
            }
        }
    }
}
