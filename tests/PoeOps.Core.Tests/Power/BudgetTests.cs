using PoeOps.Power;

namespace PoeOps.Core.Tests.Power;

public sealed class BudgetTests
{
    [Fact]
    public void Headroom_is_supply_less_guard_band_less_what_is_set_aside()
    {
        Budget budget = new(370, 20) { AllocatedWatts = 334.6m, DrawnWatts = 201.3m };
        Assert.Equal(350, budget.GrantableWatts);
        Assert.Equal(15.4m, budget.HeadroomWatts);
        Assert.Equal(201.3m, budget.DrawnWatts);
    }

    [Fact]
    public void A_claim_that_fits_exactly_is_granted()
    {
        Budget budget = new(370, 20) { AllocatedWatts = 334.6m };
        Assert.True(budget.Fits(15.4m));
        Assert.False(budget.Fits(15.4000000001m));
    }

    [Fact]
    public void More_set_aside_than_there_is_shows_as_negative_headroom() => Assert.Equal(-70, new Budget(100) { AllocatedWatts = 170 }.HeadroomWatts);

    [Fact]
    public void A_shortfall_is_what_a_demand_exceeds_and_never_below_zero()
    {
        Assert.Equal(10.5m, new Budget(370, 20).ShortfallWatts(360.5m));
        Assert.Equal(0, new Budget(370, 20).ShortfallWatts(350));
    }

    [Fact]
    public void A_guard_band_larger_than_the_supply_leaves_nothing() => Assert.Equal(0, new Budget(10, 20).GrantableWatts);

    [Fact]
    public void Tenths_of_a_watt_add_up_exactly() => Assert.Equal(0, new Budget(0.3m, 0.1m) { AllocatedWatts = 0.2m }.HeadroomWatts);

    [Fact]
    public void No_figure_is_negative()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new Budget(-1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Budget(1, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Budget(1) { AllocatedWatts = -1 });
        Assert.Throws<ArgumentOutOfRangeException>(() => new Budget(1) { DrawnWatts = -1 });
    }
}
