using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>Reads the key <c>stageSeconds</c> of an entry or a hop.</summary>
internal static class StageTimesJson
{
    private const decimal MostSeconds = 86400;

    /// <summary>The times, or null where the key is not there.</summary>
    public static StageTimes? Read(JsonObjectReader owner)
    {
        if (owner.Object("stageSeconds") is not { } reader)
        {
            return null;
        }

        Dictionary<string, StageTime> times = new(StringComparer.Ordinal);
        foreach (string stage in StageTimes.Names)
        {
            bool isGate = stage == "Gate";
            if (reader.Object(stage, required: !isGate) is { } time)
            {
                times[stage] = Time(time, stage);
            }
            else if (isGate)
            {
                times[stage] = StageTimes.DefaultGate;
            }
        }

        reader.Close();
        return new StageTimes(times);
    }

    private static StageTime Time(JsonObjectReader reader, string stage)
    {
        decimal? typical = reader.Number("typical", required: true, least: 0, most: MostSeconds);
        decimal? worst = reader.Number("worst", required: true, least: 0, most: MostSeconds);
        if (worst < typical)
        {
            reader.Report(
                ProblemId.JsonBadValue, "worst", $"The worst time of {stage} is {Say(worst.Value)} s, which is less than its typical {Say(typical.Value)} s.",
                "Give a worst time that is at least the typical one.");
        }

        reader.Close();
        return new StageTime((double)(typical ?? 0), (double)(worst ?? 0));
    }

    private static string Say(decimal seconds) => seconds.ToString(CultureInfo.InvariantCulture);
}
