using Newtonsoft.Json.Linq;
using PoeOps.Files;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>A planned load as JSON, and back.</summary>
internal static class PlannedLoadJson
{
    /// <summary>The load as an object.</summary>
    public static JObject Write(PlannedLoad load) => new(
        new JProperty("port", load.Port),
        new JProperty("load", load.Load),
        new JProperty("role", load.Role),
        new JProperty("lifeSafety", load.LifeSafety),
        new JProperty("drawWatts", load.DrawWatts),
        new JProperty("restartSeconds", (decimal?)load.RestartSeconds),
        new JProperty("restart", load.Restart?.ToString()),
        new JProperty("backSeconds", (decimal?)load.BackSeconds),
        new JProperty("grantedWatts", load.GrantedWatts));

    /// <summary>Reads a load; mistakes are reported through the reader.</summary>
    public static PlannedLoad Read(JsonObjectReader item)
    {
        var load = new PlannedLoad
        {
            Port = item.Text("port", required: true) ?? string.Empty,
            Load = item.Text("load"),
            Role = item.Text("role", required: true) ?? string.Empty,
            LifeSafety = item.Flag("lifeSafety", required: true) ?? false,
            DrawWatts = item.Number("drawWatts", least: 0),
            RestartSeconds = (double?)item.Number("restartSeconds", least: 0),
            Restart = Outcome(item),
            BackSeconds = (double?)item.Number("backSeconds", least: 0),
            GrantedWatts = item.Number("grantedWatts", least: 0),
        };
        item.Close();
        return load;
    }

    private static RestartOutcome? Outcome(JsonObjectReader item)
    {
        if (item.Text("restart") is not { } word)
        {
            return null;
        }

        string[] names = Enum.GetNames(typeof(RestartOutcome));
        if (names.Contains(word, StringComparer.Ordinal))
        {
            return (RestartOutcome)Enum.Parse(typeof(RestartOutcome), word);
        }

        item.Report(ProblemId.JsonBadValue, "restart", $"'{Excerpt.Of(word)}' is nothing that becomes of a load{Nearest.Hint(word, names)}.", "Make the plan again with New-PsePlan.");
        return null;
    }
}
