using Newtonsoft.Json.Linq;

namespace PoeOps.Core.Tests.Files;

/// <summary>Finds out which keys a reader knows in each object of a file: it is given one that nobody knows, and names those it does.</summary>
internal static class KnownKeys
{
    private const string Nobodys = "nobody-knows-this";

    /// <summary>The keys per object, by the object's path.</summary>
    /// <param name="sample">A file that has every kind of object.</param>
    /// <param name="read">The problems that the reader has with a text.</param>
    public static IReadOnlyDictionary<string, string[]> Of(string sample, Func<string, IReadOnlyList<Problem>> read)
    {
        JObject root = JObject.Parse(sample);
        foreach (JObject one in root.DescendantsAndSelf().OfType<JObject>().ToArray())
        {
            one[Nobodys] = 1;
        }

        return read(root.ToString())
            .Where(problem => problem.Id == ProblemId.JsonUnknownKey)
            .ToDictionary(problem => Parent(problem.Path!), problem => Listed(problem.Advice));
    }

    private static string Parent(string path) => path == Nobodys ? "" : path[..path.LastIndexOf('.')];

    private static string[] Listed(string advice) =>
        [.. advice["The keys known here are ".Length..^1].Split(", ").Order(StringComparer.Ordinal)];
}
