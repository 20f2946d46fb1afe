using MathNet.Numerics.Distributions;
using PoeOps.Baselines;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>The generator, the normal quantile and the lognormal law, each against what others publish or compute (MathNet.Numerics 5.0.0).</summary>
public sealed class ChanceTests
{
    [Fact]
    public void The_generator_gives_the_reference_numbers()
    {
        // What splitmix64.c, the reference code in the public domain, prints for the seed 1234567.
        SplitMix64 chance = new(1234567);
        Assert.Equal([6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821], Enumerable.Range(0, 5).Select(_ => chance.Next()));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(3)]
    public void A_place_in_the_sequence_is_as_near_as_its_beginning(int place) =>
        Assert.Equal(new ulong[] { 6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431 }[place], SplitMix64.At(1234567, (ulong)place).Next());

    [Fact]
    public void Parts_are_above_0_below_1_and_evenly_spread()
    {
        SplitMix64 chance = new(7);
        double[] parts = [.. Enumerable.Range(0, 100_000).Select(_ => chance.NextPart())];
        Assert.All(parts, part => Assert.InRange(part, double.Epsilon, 1 - 1e-16));

        // Pearson's chi-squared with 99 degrees of freedom; beyond 0.9999 once in ten thousand seeds.
        double chi = parts.GroupBy(part => (int)(part * 100)).Sum(group => Math.Pow(group.Count() - 1000, 2) / 1000);
        Assert.InRange(chi, ChiSquared.InvCDF(99, 0.0001), ChiSquared.InvCDF(99, 0.9999));
    }

    [Theory]
    [InlineData(1e-300)]
    [InlineData(1e-16)]
    [InlineData(0.001)]
    [InlineData(0.075)]
    [InlineData(0.0750001)]
    [InlineData(0.3)]
    [InlineData(0.5)]
    [InlineData(0.8)]
    [InlineData(0.925)]
    [InlineData(0.95)]
    [InlineData(0.999)]
    [InlineData(0.99999999)]
    public void The_normal_quantile_is_that_of_others(double probability)
    {
        double expected = Normal.InvCDF(0, 1, probability);
        Assert.InRange(NormalQuantile.Of(probability), expected - (1e-9 * Math.Abs(expected)) - 1e-15, expected + (1e-9 * Math.Abs(expected)) + 1e-15);
    }

    [Fact]
    public void Two_quantiles_that_tables_print()
    {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: to four places; the digits behind them from memory.
        Assert.Equal(1.6448536269514722, NormalQuantile.Of(0.95), 14);
        Assert.Equal(-2.3263478740408408, NormalQuantile.Of(0.01), 14);
    }

    [Theory]
    [InlineData(1, 1.5)]
    [InlineData(300, 600)]
    [InlineData(90, 91)]
    [InlineData(0.5, 500)]
    public void A_stage_is_lognormal_with_its_typical_time_as_median_and_its_worst_as_95th_percentile(double typical, double worst)
    {
        LognormalTime time = LognormalTime.Of(new StageTime(typical, worst))!.Value;
        LogNormal other = new(time.Mu, time.Sigma);
        Assert.Equal(1, other.Median / typical, 12);
        Assert.Equal(1, other.InverseCumulativeDistribution(0.95) / worst, 8);
        Assert.Equal(1, time.Mean / other.Mean, 10);
        Assert.Equal(1, time.Variance / other.Variance, 10);
        Assert.Equal(1, time.At(NormalQuantile.Of(0.99)) / other.InverseCumulativeDistribution(0.99), 8);
        Assert.True(time.Varies);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(40, 40)]
    [InlineData(0, 40)]
    public void A_stage_that_never_varies_takes_its_worst_time(double typical, double worst)
    {
        LognormalTime time = LognormalTime.Of(new StageTime(typical, worst))!.Value;
        Assert.False(time.Varies);
        Assert.Equal((worst, 0.0), (Math.Round(time.Mean, 9), time.Variance));
    }

    [Theory]
    [InlineData(10, 9)]
    [InlineData(-1, 9)]
    [InlineData(double.NaN, 9)]
    [InlineData(1, double.NaN)]
    public void Times_that_cannot_be_have_no_law(double typical, double worst) => Assert.Null(LognormalTime.Of(new StageTime(typical, worst)));
}
