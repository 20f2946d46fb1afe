using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Finds coverage groups that protect nothing, as a mistyped name makes them.</summary>
public static class LoneCoverage
{
    /// <summary>A sentence for each group that a single unit of its site bears, where the site does not list its groups; one that does is checked when it is read.</summary>
    /// <param name="estate">The estate.</param>
    public static IReadOnlyList<string> Of(EstateMap estate) => [.. estate.Sites.Where(site => site.CoverageGroups.Count == 0).SelectMany(Of)];

    private static IEnumerable<string> Of(Site site)
    {
        IGrouping<string, (UnitId Unit, string Group)>[] groups = [.. site.Switches.SelectMany(one => one.Units.Select(unit => (Unit: new UnitId(one.Name, unit.Unit), Group: unit.CoverageGroup)))
            .Where(unit => unit.Group.Length > 0).GroupBy(unit => unit.Group, StringComparer.OrdinalIgnoreCase)];
        foreach (IGrouping<string, (UnitId Unit, string Group)> group in groups.Where(group => group.Count() == 1))
        {
            string near = Nearest.HintIfNear(group.Key, groups.Where(other => other != group).Select(other => other.Key));
            yield return $"{group.First().Unit} alone at '{Excerpt.Of(site.Name)}' bears the coverage group '{Excerpt.Of(group.Key)}', so that nothing covers for it{near}. Compare the word with that of the other units; where it stands alone on purpose, list it under 'coverageGroups' of the site.";
        }
    }
}
