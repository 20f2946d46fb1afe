using MathNet.Numerics.Distributions;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

public sealed class ReserveTests
{
    // Program spreads so far that it rules the sum.
    private static readonly StageTimes Wide = SampleUnit.TimesOf((10, 12), (50, 60), (20, 25), (120, 900), (15, 15), (5, 5));

    [Theory]
    [InlineData(0.6, 0)]
    [InlineData(0.95, 0)]
    [InlineData(0.99, null)]
    [InlineData(0.999, null)]
    public void A_unit_of_one_stage_gets_what_its_quantile_exceeds_its_worst_case_by(double confidence, int? seconds)
    {
        double quantile = new LogNormal(Math.Log(300), Math.Log(2) / Normal.InvCDF(0, 1, 0.95)).InverseCumulativeDistribution(confidence);
        double expected = seconds ?? Math.Ceiling(quantile - 600);
        Assert.Equal(expected, OverrunRisk.ReserveFor([Night.Only(300, 600)], confidence).TotalSeconds);
    }

    [Theory]
    [InlineData(0.97)]
    [InlineData(0.99)]
    public void A_unit_of_several_stages_ends_in_time_as_often_as_it_was_asked_for(double confidence)
    {
        // Started so late that worst case, recovery and reserve just fit: the rest of the window is 1017 s of worst case and the reserve.
        TimeSpan reserve = OverrunRisk.ReserveFor([Wide], confidence);
        Assert.True(reserve > TimeSpan.Zero);
        double late = new GridSum(5_000).Add(Wide).Beyond(1017 + (int)reserve.TotalSeconds);
        Assert.InRange(1 - late, confidence - 0.002, confidence + 0.002);
    }

    [Fact]
    public void The_reserve_is_that_of_the_unit_that_asks_for_most()
    {
        TimeSpan one = OverrunRisk.ReserveFor([Night.Only(300, 600)], 0.99);
        TimeSpan most = OverrunRisk.ReserveFor([Wide], 0.99);
        Assert.True(most > one);
        Assert.Equal(most, OverrunRisk.ReserveFor([Night.Only(300, 600), Wide, Night.Only(10, 10)], 0.99));
    }

    [Fact]
    public void A_typical_unit_needs_none_at_95_percent()
    {
        // Each stage at its 95th percentile at once is far rarer than one in twenty.
        Assert.Equal(TimeSpan.Zero, OverrunRisk.ReserveFor([Lagoon.Times], 0.95));
        Assert.Equal(TimeSpan.Zero, OverrunRisk.ReserveFor([Night.Only(10, 10)], 0.999));
    }

    [Fact]
    public void No_units_and_units_without_times_need_none()
    {
        Assert.Equal(TimeSpan.Zero, OverrunRisk.ReserveFor([], 0.99));
        Assert.Equal(TimeSpan.Zero, OverrunRisk.ReserveFor([StageTimes.None], 0.99));
    }

    [Fact]
    public void A_reserve_beyond_every_window_is_cut() =>
        Assert.Equal(TimeSpan.FromDays(366), OverrunRisk.ReserveFor([Night.Only(1e-300, 86400)], 0.999));

    [Theory]
    [InlineData(0.5, "0.5")]
    [InlineData(0.9991, "0.9991")]
    [InlineData(1, "1")]
    [InlineData(95, "95")]
    [InlineData(-0.95, "-0.95")]
    [InlineData(double.NaN, "NaN")]
    [InlineData(double.PositiveInfinity, "Infinity")]
    public void A_confidence_that_cannot_be_is_refused(double confidence, string shown)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => OverrunRisk.ReserveFor([Wide], confidence)).Problem;
        Assert.Equal(ProblemId.ConfidenceImpossible, problem.Id);
        Assert.Equal($"A confidence of {shown} was given, and more than 0.5 and at most 0.999 was expected.", problem.Sentence);
        Assert.Equal("Write it as a part of 1, such as 0.99.", problem.Advice);
        Assert.Equal(problem, OverrunRisk.Check(confidence));
    }

    [Fact]
    public void A_confidence_that_can_be_is_none() => Assert.All([0.5001, 0.95, 0.999], confidence => Assert.Null(OverrunRisk.Check(confidence)));
}
