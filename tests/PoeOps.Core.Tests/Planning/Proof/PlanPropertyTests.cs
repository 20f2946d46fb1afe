using System.Globalization;
using PoeOps.Core.Tests.Files;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning.Proof;

/// <summary>What holds for every plan, over estates by chance: the file is read back and every rule proved from it.</summary>
public sealed class PlanPropertyTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(6, 30)]
    [InlineData(30, 4)]
    [InlineData(90, 2)]
    public void Every_rule_holds_in_the_file(int most, int cases)
    {
        foreach (int seed in Enumerable.Range(1000 * most, cases))
        {
            PlanCase one = new RandomCase(seed, Estate).Small(most, windows: 14);
            string path = _folder.Path(string.Create(CultureInfo.InvariantCulture, $"{seed}.plan.json"));
            PlanFile.Write(one.Plan(), path, overwrite: false);
            Assert.Equal([], PlanChecker.Broken(one, PlanFile.Read(path).Plan!).Select(broken => $"case {seed}: {broken}"));
        }
    }

    [Fact]
    public void The_same_units_give_the_same_file_in_whatever_order_they_come()
    {
        foreach (int seed in Enumerable.Range(500, 2))
        {
            PlanCase one = new RandomCase(seed, Estate).Small(most: 20);
            PlanFile.Write(one.Plan(), _folder.Path("a.json"), overwrite: true);
            PlanFile.Write((one with { Units = [.. one.Units.Reverse()] }).Plan(), _folder.Path("b.json"), overwrite: true);
            Assert.Equal(File.ReadAllText(_folder.Path("a.json")), File.ReadAllText(_folder.Path("b.json")));
        }
    }

    [Fact]
    public void A_broken_plan_is_found()
    {
        PlanCase one = new RandomCase(3, Estate).Small(most: 12);
        Plan plan = one.Plan();
        PlannedUnit first = plan.Units[0];
        Plan With(PlannedUnit unit) => plan with { Units = [unit, .. plan.Units.Skip(1)] };
        Assert.Empty(PlanChecker.Broken(one, plan));
        Assert.NotEmpty(PlanChecker.Broken(one, With(first with { StartUtc = first.StartUtc.AddHours(-9), EndUtc = first.EndUtc.AddHours(-9) })));
        Assert.NotEmpty(PlanChecker.Broken(one, With(first with { EndUtc = first.EndUtc.AddSeconds(-1) })));
        Assert.NotEmpty(PlanChecker.Broken(one, With(first with { Lane = 9 })));
        Assert.NotEmpty(PlanChecker.Broken(one, plan with { Units = [.. plan.Units.Skip(1)] }));
        Assert.NotEmpty(PlanChecker.Broken(one, plan with { NothingToDo = 1 }));
    }

    private string Estate => _folder.Write("chance.estate.json", "{}");
}
