using System.Globalization;
using PoeOps.Core.Tests.Files;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning.Proof;

/// <summary>Plans against the CP-SAT solver of Google OR-Tools (9.15), which proves the optimum of small cases and bounds of larger ones.</summary>
public sealed class OptimumTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>Two hundred cases of up to twelve units, with and without hops, groups, limits, soaks, management, attendance and lanes.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(40)]
    [InlineData(80)]
    [InlineData(120)]
    [InlineData(160)]
    public void Few_units_go_in_as_few_windows_as_can_be_and_end_as_early(int from)
    {
        List<string> worse = [];
        int proved = 0;
        foreach (int seed in Enumerable.Range(from, 40))
        {
            PlanCase one = new RandomCase(seed, Estate).Small(most: 12, windows: 8);
            Plan plan = one.Plan();
            worse.AddRange(PlanChecker.Broken(one, plan).Select(broken => $"case {seed}: {broken}"));
            if (new SolverModel(one).Best(seconds: 60) is not { } best)
            {
                worse.AddRange(plan.Obstacles.Count == 0 ? [$"case {seed}: all is planned, and the solver proved that it cannot be"] : []);
                continue;
            }

            proved++;
            long end = (long)(plan.LastEndUtc!.Value - one.Options.FromUtc).TotalSeconds;
            if ((plan.Windows, end, plan.Obstacles.Count) != (best.Windows, best.EndSeconds, 0))
            {
                worse.Add(string.Create(CultureInfo.InvariantCulture, $"case {seed}: {plan.Windows} windows to {end} s, {plan.Obstacles.Count} obstacles; the optimum is {best.Windows} to {best.EndSeconds} s"));
            }
        }

        Assert.Empty(worse);
        Assert.True(proved >= 30, $"Of 40 cases the solver proved the optimum of {proved}.");
    }

    /// <summary>The solver begins with the plan, so that it has one at all, and looks for a minute for a better one.</summary>
    [Fact]
    public void Two_hundred_units_take_no_more_windows_than_the_solver_finds_in_a_minute()
    {
        PlanCase one = new RandomCase(7, Estate).Large(units: 200, sites: 4, models: 2, lanes: 4, hours: 5, TimeSpan.FromHours(24), groupEvery: 9, windows: 12);
        Plan plan = one.Plan();
        (int? found, int bound) = new SolverModel(one).Fewest(seconds: 60, plan);
        Assert.Empty(PlanChecker.Broken(one, plan));
        Assert.Empty(plan.Obstacles);
        Assert.NotNull(found);
        Assert.True(plan.Windows <= found, $"{plan.Windows} windows; the solver found {found} and proved that {bound} are needed.");
        Assert.True(plan.Windows >= bound, $"{plan.Windows} windows are fewer than the {bound} that the solver proved to be needed.");
    }

    private string Estate => _folder.Write("chance.estate.json", "{}");
}
