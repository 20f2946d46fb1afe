using PoeOps.Files;
using PoeOps.Power;

namespace PoeOps.Estate;

/// <summary>Reads the key <c>power</c> of an estate, a switch or a unit.</summary>
internal static class PowerJson
{
    private static readonly Dictionary<string, RestartPolicy> Policies = new(StringComparer.Ordinal)
    {
        ["class"] = RestartPolicy.ByClass,
        ["draw"] = RestartPolicy.ByDraw,
        ["limit"] = RestartPolicy.ByLimit,
    };

    /// <summary>Reads the settings; mistakes are reported through the reader.</summary>
    /// <param name="owner">What has the key.</param>
    /// <param name="whole">The settings of what it is a part of; null where there are none.</param>
    /// <returns>The settings within those of the whole; null where nobody says any.</returns>
    public static PowerSettings? Read(JsonObjectReader owner, PowerSettings? whole)
    {
        if (owner.Object("power") is not { } reader)
        {
            return whole;
        }

        var settings = new PowerSettings
        {
            PseType = (PseType?)reader.Whole("pseType", least: 1, most: 4),
            Policy = Policy(reader),
            StaggerSeconds = reader.Number("staggerSeconds", least: 0.001m, most: 3600),
            Demotes = reader.Flag("demotes"),
            Supplies = SuppliesOf(reader),
            Efficiency = EfficiencyOf(reader),
            GuardBandPercent = reader.Number("guardBandPercent", least: 0, most: 100),
        };
        reader.Close();
        return PowerSettings.Within(settings, whole);
    }

    private static RestartPolicy? Policy(JsonObjectReader reader)
    {
        if (reader.Text("policy") is not { } word)
        {
            return null;
        }

        if (Policies.TryGetValue(word, out RestartPolicy policy))
        {
            return policy;
        }

        reader.Report(ProblemId.JsonBadValue, "policy", $"'{Excerpt.Of(word)}' is nothing that a port claims by{Nearest.Hint(word, Policies.Keys)}.", "Write class, draw or limit.");
        return null;
    }

    private static Supplies? SuppliesOf(JsonObjectReader reader)
    {
        IReadOnlyList<JsonItem> items = reader.Items("supplyWatts");
        foreach (JsonItem wrong in items.Where(item => item.Number is null))
        {
            wrong.ReportKind("a number");
        }

        return items.Count == 0 || items.Any(item => item.Number is null) ? null : Checked(reader, "supplyWatts", () => new Supplies([.. items.Select(item => item.Number!.Value)]));
    }

    private static Efficiency? EfficiencyOf(JsonObjectReader reader) => reader.Kind("efficiency") == JsonKind.List
        ? Checked(reader, "efficiency", () => new Efficiency([.. reader.Objects("efficiency").Select(PointOf)]))
        : reader.Number("efficiency") is { } figure ? Checked(reader, "efficiency", () => new Efficiency(figure)) : null;

    private static EfficiencyPoint PointOf(JsonObjectReader reader)
    {
        var point = new EfficiencyPoint(reader.Number("load", required: true) ?? 0, reader.Number("figure", required: true) ?? 1);
        reader.Close();
        return point;
    }

    private static T? Checked<T>(JsonObjectReader reader, string key, Func<T> make)
        where T : class
    {
        try
        {
            return make();
        }
        catch (PoeOpsException exception)
        {
            reader.Report(ProblemId.JsonBadValue, key, exception.Problem.Sentence, exception.Problem.Advice);
            return null;
        }
    }
}
