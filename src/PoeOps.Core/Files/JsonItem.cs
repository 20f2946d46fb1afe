using System.Globalization;
using Newtonsoft.Json;
using Newtonsoft.Json.Linq;

namespace PoeOps.Files;

/// <summary>What a JSON value is.</summary>
public enum JsonKind
{
    /// <summary>There is no such key.</summary>
    Missing,
    /// <summary>The word null.</summary>
    Null,
    /// <summary>A text in double quotes.</summary>
    Text,
    /// <summary>A number.</summary>
    Number,
    /// <summary>True or false.</summary>
    Flag,
    /// <summary>An object, in braces.</summary>
    Object,
    /// <summary>A list, in brackets.</summary>
    List,
}

/// <summary>One value of a JSON text, with its place, for lists and keys that may hold values of more than one kind.</summary>
public sealed class JsonItem
{
    private readonly JToken _token;
    private readonly IList<Problem> _problems;

    internal JsonItem(JToken token, string file, IList<Problem> problems)
    {
        _token = token;
        _problems = problems;
        File = token.Annotation<JsonPlace>()?.File ?? file;
        Object = token is JObject value ? new JsonObjectReader(value, file, problems) : null;
    }

    /// <summary>The file, as the user named it.</summary>
    public string File { get; }

    /// <summary>The place in the file, such as <c>blocks[0].rows[2]</c>.</summary>
    public string Path => PathOf(_token);

    /// <summary>The line in the file; the first is 1.</summary>
    public int Line => LineOf(_token);

    /// <summary>What it is.</summary>
    public JsonKind Kind => KindOf(_token);

    /// <summary>The text where it is one, else null.</summary>
    public string? Text => Kind == JsonKind.Text ? (string?)_token : null;

    /// <summary>The number where it is one, else null.</summary>
    public decimal? Number => Kind == JsonKind.Number ? Convert(((JValue)_token).Value!) : null;

    /// <summary>The flag where it is one, else null.</summary>
    public bool? Flag => Kind == JsonKind.Flag ? (bool?)_token : null;

    /// <summary>The object where it is one, always the same reader; else null.</summary>
    public JsonObjectReader? Object { get; }

    /// <summary>The items where it is a list, else none.</summary>
    public IReadOnlyList<JsonItem> Items() => _token is JArray list ? [.. list.Select(item => new JsonItem(item, File, _problems))] : [];

    /// <summary>What it is, in words for a sentence, such as <c>the number 5</c>.</summary>
    public string InWords() => Kind switch
    {
        JsonKind.Null => "null",
        JsonKind.Text => $"the text '{Excerpt.Of(Text)}'",
        JsonKind.Number => "the number " + Number!.Value.ToString(CultureInfo.InvariantCulture),
        JsonKind.Flag => Flag == true ? "true" : "false",
        JsonKind.Object => "an object",
        _ => "a list",
    };

    /// <summary>Adds a problem with the line and path of this value.</summary>
    /// <param name="id">The kind of problem.</param>
    /// <param name="sentence">What is wrong; ends with a full stop.</param>
    /// <param name="advice">What to do; ends with a full stop.</param>
    public void Report(ProblemId id, string sentence, string advice) =>
        _problems.Add(new Problem(id, sentence, advice) { File = File, Line = Line, Path = Path });

    /// <summary>Adds the problem that another kind of value was expected here.</summary>
    /// <param name="expected">What was expected, such as <c>a text</c>.</param>
    public void ReportKind(string expected) =>
        Report(ProblemId.JsonWrongType, $"Found {InWords()} where {expected} was expected.", $"Write {expected} there.");

    internal static string PathOf(JToken token) => token.Annotation<JsonPlace>()?.Path ?? token.Path;

    internal static int LineOf(JToken token) => token is IJsonLineInfo info && info.HasLineInfo() ? info.LineNumber : 1;

    private static JsonKind KindOf(JToken token) => token.Type switch
    {
        JTokenType.Null => JsonKind.Null,
        JTokenType.String => JsonKind.Text,
        JTokenType.Integer or JTokenType.Float => JsonKind.Number,
        JTokenType.Boolean => JsonKind.Flag,
        JTokenType.Object => JsonKind.Object,
        _ => JsonKind.List,
    };

    // The reader has made sure that a decimal can hold it.
    private static decimal Convert(object number) =>
        number is System.Numerics.BigInteger large ? (decimal)large : System.Convert.ToDecimal(number, CultureInfo.InvariantCulture);
}
