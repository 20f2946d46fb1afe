using System.Globalization;

namespace PoeOps.Files;

/// <summary>Spells the place of a value in a JSON text, such as <c>sites[0].zone</c>.</summary>
internal static class JsonPaths
{
    /// <summary>The place of a key of the object at a path.</summary>
    public static string Inside(string path, string key) =>
        key.Length > 0 && key.All(c => char.IsLetterOrDigit(c) || c is '_' or '$' or '-')
            ? (path.Length == 0 ? key : path + "." + key)
            : path + "['" + Excerpt.Of(key) + "']";

    /// <summary>The place of an item of the list at a path; the first is 0.</summary>
    public static string Inside(string path, int index) => path + "[" + index.ToString(CultureInfo.InvariantCulture) + "]";
}
