using MathNet.Numerics.Distributions;
using PoeOps.Baselines;

namespace PoeOps.Core.Tests.Planning;

/// <summary>
/// Ends of units by another way than chance: the distribution of a sum on a grid of seconds, folded stage by stage, with the masses of each stage from
/// the lognormal distribution function of MathNet.Numerics.
/// </summary>
internal sealed class GridSum
{
    private double[] _mass;

    public GridSum(int mostSeconds)
    {
        _mass = new double[mostSeconds + 1];
        _mass[0] = 1;
    }

    /// <summary>Nothing goes on before this.</summary>
    public GridSum NotBefore(int seconds)
    {
        double before = _mass[..seconds].Sum();
        Array.Clear(_mass, 0, seconds);
        _mass[seconds] += before;
        return this;
    }

    public GridSum Add(StageTimes times) => times.Stages.Values.Aggregate(this, (sum, time) => sum.Add(time));

    public GridSum Add(int seconds) => Fold(at => at == seconds ? 1 : 0);

    public double Beyond(int seconds) => 1 - _mass[..(seconds + 1)].Sum();

    private GridSum Add(StageTime time)
    {
        if (time.TypicalSeconds == time.WorstSeconds)
        {
            return Add((int)time.WorstSeconds);
        }

        LogNormal law = new(Math.Log(time.TypicalSeconds), Math.Log(time.WorstSeconds / time.TypicalSeconds) / Normal.InvCDF(0, 1, 0.95));
        return Fold(at => law.CumulativeDistribution(at + 0.5) - (at == 0 ? 0 : law.CumulativeDistribution(at - 0.5)));
    }

    private GridSum Fold(Func<int, double> other)
    {
        double[] masses = [.. Enumerable.Range(0, _mass.Length).Select(other)];
        int first = Array.FindIndex(masses, mass => mass > 1e-12);
        int last = Array.FindLastIndex(masses, mass => mass > 1e-12);
        double[] sum = new double[_mass.Length];
        for (int i = 0; i < _mass.Length; i++)
        {
            for (int j = first; _mass[i] > 1e-14 && j <= last && i + j < sum.Length; j++)
            {
                sum[i + j] += _mass[i] * masses[j];
            }
        }

        _mass = sum;
        return this;
    }
}
