using PoeOps.Baselines;

namespace PoeOps.Outages;

/// <summary>The times of one hop, seconds: until loads go dark, dark until the reset ends, and from then to verified.</summary>
/// <param name="Before">Gate and Transfer.</param>
/// <param name="Dark">Erase, Program and Reset.</param>
/// <param name="After">Verify.</param>
public sealed record HopTimes(double Before, double Dark, double After)
{
    /// <summary>Gate to the end of Verify.</summary>
    public double Total => Before + Dark + After;

    /// <summary>Typical times of a hop.</summary>
    /// <returns>The times, or the problem that a stage has none (<see cref="ProblemId.StageTimesUnknown"/>).</returns>
    public static (HopTimes? Times, Problem? Problem) Typical(Hop hop) => Of(hop, time => time.TypicalSeconds);

    /// <summary>Worst times of a hop.</summary>
    /// <returns>The times, or the problem that a stage has none (<see cref="ProblemId.StageTimesUnknown"/>).</returns>
    public static (HopTimes? Times, Problem? Problem) Worst(Hop hop) => Of(hop, time => time.WorstSeconds);

    private static (HopTimes? Times, Problem? Problem) Of(Hop hop, Func<StageTime, double> seconds)
    {
        string? missing = StageTimes.Names.FirstOrDefault(name => name != "Gate" && hop.Times.Of(name) is null);
        if (missing is not null)
        {
            return (null, new Problem(ProblemId.StageTimesUnknown, $"The baseline gives no time for the stage {missing} of the image '{hop.Image.File}'.", "Add it under 'stageSeconds' of the entry."));
        }

        double Sum(params string[] names) => names.Sum(name => seconds(hop.Times.Of(name) ?? StageTimes.DefaultGate));
        return (new HopTimes(Sum("Gate", "Transfer"), Sum("Erase", "Program", "Reset"), Sum("Verify")), null);
    }
}
