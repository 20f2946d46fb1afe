using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using PoeOps.Core.Tests.Architecture;

namespace PoeOps.Core.Tests.Examples;

/// <summary>The files of the demo harbour as plain JSON, read by nothing of the product, so that what the tests count stands in the files.</summary>
internal static class Harbour
{
    /// <summary>Sites, switches and roles.</summary>
    public static JsonObject Estate { get; } = Read("harbour.estate.json");

    /// <summary>What a rehearsal finds there.</summary>
    public static JsonObject World { get; } = Read("harbour.world.json");

    /// <summary>The approved firmware.</summary>
    public static JsonObject Baseline { get; } = Read("winter.baseline.json");

    /// <summary>Every switch of the estate.</summary>
    public static IReadOnlyList<JsonObject> Switches { get; } = [.. Objects(Estate, "sites").SelectMany(site => Objects(site, "switches"))];

    /// <summary>Every unit of the world.</summary>
    public static IReadOnlyList<HarbourUnit> Units { get; } =
        [.. Objects(World, "switches").SelectMany(one => Objects(one, "units").Select(unit => new HarbourUnit(one, unit)))];

    /// <summary>Every image that the baseline names.</summary>
    public static IReadOnlyList<JsonObject> Images { get; } =
        [.. Objects(Baseline, "entries").SelectMany(entry => Objects(entry, "hops").Prepend(entry)).Select(one => one["image"]!.AsObject())];

    /// <summary>A path in the folder of the examples.</summary>
    public static string PathOf(params string[] parts) => Repository.Path(["examples", .. parts]);

    /// <summary>The text of a file in the folder of the examples.</summary>
    public static string TextOf(string file) => File.ReadAllText(PathOf(file));

    /// <summary>The objects in a list; none where the key is not there.</summary>
    public static IEnumerable<JsonObject> Objects(JsonObject owner, string key) => (owner[key]?.AsArray() ?? []).Select(item => item!.AsObject());

    /// <summary>The ports of a list such as 1-8,12.</summary>
    public static IEnumerable<int> Ports(string list)
    {
        foreach (string part in list.Split(','))
        {
            int[] ends = [.. part.Split('-').Select(end => int.Parse(end, CultureInfo.InvariantCulture))];
            for (int port = ends[0]; port <= ends[^1]; port++)
            {
                yield return port;
            }
        }
    }

    /// <summary>Which of two versions is newer: every spelling of both families has the same numbers in the same order, and a missing one is 0.</summary>
    public static int CompareVersions(string left, string right)
    {
        int[] a = Numbers(left);
        int[] b = Numbers(right);
        return Enumerable.Range(0, Math.Max(a.Length, b.Length))
            .Select(i => a.ElementAtOrDefault(i).CompareTo(b.ElementAtOrDefault(i)))
            .FirstOrDefault(order => order != 0);
    }

    private static int[] Numbers(string version) => [.. Regex.Matches(version, "[0-9]+").Select(match => int.Parse(match.Value, CultureInfo.InvariantCulture))];

    private static JsonObject Read(string file) =>
        JsonNode.Parse(TextOf(file), documentOptions: new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip })!.AsObject();
}
