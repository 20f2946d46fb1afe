using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>A dialect as it was read, or null with the problems that stand in the way.</summary>
/// <param name="Dialect">The dialect, or null where the file has a mistake.</param>
/// <param name="Problems">Every mistake of the file.</param>
public sealed record DialectResult(Dialect? Dialect, IReadOnlyList<Problem> Problems);

/// <summary>Reads dialect files (<c>*.dialect.json</c>). Every mistake is told, each with its line and path.</summary>
public static class DialectFile
{
    /// <summary>Reads a file, laid over the one that it extends, where it does.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <param name="places">Files and folders in which a dialect that it extends by name is looked for, after its own folder; null for no others.</param>
    public static DialectResult Read(string path, IReadOnlyList<string>? places = null)
    {
        List<Problem> problems = [];
        JsonObjectReader? root = new DialectBase(places ?? [], problems).Open(path);
        return root is null ? new DialectResult(null, problems) : Finish(root, path, problems);
    }

    /// <summary>Reads a text.</summary>
    /// <param name="text">The whole text.</param>
    /// <param name="name">What problems call it.</param>
    public static DialectResult Parse(string text, string name)
    {
        List<Problem> problems = [];
        JsonObjectReader? root = JsonObjectReader.Parse(text, name, problems, controls: true);
        return root is null ? new DialectResult(null, problems) : Finish(root, name, problems);
    }

    private static DialectResult Finish(JsonObjectReader root, string path, List<Problem> problems)
    {
        Dialect dialect = Build(root, path);
        return new DialectResult(problems.Count == 0 ? dialect : null, problems);
    }

    private static Dialect Build(JsonObjectReader root, string path)
    {
        string? name = root.Text("name", required: true);
        if (name is not null && string.IsNullOrWhiteSpace(name))
        {
            root.Report(ProblemId.JsonBadValue, "name", "The name of the dialect is empty.", "Give the family a name; the estate refers to it.");
        }

        IReadOnlyDictionary<string, ValueRule> values = ValueJson.Read(root.Object("values"));
        IReadOnlyList<string> blanks = root.Has("blanks") ? ["", .. root.Texts("blanks")] : ["", "-"];
        var dialect = new Dialect
        {
            Name = name ?? string.Empty,
            Extends = root.Text("extends") ?? string.Empty,
            Title = root.Text("title") ?? string.Empty,
            SourcePath = path,
            Encoding = EncodingName(root),
            Console = ConsoleJson.Read(root.Object("console", required: true)),
            Asks = AskJson.Read(root.Object("ask")),
            Blocks = new BlockJson(new ValueReader(new Dialect { Values = values, Blanks = blanks }, new PatternTries())).ReadAll(root),
            Ignore = BlockJson.Ignores(root),
            Values = values,
            Blanks = blanks,
            PortNames = PortNames(root),
            Refresh = RefreshJson.Read(root.Object("refresh")),
            Samples = SampleJson.Read(root),
        };
        if (dialect.Console.Width.Count == 0 && dialect.Blocks.FirstOrDefault(block => block.WrapsAtScreen) is { } wrapped)
        {
            root.Report(ProblemId.JsonMissingKey, "blocks", $"The block '{Excerpt.Of(wrapped.Name)}' is broken at the width of the screen, and nothing says how wide it is.", "Add 'width' to 'console', or write the width as 'wrap'.");
        }

        dialect = VersionJson.Read(root.Object("versions"), dialect);
        root.Close();
        return dialect;
    }

    private static List<System.Text.RegularExpressions.Regex> PortNames(JsonObjectReader root)
    {
        List<System.Text.RegularExpressions.Regex> patterns = [];
        foreach (JsonItem item in root.TextItems("portNames"))
        {
            if (PatternJson.Value(item) is { } pattern)
            {
                patterns.Add(pattern);
                string[] named = [.. GroupNames.Of(pattern)];
                if (!named.Contains("Port") || named.Any(name => name is not "Port" and not "Unit"))
                {
                    item.Report(
                        ProblemId.PropertyUnknown, $"A pattern of portNames takes a port's full name apart, and '{Excerpt.Of(item.Text)}' has the groups '{string.Join("', '", named)}'.",
                        "Give it the group Port, and Unit where the name holds it.");
                }
            }
        }

        return patterns;
    }

    private static string EncodingName(JsonObjectReader root)
    {
        string name = root.Text("encoding") ?? DialectEncoding.Usual;
        if (DialectEncoding.Check(name) is { } wrong)
        {
            root.Report(wrong.Id, "encoding", wrong.Sentence, wrong.Advice);
        }

        return name;
    }
}
