using Newtonsoft.Json.Linq;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>The names that stand in a file, to be offered while somebody writes a line: read without its rules, and empty where the file cannot be read.</summary>
public sealed record EstateNames
{
    /// <summary>No names.</summary>
    public static EstateNames None { get; } = new();

    /// <summary>The sites, in the order of the file.</summary>
    public IReadOnlyList<string> Sites { get; init; } = [];

    /// <summary>The switches, in the order of the file.</summary>
    public IReadOnlyList<string> Switches { get; init; } = [];

    /// <summary>The units that the file names, as their ids print, in the order of the file.</summary>
    public IReadOnlyList<string> Units { get; init; } = [];

    /// <summary>Full paths of files and folders with dialects.</summary>
    public IReadOnlyList<string> DialectPaths { get; init; } = [];

    /// <summary>The names in an estate file. Of the units it has those with settings or loads of their own.</summary>
    /// <param name="path">The file.</param>
    public static EstateNames Read(string path)
    {
        if (JsonSketch.Root(path) is not { } root)
        {
            return None;
        }

        List<JObject> sites = [.. JsonSketch.Objects(root, "sites")];
        List<JObject> switches = [.. sites.SelectMany(site => JsonSketch.Objects(site, "switches"))];
        return new EstateNames
        {
            Sites = Once(sites.Select(site => JsonSketch.Name(site, "name"))),
            Switches = Once(switches.Select(one => JsonSketch.Name(one, "name"))),
            Units = Once(switches.SelectMany(UnitsOf)),
            DialectPaths = [.. JsonSketch.Names(root, "dialects").SelectMany(text => FullPath(text, path))],
        };
    }

    /// <summary>Takes together what several files name.</summary>
    /// <param name="all">The names of each.</param>
    public static EstateNames Union(IEnumerable<EstateNames> all)
    {
        List<EstateNames> each = [.. all];
        return each.Count == 1 ? each[0] : new EstateNames
        {
            Sites = Once(each.SelectMany(one => one.Sites)),
            Switches = Once(each.SelectMany(one => one.Switches)),
            Units = Once(each.SelectMany(one => one.Units)),
            DialectPaths = Once(each.SelectMany(one => one.DialectPaths)),
        };
    }

    /// <summary>The names of a list, each once without regard to case; what is no name is left out.</summary>
    internal static IReadOnlyList<string> Once(IEnumerable<string?> names) =>
        [.. names.Where(name => !string.IsNullOrEmpty(name)).Select(name => name!).Distinct(StringComparer.OrdinalIgnoreCase)];

    /// <summary>The id of a unit as it prints; null where the names make none.</summary>
    internal static string? Id(string? switchName, string? unit) =>
        switchName is not null && unit is not null && UnitId.TryParse($"{switchName}/{unit}", out UnitId id) ? id.ToString() : null;

    private static IEnumerable<string?> UnitsOf(JObject place)
    {
        string? name = JsonSketch.Name(place, "name");
        return JsonSketch.Objects(place, "units").Concat(JsonSketch.Objects(place, "loads")).Select(unit => Id(name, JsonSketch.Name(unit, "unit")));
    }

    private static IEnumerable<string> FullPath(string text, string estate)
    {
        try
        {
            return [Path.GetFullPath(Path.Combine(Path.GetDirectoryName(Path.GetFullPath(estate)) ?? string.Empty, text))];
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            // Whoever reads the estate is told that it is no path.
            return [];
        }
    }
}
