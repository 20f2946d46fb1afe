using Newtonsoft.Json;
using Newtonsoft.Json.Linq;

namespace PoeOps.Files;

/// <summary>
/// Looks into a user's JSON file for names to offer. Somebody waits for them with a key held down, so it is read without its places and rules, and nothing
/// is told of it: whoever reads the file for what it says is told its mistakes.
/// </summary>
internal static class JsonSketch
{
    /// <summary>The root object of a file; null where it is not there, or is no JSON with an object.</summary>
    public static JObject? Root(string path) =>
        TextFile.Read(path).Text is { } text ? Parse(text) : null;

    /// <summary>The objects in the list of a key; none where there is no such list.</summary>
    public static IEnumerable<JObject> Objects(JObject owner, string key) => (owner[key] as JArray)?.OfType<JObject>() ?? [];

    /// <summary>The text of a key where it can be a name; null where it is not there, empty, or holds what nobody sees.</summary>
    public static string? Name(JObject owner, string key) => owner[key] is { } value ? Text(value) : null;

    /// <summary>The texts of a key that holds one or a list of them.</summary>
    public static IEnumerable<string> Names(JObject owner, string key) =>
        (owner[key] is JArray list ? list : new JArray(owner[key] ?? JValue.CreateNull())).Select(Text).Where(text => text is not null).Select(text => text!);

    private static JObject? Parse(string text)
    {
        using JsonTextReader reader = new(new StringReader(text)) { DateParseHandling = DateParseHandling.None, MaxDepth = StrictJson.MostDepth };
        try
        {
            JToken root = JToken.ReadFrom(reader, new JsonLoadSettings { LineInfoHandling = LineInfoHandling.Ignore });
            while (reader.Read())
            {
                // Only comments come here; the library refuses anything else behind the value.
                continue;
            }

            return root as JObject;
        }
        catch (JsonException)
        {
            return null;
        }
    }

    private static string? Text(JToken value) =>
        value is JValue { Type: JTokenType.String, Value: string text } && text.Trim().Length > 0 && PlainText.IsPlain(text) ? text : null;
}
