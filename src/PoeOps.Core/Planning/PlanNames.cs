using Newtonsoft.Json.Linq;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Planning;

/// <summary>The names that stand in a plan file, to be offered while somebody writes a line.</summary>
public static class PlanNames
{
    /// <summary>The sites, switches and units of a plan, planned and not, and the dialects of its estate; none where it cannot be read.</summary>
    /// <param name="path">The file.</param>
    public static EstateNames Read(string path)
    {
        if (JsonSketch.Root(path) is not { } root)
        {
            return EstateNames.None;
        }

        List<JObject> units = [.. JsonSketch.Objects(root, "units"), .. JsonSketch.Objects(root, "obstacles")];
        return new EstateNames
        {
            Sites = EstateNames.Once(units.Select(unit => JsonSketch.Name(unit, "site"))),
            Switches = EstateNames.Once(units.Select(unit => JsonSketch.Name(unit, "switch"))),
            Units = EstateNames.Once(units.Select(unit => EstateNames.Id(JsonSketch.Name(unit, "switch"), JsonSketch.Name(unit, "unit")))),
            DialectPaths = JsonSketch.Name(root, "estate") is { } estate ? EstateNames.Read(estate).DialectPaths : [],
        };
    }
}
