using Newtonsoft.Json.Linq;

namespace PoeOps.Files;

/// <summary>
/// Reads one JSON object of a user's file key by key. Every mistake becomes a problem with file, line and path, and reading goes on, so that a
/// file is told all its mistakes at once. A key that was never asked for is unknown: ask for every key that there is, then <see cref="Close"/>.
/// A null is taken for a key that is not there.
/// </summary>
public sealed class JsonObjectReader
{
    private readonly JObject _object;
    private readonly IList<Problem> _problems;
    private readonly List<string> _asked = [];

    internal JsonObjectReader(JObject value, string file, IList<Problem> problems)
    {
        _object = value;
        _problems = problems;
        File = value.Annotation<JsonPlace>()?.File ?? file;
    }

    /// <summary>The file, as the user named it.</summary>
    public string File { get; }

    /// <summary>The object's place in the file, such as <c>sites[0]</c>; empty for the root.</summary>
    public string Path => JsonItem.PathOf(_object);

    /// <summary>The line on which the object begins; the first is 1.</summary>
    public int Line => JsonItem.LineOf(_object);

    /// <summary>The names of the keys that the object has, in order, for objects whose keys are free. Reading this asks for none of them.</summary>
    public IReadOnlyList<string> Keys => [.. _object.Properties().Select(property => property.Name)];

    /// <summary>Reads a file to its root object.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <param name="problems">Where problems are added: those of <see cref="TextFile.Read(string)"/> and <see cref="Parse"/>.</param>
    /// <param name="controls">True for a file whose texts may go to a device: control characters have a meaning in them.</param>
    /// <returns>The root, or null where there is none to read.</returns>
    public static JsonObjectReader? Open(string path, IList<Problem> problems, bool controls = false)
    {
        TextFileResult file = TextFile.Read(path);
        if (file.Problem is { } problem)
        {
            problems.Add(problem);
            return null;
        }

        return Parse(file.Text!, path, problems, controls);
    }

    /// <summary>Reads a text to its root object. Comments are allowed, and a key <c>$schema</c>.</summary>
    /// <param name="text">The whole text.</param>
    /// <param name="fileName">What problems call it.</param>
    /// <param name="problems">
    /// Where problems are added: <see cref="ProblemId.JsonSyntax"/>, <see cref="ProblemId.JsonKeyTwice"/>, <see cref="ProblemId.JsonWrongType"/>,
    /// <see cref="ProblemId.HiddenCharacter"/>.
    /// </param>
    /// <param name="controls">True for a file whose texts may go to a device: control characters have a meaning in them.</param>
    /// <returns>The root, or null where the text is no JSON or its root is no object.</returns>
    public static JsonObjectReader? Parse(string text, string fileName, IList<Problem> problems, bool controls = false)
    {
        if (StrictJson.Parse(text, fileName, problems) is not { } value)
        {
            return null;
        }

        HiddenCharacters.Refuse(value, fileName, controls, problems);
        var root = new JsonItem(value, fileName, problems);
        if (root.Object is null)
        {
            root.ReportKind("an object");
            return null;
        }

        root.Object.Text("$schema");
        return root.Object;
    }

    /// <summary>True where the key is there and is not null. Asks for the key.</summary>
    public bool Has(string key) => Item(key) is not null;

    /// <summary>What the key holds. Asks for the key.</summary>
    public JsonKind Kind(string key)
    {
        Ask(key);
        return _object.TryGetValue(key, StringComparison.Ordinal, out JToken? token) ? new JsonItem(token, File, _problems).Kind : JsonKind.Missing;
    }

    /// <summary>The value of a key that may hold more than one kind; null where the key is not there or null.</summary>
    /// <param name="key">The key.</param>
    /// <param name="required">True to report the key where it is not there.</param>
    /// <param name="expected">What the report says was expected.</param>
    public JsonItem? Item(string key, bool required = false, string expected = "a value")
    {
        Ask(key);
        if (_object.TryGetValue(key, StringComparison.Ordinal, out JToken? token))
        {
            var item = new JsonItem(token, File, _problems);
            if (item.Kind != JsonKind.Null)
            {
                return item;
            }

            if (required)
            {
                item.ReportKind(expected);
            }
        }
        else if (required)
        {
            _problems.Add(new Problem(ProblemId.JsonMissingKey, $"The key '{key}' is missing, and {expected} was expected in it.", $"Add '{key}' to the object that begins in this line.")
            {
                File = File,
                Line = Line,
                Path = Path,
            });
        }

        return null;
    }

    /// <summary>The text of a key, or null. An empty text is a text.</summary>
    public string? Text(string key, bool required = false) => Of(key, required, JsonKind.Text, "a text")?.Text;

    /// <summary>The number of a key, or null; a number outside the bounds is reported.</summary>
    /// <param name="key">The key.</param>
    /// <param name="required">True to report the key where it is not there.</param>
    /// <param name="least">The smallest that is taken.</param>
    /// <param name="most">The largest that is taken.</param>
    public decimal? Number(string key, bool required = false, decimal? least = null, decimal? most = null) =>
        JsonBounds.Number(Of(key, required, JsonKind.Number, "a number"), least, most);

    /// <summary>The whole number of a key, or null; a number with a fraction or outside the bounds is reported.</summary>
    public int? Whole(string key, bool required = false, int? least = null, int? most = null) =>
        (int?)JsonBounds.Whole(Of(key, required, JsonKind.Number, "a whole number"), least ?? int.MinValue, most ?? int.MaxValue);

    /// <summary>The whole number of a key as a 64-bit one, or null; a number with a fraction or outside the bounds is reported.</summary>
    public long? Long(string key, bool required = false, long? least = null, long? most = null) =>
        (long?)JsonBounds.Whole(Of(key, required, JsonKind.Number, "a whole number"), least ?? long.MinValue, most ?? long.MaxValue);

    /// <summary>True or false of a key, or null.</summary>
    public bool? Flag(string key, bool required = false) => Of(key, required, JsonKind.Flag, "true or false")?.Flag;

    /// <summary>The object of a key, or null.</summary>
    public JsonObjectReader? Object(string key, bool required = false) => Of(key, required, JsonKind.Object, "an object")?.Object;

    /// <summary>The objects in the list of a key; an item of another kind is reported and left out.</summary>
    public IReadOnlyList<JsonObjectReader> Objects(string key, bool required = false)
    {
        List<JsonObjectReader> objects = [];
        foreach (JsonItem item in Items(key, required))
        {
            if (item.Object is { } value)
            {
                objects.Add(value);
            }
            else
            {
                item.ReportKind("an object");
            }
        }

        return objects;
    }

    /// <summary>The items in the list of a key, of whatever kind.</summary>
    public IReadOnlyList<JsonItem> Items(string key, bool required = false) => Of(key, required, JsonKind.List, "a list")?.Items() ?? [];

    /// <summary>The texts in the list of a key, each with its place; a single text counts as a list of one. An item of another kind is reported and left out.</summary>
    public IReadOnlyList<JsonItem> TextItems(string key, bool required = false)
    {
        if (Item(key, required, "a list of texts") is not { } item)
        {
            return [];
        }

        if (item.Kind == JsonKind.Text)
        {
            return [item];
        }

        if (item.Kind != JsonKind.List)
        {
            item.ReportKind("a list of texts");
            return [];
        }

        IReadOnlyList<JsonItem> items = item.Items();
        foreach (JsonItem wrong in items.Where(one => one.Kind != JsonKind.Text))
        {
            wrong.ReportKind("a text");
        }

        return [.. items.Where(one => one.Kind == JsonKind.Text)];
    }

    /// <summary>The texts in the list of a key; a single text counts as a list of one.</summary>
    public IReadOnlyList<string> Texts(string key, bool required = false) => [.. TextItems(key, required).Select(item => item.Text!)];

    /// <summary>Adds a problem with the line and path of a key, or of the object where the key is null or not there.</summary>
    /// <param name="id">The kind of problem.</param>
    /// <param name="key">The key that it is about, or null.</param>
    /// <param name="sentence">What is wrong; ends with a full stop.</param>
    /// <param name="advice">What to do; ends with a full stop.</param>
    public void Report(ProblemId id, string? key, string sentence, string advice)
    {
        JToken place = key is not null && _object.TryGetValue(key, StringComparison.Ordinal, out JToken? token) ? token : _object;
        new JsonItem(place, File, _problems).Report(id, sentence, advice);
    }

    /// <summary>Reports every key that was never asked for, each with the nearest key that was.</summary>
    public void Close()
    {
        foreach (JProperty property in _object.Properties().Where(property => !_asked.Contains(property.Name)))
        {
            string known = _asked.Count == 0 ? "No key is known here; remove it." : $"The keys known here are {string.Join(", ", _asked)}.";
            string sentence = $"The key '{Excerpt.Of(property.Name)}' is not known here{Nearest.Hint(property.Name, _asked)}.";
            _problems.Add(new Problem(ProblemId.JsonUnknownKey, sentence, known) { File = property.Annotation<JsonPlace>()?.File ?? File, Line = JsonItem.LineOf(property), Path = JsonItem.PathOf(property) });
        }
    }

    /// <summary>Lays this root over another: it says what differs. Problems keep the file, line and path of the value that they are about.</summary>
    internal JsonObjectReader Over(JsonObjectReader lower)
    {
        var all = new JsonObjectReader(JsonLayers.Over(_object, File, lower._object, lower.File), File, _problems);
        all.Text("$schema");
        return all;
    }

    /// <summary>A copy of the object, for those who write it changed.</summary>
    internal JObject Copy() => (JObject)_object.DeepClone();

    private void Ask(string key)
    {
        if (!_asked.Contains(key))
        {
            _asked.Add(key);
        }
    }

    private JsonItem? Of(string key, bool required, JsonKind kind, string expected)
    {
        JsonItem? item = Item(key, required, expected);
        if (item is not null && item.Kind != kind)
        {
            item.ReportKind(expected);
            return null;
        }

        return item;
    }
}
