using PoeOps.Core.Tests.Files;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Power;

/// <summary>Several supplies, one of them failed, and what the wall gives for them. Sums done on paper.</summary>
public sealed class SuppliesTests
{
    [Fact]
    public void The_largest_supply_is_the_one_that_fails()
    {
        Supplies supplies = new([370, 715, 370]);
        Assert.Equal((1455m, 740m), (supplies.TotalWatts, supplies.WithOneFailedWatts));
        Assert.Equal(0, new Supplies([370]).WithOneFailedWatts);
        Assert.Equal((1435m, 720m), (Budget.Of(supplies, 20).GrantableWatts, Budget.WithOneFailed(supplies, 20).GrantableWatts));
    }

    // Between 20 % at 0.90 and 60 % at 0.94 the middle is 0.92; level outside.
    [Theory]
    [InlineData("0", "0.90")]
    [InlineData("0.2", "0.90")]
    [InlineData("0.3", "0.91")]
    [InlineData("0.4", "0.92")]
    [InlineData("0.6", "0.94")]
    [InlineData("1", "0.91")]
    [InlineData("1.2", "0.91")]
    public void Efficiency_is_straight_between_points(string load, string figure) =>
        Assert.Equal(Watts.Parse(figure).Value, new Efficiency([new(1, 0.91m), new(0.2m, 0.90m), new(0.6m, 0.94m)]).At(Watts.Parse(load).Value));

    [Fact]
    public void The_wall_gives_what_the_ports_draw_and_the_loss()
    {
        Assert.Equal(400m, new Efficiency(0.9m).WallWatts(360, 370));
        Assert.Equal(0m, new Efficiency(0.9m).WallWatts(0, 370));
        Assert.Equal(200m, (Budget.Of(new Supplies([370])) with { DrawnWatts = 185 }).WallWatts(new Efficiency([new(0, 0.85m), new(1, 1m)])));
    }

    [Theory]
    [InlineData("none", "A unit without a supply feeds nothing.")]
    [InlineData("zero", "A supply of 0 W is none; above 0 and up to 100000 was expected.")]
    [InlineData("below", "A supply of -5 W is none; above 0 and up to 100000 was expected.")]
    [InlineData("92", "An efficiency of 92 at a load of 1 is none; above 0 and up to 1, at a load from 0 to 1, was expected.")]
    [InlineData("load", "An efficiency of 0.9 at a load of 50 is none; above 0 and up to 1, at a load from 0 to 1, was expected.")]
    [InlineData("twice", "A curve of efficiency has two points at one load.")]
    [InlineData("empty", "A curve of efficiency has no point.")]
    [InlineData("output", "An output of -1 W of supplies of 370 W is none; 0 W or more of more than 0 W was expected.")]
    public void What_no_supply_does_is_refused(string wrong, string told)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => wrong switch
        {
            "none" => (object)new Supplies([]),
            "zero" => new Supplies([370, 0]),
            "below" => new Supplies([-5]),
            "92" => new Efficiency(92),
            "load" => new Efficiency([new(50, 0.9m)]),
            "twice" => new Efficiency([new(0.5m, 0.9m), new(0.5m, 0.92m)]),
            "empty" => new Efficiency([]),
            _ => new Efficiency(0.9m).WallWatts(-1, 370),
        }).Problem;
        Assert.Equal((ProblemId.SupplyImpossible, told), (problem.Id, problem.Sentence));
    }
}
