using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a dialect file that says how answers are read.</summary>
internal sealed class BlockJson
{
    private static readonly Dictionary<string, RecordKind> Kinds = new(StringComparer.Ordinal)
    {
        ["switch"] = RecordKind.Switch,
        ["controller"] = RecordKind.Controller,
        ["port"] = RecordKind.Port,
    };

    /// <summary>The narrowest screen.</summary>
    public const int LeastWidth = 20;

    /// <summary>The widest.</summary>
    public const int MostWidth = 4096;

    private readonly ValueReader _values;

    /// <summary>Reads blocks.</summary>
    /// <param name="values">Reads values as the dialect says that they are written.</param>
    public BlockJson(ValueReader values) => _values = values;

    /// <summary>Reads the list <c>blocks</c>.</summary>
    public IReadOnlyList<Block> ReadAll(JsonObjectReader root)
    {
        List<Block> blocks = [];
        foreach (JsonObjectReader item in root.Objects("blocks", required: true))
        {
            Block block = Read(item);
            if (blocks.Any(other => string.Equals(other.Name, block.Name, StringComparison.OrdinalIgnoreCase)))
            {
                item.Report(ProblemId.NameTwice, "name", $"Two blocks are called '{Excerpt.Of(block.Name)}'.", "Give each block a name of its own; reports refer to it.");
            }

            blocks.Add(block);
        }

        return blocks;
    }

    /// <summary>Reads the list <c>ignore</c> of an object.</summary>
    public static IReadOnlyList<IgnoreRule> Ignores(JsonObjectReader owner)
    {
        List<IgnoreRule> rules = [];
        foreach (JsonObjectReader item in owner.Objects("ignore"))
        {
            string? name = item.Text("name", required: true);
            JsonItem? pattern = item.Item("pattern", required: true, "a pattern");
            if (pattern is { Text: null })
            {
                pattern.ReportKind("a pattern");
            }
            else if (name is not null && pattern is not null && PatternJson.Line(pattern, []) is { } compiled)
            {
                rules.Add(new IgnoreRule(name, compiled));
            }

            item.Close();
        }

        return rules;
    }

    private Block Read(JsonObjectReader item)
    {
        RecordKind kind = Kind(item);
        bool oneRecord = item.Flag("oneRecord") ?? false;
        string name = item.Text("name", required: true) ?? string.Empty;
        IReadOnlyList<string> filled = RecordProperties.Of(kind);
        JsonRule? json = JsonRuleJson.Read(item, kind);
        var block = new Block
        {
            Name = name,
            Of = kind,
            Begins = PatternJson.Lines(item, "begins", oneRecord ? filled : [.. filled, GroupNames.Count], required: !item.Has("json")),
            Ends = PatternJson.Lines(item, "ends", oneRecord ? filled : [GroupNames.Count]),
            Rows = Rows(item, kind, name),
            OneRecord = oneRecord,
            Required = Required(item, kind),
            Fixed = Fixed(item, kind),
            Ignore = Ignores(item),
            Columns = ColumnsJson.Read(item, kind),
            Header = PatternJson.Lines(item, "header", []),
            Wrap = item.Kind("wrap") == JsonKind.Flag ? null : item.Whole("wrap", least: LeastWidth, most: MostWidth),
            WrapsAtScreen = item.Kind("wrap") == JsonKind.Flag && item.Flag("wrap") == true,
            Json = json,
        };
        BlockForms.Check(item, block);
        CheckReads(item, block);
        if (item.Has("begins") && block.Begins.Count == 0)
        {
            item.Report(ProblemId.JsonBadValue, "begins", $"The block '{Excerpt.Of(name)}' has no pattern for its first line that can be used.", "Give at least one; a block that never begins reads nothing.");
        }

        item.Close();
        return block;
    }

    private static void CheckReads(JsonObjectReader item, Block block)
    {
        if (block.Json is not null || item.Has("columns"))
        {
            return;
        }

        bool oneLine = block.OneRecord && block.Begins.Concat(block.Ends).Any(pattern => GroupNames.In(pattern).Length > 0);
        if (!oneLine && (!item.Has("rows") || (item.Kind("rows") == JsonKind.List && item.Items("rows").Count == 0)))
        {
            item.Report(ProblemId.JsonMissingKey, null, $"The block '{Excerpt.Of(block.Name)}' reads nothing: it has no rows, and is no record whose first line holds all of it.", "Add 'rows', or 'oneRecord' and named groups in 'begins'.");
        }
    }

    private static RecordKind Kind(JsonObjectReader item)
    {
        string word = item.Text("of", required: true) ?? "port";
        if (Kinds.TryGetValue(word, out RecordKind kind))
        {
            return kind;
        }

        item.Report(ProblemId.JsonBadValue, "of", $"'{Excerpt.Of(word)}' is nothing that a row can tell of{Nearest.Hint(word, Kinds.Keys)}.", "Write switch, controller or port.");
        return RecordKind.Port;
    }

    private static List<RowPattern> Rows(JsonObjectReader item, RecordKind kind, string blockName)
    {
        List<RowPattern> rows = [];
        foreach (JsonItem row in item.Items("rows"))
        {
            string name = $"{blockName}, row {(rows.Count + 1).ToString(CultureInfo.InvariantCulture)}";
            if (row.Kind == JsonKind.Text)
            {
                Add(rows, name, [PatternJson.Line(row, RecordProperties.Of(kind))]);
            }
            else if (row.Object is { } named)
            {
                string own = named.Text("name") is { } given ? $"{blockName}, {given}" : name;
                Add(rows, own, [.. named.TextItems("lines", required: true).Select(line => PatternJson.Line(line, RecordProperties.Of(kind)))]);
                if (named.Kind("lines") == JsonKind.List && named.Items("lines").Count == 0)
                {
                    named.Report(ProblemId.JsonBadValue, "lines", "A row of no lines reads nothing.", "Give a pattern for each of its lines.");
                }

                named.Close();
            }
            else
            {
                row.ReportKind("a pattern, or an object with 'lines'");
            }
        }

        return rows;
    }

    // A pattern that could not be compiled has been reported; the dialect is refused for it.
    private static void Add(List<RowPattern> rows, string name, IReadOnlyList<Regex?> lines)
    {
        if (lines.Count > 0 && lines.All(line => line is not null))
        {
            rows.Add(new RowPattern(name, [.. lines.Select(line => line!)]));
        }
    }

    private static List<string> Required(JsonObjectReader item, RecordKind kind)
    {
        List<string> required = [];
        foreach (JsonItem name in item.TextItems("required"))
        {
            CheckProperty(name, name.Text!, kind);
            required.Add(name.Text!);
        }

        return required;
    }

    private Dictionary<string, string> Fixed(JsonObjectReader item, RecordKind kind)
    {
        Dictionary<string, string> values = new(StringComparer.Ordinal);
        if (item.Object("fixed") is not { } given)
        {
            return values;
        }

        foreach (string name in given.Keys)
        {
            if (given.Item(name) is { } value)
            {
                CheckProperty(value, name, kind);
                CheckValue(value, name);
                values[name] = value.Text ?? string.Empty;
            }
        }

        return values;
    }

    private void CheckValue(JsonItem item, string name)
    {
        if (item.Text is not { } text)
        {
            item.ReportKind("a text");
        }
        else if (_values.Check(name, text, out Regex? slow) is { } wrong)
        {
            item.Report(ProblemId.JsonBadValue, $"{name} is always '{Excerpt.Of(text)}' here, which {wrong}.", "Write what the property can be, or a word that 'values' gives a meaning to.");
        }
        else if (slow is not null)
        {
            item.Report(ProblemId.PatternTooSlow, $"A word of {name} did not come to an end on '{Excerpt.Of(text)}': the pattern is '{Excerpt.Of(slow.ToString())}'.", "Write the pattern so that no part can match the same text in many ways.");
        }
    }

    /// <summary>Reports a name that is no property of the kind.</summary>
    public static void CheckProperty(JsonItem item, string name, RecordKind kind)
    {
        IReadOnlyList<string> known = RecordProperties.Of(kind);
        if (!known.Contains(name))
        {
            item.Report(ProblemId.PropertyUnknown, $"'{Excerpt.Of(name)}' is no property that this block can fill{Nearest.Hint(name, known)}.", $"The properties are {string.Join(", ", known)}.");
        }
    }
}
