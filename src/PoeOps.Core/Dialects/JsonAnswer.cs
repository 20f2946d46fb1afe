using System.Globalization;
using Newtonsoft.Json.Linq;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads one answer that is JSON: every value of it fills a property, is ignored by a path, or is reported.</summary>
internal sealed class JsonAnswer
{
    /// <summary>The longest answer that is read, in characters.</summary>
    public const int Longest = 4 * 1024 * 1024;

    private readonly Dialect _dialect;
    private readonly RowReader _rows;
    private readonly LineProblems _problems;
    private readonly IReadOnlyList<CaptureLine> _lines;
    private readonly JsonLineNote[] _notes;
    private readonly JToken _root;
    private bool _known;

    private JsonAnswer(Dialect dialect, RowReader rows, LineProblems problems, IReadOnlyList<CaptureLine> lines, JToken root)
    {
        _dialect = dialect;
        _rows = rows;
        _problems = problems;
        _lines = lines;
        _root = root;
        _notes = [.. lines.Select(_ => new JsonLineNote())];
    }

    /// <summary>Reads an answer.</summary>
    /// <param name="dialect">The dialect, whose blocks of JSON are all asked.</param>
    /// <param name="rows">Where rows are added.</param>
    /// <param name="problems">Where problems are told.</param>
    /// <param name="lines">All lines from the first bracket to its match.</param>
    /// <param name="isBlanked">Lines that stand between them and are none of the answer.</param>
    /// <param name="known">True where a block finds its rows in it, or it cannot be read: then it is none of another family.</param>
    /// <returns>What each line was read as; null where the text is no JSON, which has been told.</returns>
    public static IReadOnlyList<JsonLineNote>? Read(Dialect dialect, RowReader rows, LineProblems problems, IReadOnlyList<CaptureLine> lines, Func<int, bool> isBlanked, out bool known)
    {
        List<Problem> found = [];
        string text = string.Join("\n", lines.Select((line, at) => isBlanked(at) ? string.Empty : line.Text));
        JToken? root = StrictJson.Parse(text, lines[0].Source, found, line => lines[Math.Min(line, lines.Count) - 1].Number);
        if (root is null || found.Count > 0)
        {
            // Of two values under one key nobody can say which holds.
            problems.JsonSpoilt(found, lines[0]);
            known = true;
            return null;
        }

        var answer = new JsonAnswer(dialect, rows, problems, lines, root);
        IReadOnlyList<JsonLineNote> notes = answer.Read();
        known = answer._known;
        return notes;
    }

    private JsonLineNote[] Read()
    {
        foreach (Block block in _dialect.Blocks.Where(block => block.Json is not null))
        {
            ReadBlock(block, block.Json!);
        }

        if (!_known)
        {
            foreach (JsonLineNote note in _notes)
            {
                note.IsUnread = true;
            }

            _problems.JsonUnread(_lines[0], "No block of the dialect finds its rows in the JSON that begins here.", "Correct the path 'rows' of the block that should; or the device answered something else.");
            return _notes;
        }

        TellUnread();
        return _notes;
    }

    private void ReadBlock(Block block, JsonRule rule)
    {
        foreach (JsonPath path in rule.Ignore)
        {
            foreach (JToken token in path.In(_root, _root))
            {
                Ignore(token, $"{block.Name}, {path.Text}");
            }
        }

        var open = new OpenBlock(block, _lines[0]);
        foreach (JToken[] levels in Levels(block, rule, 0, []))
        {
            ReadRow(open, rule, levels);
        }
    }

    // The rows of the innermost level, each with the rows that it stands in.
    private IEnumerable<JToken[]> Levels(Block block, JsonRule rule, int level, JToken[] above)
    {
        JToken row = level == 0 ? _root : above[level - 1];
        foreach (JToken whole in rule.Rows[level].Whole?.In(_root, row) ?? [])
        {
            // An empty list says that there is none, which is an answer as well.
            if (!whole.HasValues && (whole is JContainer || whole.Type == JTokenType.Null))
            {
                _known = true;
                Take(whole, $"{block.Name}, row");
            }
        }

        foreach (JToken found in rule.Rows[level].In(_root, row))
        {
            _known = true;
            JToken[] levels = [.. above, found];
            if (found.Type == JTokenType.Null)
            {
                // Nothing stands there; that the row lacks what it must have is told as of any other.
                Take(found, $"{block.Name}, row");
            }

            if (level == rule.Rows.Count - 1)
            {
                yield return levels;
                continue;
            }

            // What it hands down is accounted for, also where there is nothing beneath it.
            foreach (JToken value in rule.Fields.Where(field => field.Level == level).SelectMany(field => field.Path.In(_root, found)).Where(value => value is JValue))
            {
                Take(value, $"{block.Name}, row");
            }

            foreach (JToken[] below in Levels(block, rule, level + 1, levels))
            {
                yield return below;
            }
        }
    }

    private void ReadRow(OpenBlock open, JsonRule rule, JToken[] levels)
    {
        string name = $"{open.Block.Name}, row";
        CaptureLine rowLine = LineOf(levels[levels.Length - 1]);
        var texts = new GatheredTexts();
        bool whole = true;
        foreach (JsonField field in rule.Fields)
        {
            JToken row = levels[field.Level];
            if (field.MemberName)
            {
                if (row.Parent is JProperty member)
                {
                    texts.Put(field.Property, member.Name, LineOf(row));
                    NoteOf(row).Add(name, $"{field.Property}={member.Name}");
                }
            }
            else
            {
                whole &= ReadField(open, field, row, rowLine, texts);
            }
        }

        NoteOf(levels[levels.Length - 1]).Add(name, null);
        if (whole && _rows.Add(open, open.Texts.HandedDownTo(texts), rowLine) is { } record)
        {
            NoteOf(levels[levels.Length - 1]).Add(record);
        }
    }

    private bool ReadField(OpenBlock open, JsonField field, JToken row, CaptureLine rowLine, GatheredTexts texts)
    {
        JToken[] found = [.. field.Path.In(_root, row).Take(2)];
        if (found.Length == 0)
        {
            if (field.Path.NothingOnTheWay(_root, row) is { } nothing)
            {
                Take(nothing, $"{open.Block.Name}, row");
            }

            // A member that is missing where its object is there is no sign of anything.
            if (field.Otherwise is { } otherwise && !field.Path.HasHolder(_root, row))
            {
                texts.Put(field.Property, otherwise, rowLine);
            }

            return true;
        }

        if (found.Length > 1 || found[0] is not JValue value)
        {
            foreach (JToken token in found)
            {
                Take(token, $"{open.Block.Name}, row");
            }

            string what = found.Length > 1 ? "more than one value" : found[0] is JArray ? "a list" : "an object";
            _problems.JsonNoValue(field, what, found.Length > 1 ? rowLine : LineOf(found[0]), open.Unit ?? texts["Unit"]?.Trim());
            return false;
        }

        string text = TextOf(value);
        Take(value, $"{open.Block.Name}, row");
        NoteOf(value).Add($"{open.Block.Name}, row", text.Length == 0 ? null : $"{field.Property}={text.Trim()}");
        texts.Put(field.Property, text, LineOf(value));
        return true;
    }

    private static string TextOf(JValue value) => value.Value switch
    {
        null => string.Empty,
        bool flag => flag ? "true" : "false",
        IFormattable number => number.ToString(null, CultureInfo.InvariantCulture),
        object text => ConsoleText.Clean(text.ToString()!),
    };

    private void Take(JToken token, string rule)
    {
        foreach (JToken one in AllOf(token))
        {
            JsonLeftover.Account(one);
            NoteOf(one).Add(rule, null);
        }
    }

    private void Ignore(JToken token, string rule)
    {
        foreach (JToken one in AllOf(token))
        {
            JsonLeftover.Account(one);
            NoteOf(one).Ignore(rule);
        }
    }

    private void TellUnread()
    {
        foreach (JsonLeftover one in JsonLeftover.In(_root, token => NoteOf(token).IsUnread = true))
        {
            string times = one.Count == 1 ? string.Empty : $", nor {(one.Count - 1).ToString(CultureInfo.InvariantCulture)} more like it";
            string shown = one.First.Type == JTokenType.Null ? "null" : one.First is JValue value ? $"'{Excerpt.Of(TextOf(value))}'" : one.First is JArray ? "an empty list" : "an empty object";
            _problems.JsonUnread(LineOf(one.First), $"No path of the dialect reads {Excerpt.Of(one.Path)}, which is {shown} here{times}.", "Add it to the 'fields' of a block, or to the 'ignore' of its 'json'.");
        }
    }

    private static IEnumerable<JToken> AllOf(JToken token) => token is JContainer container ? container.DescendantsAndSelf() : [token];

    private CaptureLine LineOf(JToken token) => _lines[IndexOf(token)];

    private JsonLineNote NoteOf(JToken token) => _notes[IndexOf(token)];

    private int IndexOf(JToken token) => Math.Min(_lines.Count, Math.Max(1, JsonItem.LineOf(token))) - 1;
}
