using PoeOps.Core.Tests.Files;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning.Proof;

/// <summary>
/// Ten thousand units against bounds from below that hold for any plan; see <see cref="PlanCase.Bound"/>.
/// </summary>
public sealed class LargePlanTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(250, 250)] // forty units at a site
    [InlineData(100, 50)] // a hundred, and two sites to a lane
    public void Where_neither_soak_nor_coverage_binds_there_are_at_most_a_hundredth_more_windows_than_the_bound(int sites, int lanes)
    {
        PlanCase one = new RandomCase(1, Estate).Large(10_000, sites, models: 1, lanes, hours: 5, TimeSpan.Zero, groupEvery: 0);
        Plan plan = one.Plan();
        AssertWithin(1.01, one, plan);
    }

    [Fact]
    public void Where_they_bind_there_are_at_most_three_hundredths_more()
    {
        PlanCase one = new RandomCase(2, Estate).Large(10_000, sites: 250, models: 8, lanes: 250, hours: 5, TimeSpan.FromHours(24), groupEvery: 3);
        Plan plan = one.Plan();
        AssertWithin(1.03, one, plan);
    }

    private static void AssertWithin(double share, PlanCase one, Plan plan)
    {
        Assert.Empty(plan.Obstacles);
        Assert.Empty(PlanChecker.Broken(one, plan));
        (int volume, int groups) = one.Bound();
        Assert.True(plan.Windows <= share * groups, $"{plan.Windows} windows; by volume {volume} are needed, by volume and groups {groups}.");
        Assert.True(plan.Windows >= groups, $"{plan.Windows} windows are fewer than the {groups} that any plan needs.");
    }

    private string Estate => _folder.Write("chance.estate.json", "{}");
}
