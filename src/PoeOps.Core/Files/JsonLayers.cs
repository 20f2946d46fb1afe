using Newtonsoft.Json.Linq;

namespace PoeOps.Files;

/// <summary>
/// Lays one JSON object over another, so that the upper one says only what differs. Objects are laid over each other key by key. A list of objects
/// that all have a <c>name</c> is laid over its like by name: an item of a name that the lower list has is laid over that item, in its place, and any
/// other comes behind. Every other list, and every other value, takes the lower one's place whole. A null takes the lower value away.
/// </summary>
internal static class JsonLayers
{
    private const string Name = "name";

    /// <summary>Lays an object over another. Every value keeps the file, path and line that it came with.</summary>
    /// <param name="upper">What differs.</param>
    /// <param name="upperFile">Its file.</param>
    /// <param name="lower">What is underneath.</param>
    /// <param name="lowerFile">Its file.</param>
    public static JObject Over(JObject upper, string upperFile, JObject lower, string lowerFile)
    {
        Mark(upper, upperFile);
        Mark(lower, lowerFile);
        return Objects(upper, lower);
    }

    // Paths change when trees are joined, and a problem is about the file that somebody wrote.
    private static void Mark(JObject root, string file)
    {
        foreach (JToken token in root.DescendantsAndSelf().Where(token => token.Annotation<JsonPlace>() is null))
        {
            token.AddAnnotation(new JsonPlace(file, token.Path));
        }
    }

    private static JObject Objects(JObject upper, JObject lower)
    {
        var all = (JObject)upper.DeepClone();
        all.RemoveAll();
        foreach (JProperty property in lower.Properties().Where(property => upper.Property(property.Name, StringComparison.Ordinal) is null))
        {
            all.Add(property.DeepClone());
        }

        foreach (JProperty property in upper.Properties().Where(property => property.Value.Type != JTokenType.Null))
        {
            var laid = (JProperty)property.DeepClone();
            if (lower.Property(property.Name, StringComparison.Ordinal) is { } below)
            {
                laid.Value = Value(property.Value, below.Value);
            }

            all.Add(laid);
        }

        return all;
    }

    private static JToken Value(JToken upper, JToken lower) => (upper, lower) switch
    {
        (JObject above, JObject below) => Objects(above, below),
        (JArray above, JArray below) when AreNamed(above) && AreNamed(below) => Lists(above, below),
        _ => upper.DeepClone(),
    };

    private static bool AreNamed(JArray list) => list.Count > 0 && list.All(item => item is JObject one && one[Name]?.Type == JTokenType.String);

    private static JArray Lists(JArray upper, JArray lower)
    {
        var all = (JArray)upper.DeepClone();
        all.RemoveAll();
        foreach (JObject below in lower.Cast<JObject>())
        {
            JObject[] above = [.. upper.Cast<JObject>().Where(one => IsNamed(one, below))];
            all.Add(above.Length == 0 ? below.DeepClone() : Objects(above[0], below));
        }

        // One that is there twice stays there twice, to be reported.
        foreach (JObject above in upper.Cast<JObject>().Where((one, at) => !lower.Any(below => IsNamed(one, below)) || upper.Take(at).Any(before => IsNamed(one, before))))
        {
            all.Add(above.DeepClone());
        }

        return all;
    }

    private static bool IsNamed(JToken one, JToken other) => string.Equals((string?)one[Name], (string?)other[Name], StringComparison.OrdinalIgnoreCase);
}

/// <summary>Where a value stood before trees were joined.</summary>
/// <param name="File">The file.</param>
/// <param name="Path">The path in it.</param>
internal sealed record JsonPlace(string File, string Path);
