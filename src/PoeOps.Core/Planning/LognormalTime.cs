using PoeOps.Baselines;

namespace PoeOps.Planning;

/// <summary>
/// How long a stage takes, by chance: lognormal with the typical time as its median and the worst time as its 95th percentile. A stage whose two times
/// are equal always takes that long. One whose typical time is 0 and whose worst is not (a stage that few devices name) has no such distribution and
/// always takes its worst.
/// </summary>
/// <param name="Mu">The logarithm of the median.</param>
/// <param name="Sigma">The standard deviation of the logarithm; 0 where the time never varies.</param>
internal readonly record struct LognormalTime(double Mu, double Sigma)
{
    /// <summary>The worst time of a stage is this quantile.</summary>
    public const double WorstAt = 0.95;

    private static readonly double WorstNormal = NormalQuantile.Of(WorstAt);

    /// <summary>The distribution of a stage; null for times that cannot be, a worst below the typical one.</summary>
    /// <param name="time">Its typical and its worst time.</param>
    public static LognormalTime? Of(StageTime time)
    {
        if (!(time.TypicalSeconds >= 0 && time.WorstSeconds >= time.TypicalSeconds))
        {
            return null;
        }

        return time.TypicalSeconds > 0
            ? new LognormalTime(Math.Log(time.TypicalSeconds), Math.Log(time.WorstSeconds / time.TypicalSeconds) / WorstNormal)
            : new LognormalTime(Math.Log(time.WorstSeconds), 0);
    }

    /// <summary>True where the time is not always the same.</summary>
    public bool Varies => Sigma > 0;

    /// <summary>The mean, seconds.</summary>
    public double Mean => Math.Exp(Mu + (Sigma * Sigma / 2));

    /// <summary>The variance, seconds squared.</summary>
    public double Variance => Varies ? (Math.Exp(Sigma * Sigma) - 1) * Math.Exp((2 * Mu) + (Sigma * Sigma)) : 0;

    /// <summary>The time that stands for a value of a standard normal variable, seconds.</summary>
    /// <param name="normal">The value.</param>
    public double At(double normal) => Math.Exp(Mu + (Sigma * normal));
}
