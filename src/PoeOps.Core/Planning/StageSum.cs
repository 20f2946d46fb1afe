using System.Globalization;
using PoeOps.Baselines;

namespace PoeOps.Planning;

/// <summary>How long one image takes from Gate to the end of Verify, by chance: the sum of its stages, each independent of the others.</summary>
internal sealed class StageSum
{
    private readonly (int Stage, LognormalTime Time)[] _varying;

    private StageSum((int Stage, LognormalTime Time)[] varying, double constant, double worst)
    {
        _varying = varying;
        ConstantSeconds = constant;
        WorstSeconds = worst;
        MeanSeconds = constant + varying.Sum(one => one.Time.Mean);
        Variance = varying.Sum(one => one.Time.Variance);
        Key = string.Join(" ", varying.Select(one => FormattableString.Invariant($"{one.Stage}:{one.Time.Mu:R}:{one.Time.Sigma:R}"))) + "+" + constant.ToString("R", CultureInfo.InvariantCulture);
    }

    /// <summary>What two sums have in common that are alike in every draw.</summary>
    public string Key { get; }

    /// <summary>The part that never varies, seconds; it never takes less.</summary>
    public double ConstantSeconds { get; }

    /// <summary>The sum of the worst times, seconds.</summary>
    public double WorstSeconds { get; }

    /// <summary>The mean, seconds.</summary>
    public double MeanSeconds { get; }

    /// <summary>The variance, seconds squared.</summary>
    public double Variance { get; }

    /// <summary>The sum of a unit's stages; null where a stage has no time, or times that cannot be.</summary>
    /// <param name="times">The times.</param>
    public static StageSum? Of(StageTimes times)
    {
        List<(int, LognormalTime)> varying = [];
        double constant = 0;
        double worst = 0;
        for (int stage = 0; stage < StageTimes.Names.Count; stage++)
        {
            StageTime? time = times.Of(StageTimes.Names[stage]) ?? (StageTimes.Names[stage] == "Gate" ? StageTimes.DefaultGate : null);
            if (time is null || LognormalTime.Of(time) is not { } law)
            {
                return null;
            }

            worst += time.WorstSeconds;
            if (law.Varies)
            {
                varying.Add((stage, law));
            }
            else
            {
                constant += time.WorstSeconds;
            }
        }

        return new StageSum([.. varying], constant, worst);
    }

    /// <summary>Draws of the sum.</summary>
    /// <param name="normals">Draws of standard normal variables, by the stage's place.</param>
    /// <param name="count">How many.</param>
    public double[] Draw(Func<int, double[]> normals, int count)
    {
        double[] sums = new double[count];
        for (int i = 0; i < count; i++)
        {
            sums[i] = ConstantSeconds;
        }

        foreach ((int stage, LognormalTime time) in _varying)
        {
            double[] of = normals(stage);
            for (int i = 0; i < count; i++)
            {
                sums[i] += time.At(of[i]);
            }
        }

        return sums;
    }

    /// <summary>The quantile where no more than one stage varies, exactly; null where several do.</summary>
    /// <param name="probability">Above 0 and below 1.</param>
    public double? Quantile(double probability) => _varying.Length switch
    {
        0 => ConstantSeconds,
        1 => ConstantSeconds + _varying[0].Time.At(NormalQuantile.Of(probability)),
        _ => null,
    };
}
