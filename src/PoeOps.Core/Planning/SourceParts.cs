using Newtonsoft.Json;
using Newtonsoft.Json.Linq;
using PoeOps.Files;

namespace PoeOps.Planning;

/// <summary>Takes estates and baselines apart, so that a change can be named: by site, switch, entry, or key.</summary>
internal static class SourceParts
{
    private const int MostNamed = 5;

    /// <summary>A file as a plan keeps it; null where it cannot be read.</summary>
    /// <param name="path">The file.</param>
    public static PlanSource? Of(string path) => PlanDigest.OfFile(path) is { } digest
        ? new PlanSource { Path = path, Sha256 = digest, Parts = Parts(path) }
        : null;

    /// <summary>What became of a file since a plan was made of it, in words that go on from its name: what of it changed, and that it did; null where it is as it was.</summary>
    public static string? Changed(PlanSource source)
    {
        string? digest = PlanDigest.OfFile(source.Path);
        if (digest == source.Sha256)
        {
            return null;
        }

        return digest is null ? "cannot be read" : Named(source, Parts(source.Path)) + "has changed since the plan was made";
    }

    private static string Named(PlanSource source, List<KeyValuePair<string, string>> now)
    {
        Dictionary<string, string> before = source.Parts.ToDictionary(part => part.Key, part => part.Value, StringComparer.Ordinal);
        Dictionary<string, string> after = now.ToDictionary(part => part.Key, part => part.Value, StringComparer.Ordinal);
        string[] changed =
        [
            .. source.Parts.Where(part => after.TryGetValue(part.Key, out string? value) && value != part.Value).Select(part => part.Key),
            .. now.Where(part => !before.ContainsKey(part.Key)).Select(part => part.Key + " (new)"),
            .. source.Parts.Where(part => !after.ContainsKey(part.Key)).Select(part => part.Key + " (gone)"),
        ];
        if (before.Count == 0 || after.Count == 0)
        {
            return string.Empty;
        }

        string more = changed.Length > MostNamed ? FormattableString.Invariant($" and {changed.Length - MostNamed} more") : string.Empty;
        return changed.Length == 0 ? string.Empty : $"({string.Join(", ", changed.Take(MostNamed))}{more}) ";
    }

    // A file that cannot be read as JSON any more has no parts; that it changed is known all the same.
    private static List<KeyValuePair<string, string>> Parts(string path)
    {
        List<Problem> problems = [];
        if (JsonObjectReader.Open(path, problems)?.Copy() is not { } root)
        {
            return [];
        }

        PartList parts = new();
        foreach (JProperty property in root.Properties().Where(property => property.Name != "$schema"))
        {
            if (property.Value is JArray list && property.Name is "sites" or "entries")
            {
                AddItems(parts, property.Name, (JArray)property.Value);
            }
            else
            {
                parts.Add($"'{property.Name}'", property.Value);
            }
        }

        return parts.All;
    }

    private static void AddItems(PartList parts, string key, JArray items)
    {
        foreach (JObject item in items.OfType<JObject>())
        {
            if (key == "entries")
            {
                parts.Add($"the entry of '{Name(item["model"])}'", item);
                continue;
            }

            JObject site = (JObject)item.DeepClone();
            site.Remove("switches");
            parts.Add($"site '{Name(item["name"])}'", site);
            foreach (JObject one in (item["switches"] as JArray)?.OfType<JObject>() ?? [])
            {
                parts.Add($"switch '{Name(one["name"])}'", one);
            }
        }
    }

    private static string Name(JToken? token) => Excerpt.Of(token?.ToString() ?? string.Empty);

    private sealed class PartList
    {
        private readonly Dictionary<string, int> _times = new(StringComparer.Ordinal);

        public List<KeyValuePair<string, string>> All { get; } = [];

        // Two entries of a model are told apart by their place.
        public void Add(string name, JToken value)
        {
            _times[name] = _times.TryGetValue(name, out int times) ? times + 1 : 1;
            string own = _times[name] == 1 ? name : FormattableString.Invariant($"{name} ({_times[name]})");
            All.Add(new KeyValuePair<string, string>(own, PlanDigest.OfText(value.ToString(Formatting.None)).Substring(0, 16)));
        }
    }
}
