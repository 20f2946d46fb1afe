using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a block of a dialect file that says where its rows stand in JSON.</summary>
internal static class JsonRuleJson
{
    private const int MostLevels = 8;

    /// <summary>Reads the object <c>json</c>, or gives null where it is not there.</summary>
    public static JsonRule? Read(JsonObjectReader block, RecordKind kind)
    {
        if (block.Object("json") is not { } given)
        {
            return null;
        }

        List<JsonPath> rows = Paths(given, "rows", required: true, at => at == 0);
        if (rows.Count > MostLevels || (given.Has("rows") && given.Kind("rows") == JsonKind.List && given.Items("rows").Count == 0))
        {
            given.Report(ProblemId.JsonBadValue, "rows", $"The rows have {rows.Count.ToString(CultureInfo.InvariantCulture)} levels.", $"Give one path, or a list of up to {MostLevels.ToString(CultureInfo.InvariantCulture)}.");
        }

        // A path that cannot be used still is a level, so that one mistake is told once.
        int levels = Math.Max(1, given.Kind("rows") == JsonKind.List ? given.Items("rows").Count : 1);
        var rule = new JsonRule { Rows = rows, Fields = Fields(given, kind, levels), Ignore = Paths(given, "ignore", required: false, _ => true) };
        given.Close();
        return rule;
    }

    // Which of them begin at the root is said by where they stand.
    private static List<JsonPath> Paths(JsonObjectReader given, string key, bool required, Func<int, bool> fromRoot)
    {
        List<JsonPath> paths = [];
        int at = 0;
        foreach (JsonItem item in given.TextItems(key, required))
        {
            bool root = fromRoot(at++);
            if (Path(item) is { } path)
            {
                if (path.FromRoot != root)
                {
                    item.Report(
                        ProblemId.JsonBadValue, $"The path '{Excerpt.Of(path.Text)}' {(path.FromRoot ? "begins at the root, and the level above hands its row down" : "does not begin at the root")}.",
                        path.FromRoot ? "Write it without $, from the row of the level above." : "Begin it with $.");
                }

                paths.Add(path);
            }
        }

        return paths;
    }

    private static JsonPath? Path(JsonItem item)
    {
        JsonPath? path = JsonPath.Parse(item.Text!);
        if (path is null)
        {
            item.Report(
                ProblemId.PatternInvalid, $"'{Excerpt.Of(item.Text)}' is no path that is taken here.",
                "Begin with $ (the root) or a member, and go on with .name, ['any name'], [0], [*] or .*; filters, scripts, slices and '..' are refused.");
        }

        return path;
    }

    private static List<JsonField> Fields(JsonObjectReader json, RecordKind kind, int levels)
    {
        List<JsonField> fields = [];
        if (json.Object("fields", required: true) is not { } given)
        {
            return fields;
        }

        foreach (string property in given.Keys)
        {
            if (given.Item(property) is not { } item)
            {
                continue;
            }

            BlockJson.CheckProperty(item, property, kind);
            if (item.Object is null && item.Text is null)
            {
                item.ReportKind("a path, or an object with 'path' and 'level'");
            }
            else if ((item.Object is { } named ? Field(property, named, levels) : Path(item) is { } path ? new JsonField(property, path, levels - 1, false) : null) is { } field)
            {
                fields.Add(field);
            }
        }

        if (given.Keys.Count == 0)
        {
            json.Report(ProblemId.JsonBadValue, "fields", "No path fills a property.", "Give at least one property a path.");
        }

        return fields;
    }

    private static JsonField? Field(string property, JsonObjectReader given, int levels)
    {
        int level = given.Whole("level", least: 1, most: Math.Max(1, levels)) ?? levels;
        bool memberName = given.Flag("memberName") ?? false;
        string? otherwise = given.Text("otherwise");
        JsonPath? path = JsonPath.Parse("@");
        if (memberName && given.Has("path"))
        {
            given.Report(ProblemId.JsonBadValue, "path", "The name of a row's member is no value that a path finds.", "Remove 'path' or 'memberName'.");
        }
        else if (!memberName && given.Text("path", required: true) is not null)
        {
            path = Path(given.Item("path")!);
        }

        given.Has("path");
        given.Close();
        return path is null ? null : new JsonField(property, path, Math.Max(0, level - 1), memberName, otherwise);
    }
}
