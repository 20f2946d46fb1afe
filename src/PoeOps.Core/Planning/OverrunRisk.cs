using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>
/// How likely windows are too short for what is planned in them, and what reserve makes an overrun as unlikely as somebody wants it. Each stage takes a
/// lognormal time with its typical time as the median and its worst time as the 95th percentile, which is what both are when they are learned from
/// journals; stages are independent of each other, and the recovery of a unit always takes as long. A night on which everything is slow for one reason
/// is worse than this says.
/// </summary>
public static class OverrunRisk
{
    /// <summary>A unit counts as done in time from this probability on.</summary>
    public const double LikelyEnough = 0.95;

    private const int Draws = 20_000;
    private const int QuantileDraws = 100_000;
    private const double LeastConfidence = 0.5;
    private const double MostConfidence = 0.999;

    // Sums of seconds in binary fractions are not off by so much; nothing that anybody waits for is so short.
    private const double Microsecond = 1e-6;

    // No window is longer than 31 days, so that nothing fits beside it.
    private static readonly TimeSpan LongestReserve = TimeSpan.FromDays(366);

    /// <summary>The risk of each window that a plan uses; the same plan gives the same figures.</summary>
    /// <param name="plan">The plan.</param>
    /// <returns>By opening, then by site.</returns>
    public static IReadOnlyList<WindowRisk> Of(Plan plan)
    {
        StageDraws draws = new(Draws);
        return PlannedWindow.Of(plan).Select(window => Of(window, draws)).ToList();
    }

    /// <summary>Says why a confidence cannot be.</summary>
    /// <param name="confidence">The probability of ending in time.</param>
    /// <returns>The problem (<see cref="ProblemId.ConfidenceImpossible"/>), or null.</returns>
    public static Problem? Check(double confidence) => confidence is > LeastConfidence and <= MostConfidence
        ? null
        : new Problem(
            ProblemId.ConfidenceImpossible,
            $"A confidence of {confidence.ToString("R", CultureInfo.InvariantCulture)} was given, and more than 0.5 and at most 0.999 was expected.",
            "Write it as a part of 1, such as 0.99.");

    /// <summary>
    /// The reserve with which a unit still ends in time that starts as late as its window lets it, so that its worst case, its recovery and the reserve just
    /// fit before the close. It is what the quantile of its time exceeds its worst case by; the longest of all units', in whole seconds. A worst case adds
    /// up the 95th percentile of every stage, so that 0.95 asks for no reserve as a rule.
    /// </summary>
    /// <param name="units">The stage times of each image. One that lacks a stage's time asks for nothing: it cannot be planned either.</param>
    /// <param name="confidence">The probability of ending in time, above 0.5 and at most 0.999.</param>
    /// <returns>No time or more; at most 366 days.</returns>
    /// <exception cref="PoeOpsException">The confidence cannot be (<see cref="ProblemId.ConfidenceImpossible"/>).</exception>
    public static TimeSpan ReserveFor(IEnumerable<StageTimes> units, double confidence)
    {
        if (Check(confidence) is { } wrong)
        {
            throw new PoeOpsException(wrong);
        }

        StageDraws draws = new(QuantileDraws);
        double most = 0;
        foreach (StageSum sum in units.Select(StageSum.Of).OfType<StageSum>().GroupBy(sum => (sum.Key, sum.WorstSeconds)).Select(same => same.First()))
        {
            most = Math.Max(most, sum.Quantile(confidence) - sum.WorstSeconds ?? MoreThan(most, sum, confidence, draws));
        }

        double seconds = Math.Max(0, Math.Ceiling(most - Microsecond));
        return seconds < LongestReserve.TotalSeconds ? TimeSpan.FromSeconds(seconds) : LongestReserve;
    }

    // Sorting is what takes time, so it is left out where few enough draws are longer than what is known already.
    private static double MoreThan(double known, StageSum sum, double confidence, StageDraws draws)
    {
        double[] drawn = draws.Fresh(sum, 0);
        if (drawn.Count(seconds => seconds > sum.WorstSeconds + known) <= (1 - confidence) * (drawn.Length - 1))
        {
            return known;
        }

        Array.Sort(drawn);
        return Quantile.Of(drawn, confidence) - sum.WorstSeconds;
    }

    private static WindowRisk Of(PlannedWindow window, StageDraws draws)
    {
        StageSum?[] sums = [.. window.Units.Select(unit => StageSum.Of(unit.StageTimes))];
        WindowRisk risk = new()
        {
            Site = window.Site,
            WindowOpensUtc = window.OpensUtc,
            WindowClosesUtc = window.ClosesUtc,
            Units = window.Units.Count,
            UnitsWithoutTimes = sums.Count(sum => sum is null),
        };
        if (risk.UnitsWithoutTimes > 0)
        {
            return risk;
        }

        WindowWork[] work = [.. window.Units.Zip(sums, (unit, sum) => new WindowWork((unit.StartUtc - window.OpensUtc).TotalSeconds, sum!, unit.RecoverSeconds))];
        double close = (window.ClosesUtc - window.OpensUtc).TotalSeconds + Microsecond;
        int[] late = WindowWork.Late(work, close, draws);
        bool varies = sums.Any(sum => sum!.Variance > 0);
        return risk with
        {
            OverrunProbability = (double)late[late.Length - 1] / Draws,
            StandardError = varies ? StandardError(late[late.Length - 1]) : 0,
            OverrunBound = WindowWork.Bound(work, close),
            UnitsAt95 = late.Count(count => Draws - count >= LikelyEnough * Draws),
        };
    }

    private static double StandardError(int late)
    {
        double probability = (late + 1.0) / (Draws + 2);
        return Math.Sqrt(probability * (1 - probability) / Draws);
    }
}
