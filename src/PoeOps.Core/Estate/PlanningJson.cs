using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads what an estate says of planning: the soak, limits of windows, busy hours, coverage groups, and windows that a unit may use or not.</summary>
internal static class PlanningJson
{
    private static readonly TimeSpan LongestSoak = TimeSpan.FromDays(365);

    /// <summary>The key <c>soak</c>; null where it is not there.</summary>
    public static TimeSpan? Soak(JsonObjectReader root)
    {
        string? text = root.Text("soak");
        TimeSpan? soak = IsoText.Length(text);
        if (text is not null && soak is null)
        {
            root.Report(ProblemId.JsonBadValue, "soak", $"'{Excerpt.Of(text)}' is no length of time.", "Write it in the form of ISO 8601, such as PT24H; PT0S for none.");
        }
        else if (soak < TimeSpan.Zero || soak > LongestSoak)
        {
            root.Report(ProblemId.JsonBadValue, "soak", $"The soak is '{text}' long, and no time at least and 365 days at the most were expected.", "Write how long a pilot is watched before its fellows start, such as PT24H.");
            return null;
        }

        return soak;
    }

    /// <summary>The key <c>limits</c>, key by key before what is said of all sites.</summary>
    public static WindowLimits Limits(JsonObjectReader owner, WindowLimits? ofAll = null)
    {
        WindowLimits others = ofAll ?? WindowLimits.None;
        if (owner.Object("limits") is not { } reader)
        {
            return others;
        }

        WindowLimits limits = new(reader.Whole("units", least: 1) ?? others.Units, reader.Whole("darkLoads", least: 1) ?? others.DarkLoads);
        if (!reader.Has("units") && !reader.Has("darkLoads"))
        {
            reader.Report(ProblemId.JsonMissingKey, null, "Neither 'units' nor 'darkLoads' is there, so nothing is limited.", "Add how many units or dark loads one window may have at the most.");
        }

        reader.Close();
        return limits;
    }

    /// <summary>The key <c>busyHours</c>.</summary>
    public static IReadOnlyList<BusyHours> BusyHours(JsonObjectReader site) => [.. site.Objects("busyHours").Select(Hours)];

    /// <summary>The key <c>coverageGroups</c>; a group that no unit of the site bears is reported, and where the key is there a unit whose group it does not list.</summary>
    public static IReadOnlyList<CoverageGroup> Groups(JsonObjectReader site, IReadOnlyList<(string Group, JsonObjectReader Unit)> bearers)
    {
        string[] borne = [.. bearers.Select(bearer => bearer.Group).Distinct(StringComparer.OrdinalIgnoreCase)];
        List<CoverageGroup> groups = [];
        foreach (JsonObjectReader reader in site.Objects("coverageGroups"))
        {
            CoverageGroup group = new(GroupName(reader), Apart(reader));
            if (group.Name.Length > 0 && !borne.Contains(group.Name, StringComparer.OrdinalIgnoreCase))
            {
                reader.Report(ProblemId.NotInEstate, "name", $"No unit of the site bears the coverage group '{Excerpt.Of(group.Name)}'{Nearest.Hint(group.Name, borne)}.", "Give its units the group by 'coverageGroup', or remove it.");
            }

            if (groups.Any(other => string.Equals(other.Name, group.Name, StringComparison.OrdinalIgnoreCase)))
            {
                reader.Report(ProblemId.NameTwice, "name", $"The coverage group '{Excerpt.Of(group.Name)}' stands twice.", "Say all of a group in one object; case makes no difference.");
            }

            groups.Add(group);
            reader.Close();
        }

        if (groups.Count > 0)
        {
            ReportUnlisted(bearers, [.. groups.Select(group => group.Name)]);
        }

        return groups;
    }

    /// <summary>The key <c>coverageGroup</c> of a unit; empty where it is not there.</summary>
    public static string Group(JsonObjectReader unit)
    {
        string group = unit.Text("coverageGroup") ?? string.Empty;
        if (group.Length > 0 && NameParts.Check(group, slashAllowed: true) is { } wrong)
        {
            unit.Report(ProblemId.JsonBadValue, "coverageGroup", $"'{Excerpt.Of(group)}' cannot be a name: {wrong}.", "Write the word as the other units of the group have it.");
        }

        // What stands around it is told, and nothing else because of it.
        return group.Trim();
    }

    // A mistyped word would be a group of its own, and nothing would cover.
    private static void ReportUnlisted(IReadOnlyList<(string Group, JsonObjectReader Unit)> bearers, string[] listed)
    {
        foreach ((string group, JsonObjectReader unit) in bearers.Where(bearer => !listed.Contains(bearer.Group, StringComparer.OrdinalIgnoreCase)))
        {
            unit.Report(
                ProblemId.NotInEstate, "coverageGroup", $"The site lists its coverage groups, and '{Excerpt.Of(group)}' is not among them{Nearest.HintIfNear(group, listed)}.",
                "Correct the word, or add the group to 'coverageGroups' of the site.");
        }
    }

    /// <summary>A list of windows by their local date or opening.</summary>
    public static IReadOnlyList<string> Windows(JsonObjectReader unit, string key)
    {
        List<string> windows = [];
        foreach (JsonItem item in unit.TextItems(key))
        {
            if (!IsoText.IsDate(item.Text) && !IsoText.IsLocalTime(item.Text))
            {
                item.Report(ProblemId.JsonBadValue, $"'{Excerpt.Of(item.Text)}' is neither a date nor a local date and time.", "Name windows by the local day on which they open, such as 2026-12-04, or by the opening, such as 2026-12-04T22:00.");
            }

            windows.Add(item.Text!);
        }

        return windows.Count == 0 ? Array.Empty<string>() : windows;
    }

    private static BusyHours Hours(JsonObjectReader reader)
    {
        BusyHours hours = new(TimeOfDay(reader, "from"), TimeOfDay(reader, "until"), (double)(reader.Number("weight", required: true, least: 0, most: 1000) ?? 1));
        reader.Close();
        return hours;
    }

    private static string TimeOfDay(JsonObjectReader reader, string key)
    {
        string? text = reader.Text(key, required: true);
        if (text is not null && !IsoText.IsTimeOfDay(text))
        {
            reader.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(text)}' is no time of day.", "Write it as in 22:30.");
        }

        return text ?? string.Empty;
    }

    private static string GroupName(JsonObjectReader reader)
    {
        string name = EstateJson.Written(reader, "name");
        if (name.Trim().Length > 0 && NameParts.Check(name, slashAllowed: true) is { } wrong)
        {
            reader.Report(ProblemId.JsonBadValue, "name", $"'{Excerpt.Of(name)}' cannot be a name: {wrong}.", "Write the word as its units have it under 'coverageGroup'.");
        }

        return name.Trim();
    }

    private static CoverageApart Apart(JsonObjectReader reader)
    {
        string? word = reader.Text("apart");
        if (word is not null and not ("window" or "recovered"))
        {
            reader.Report(ProblemId.JsonBadValue, "apart", $"'{Excerpt.Of(word)}' does not say how far apart its units are refreshed{Nearest.Hint(word, ["window", "recovered"])}.", "Write 'window' or 'recovered'.");
        }

        return word == "recovered" ? CoverageApart.Recovered : CoverageApart.Window;
    }
}
