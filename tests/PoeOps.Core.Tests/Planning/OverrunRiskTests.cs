using MathNet.Numerics.Distributions;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

public sealed class OverrunRiskTests
{
    private static readonly StageTimes Usual = SampleUnit.TimesOf((30, 60), (60, 120), (20, 60), (300, 600), (30, 45), (10, 10));

    [Theory]
    [InlineData(500)]
    [InlineData(700)]
    [InlineData(760)]
    [InlineData(900)]
    [InlineData(1500)]
    public void A_unit_of_one_stage_overruns_as_the_closed_form_says(double close)
    {
        // 100 s of other stages, 60 s of recovery, begun 40 s after the opening: what is left to the stage is the close less 200 s.
        WindowRisk risk = Night.Risk(close, Night.Unit(1, 40, Night.Only(300, 600)));
        double expected = 1 - new LogNormal(Math.Log(300), Math.Log(2) / Normal.InvCDF(0, 1, 0.95)).CumulativeDistribution(close - 200);
        Assert.InRange(risk.OverrunProbability!.Value, expected - (4 * risk.StandardError!.Value), expected + (4 * risk.StandardError.Value));
        Assert.InRange(risk.StandardError.Value, Math.Sqrt(expected * (1 - expected) / 20_000) - 1e-4, Math.Sqrt(expected * (1 - expected) / 20_000) + 1e-4);
        Assert.Equal(expected <= 0.05 ? 1 : 0, risk.UnitsAt95);
    }

    [Fact]
    public void Units_one_after_the_other_overrun_as_a_sum_on_a_grid_says()
    {
        // The second is planned when the first is through at worst (895 s and 60 s), the third when the second is as a rule.
        (int Start, StageTimes Times)[] units = [(0, Usual), (955, Night.Only(200, 700)), (1400, Usual)];
        foreach (int close in new[] { 1900, 2300 })
        {
            double expected = units.Aggregate(new GridSum(4_000), (sum, unit) => sum.NotBefore(unit.Start).Add(unit.Times).Add(60)).Beyond(close);
            WindowRisk risk = Night.Risk(close, [.. units.Select((unit, index) => Night.Unit(index + 1, unit.Start, unit.Times))]);
            Assert.InRange(risk.OverrunProbability!.Value, expected - 0.001 - (4 * risk.StandardError!.Value), expected + 0.001 + (4 * risk.StandardError.Value));
            Assert.InRange(expected, 0.001, 0.999);
        }
    }

    [Fact]
    public void Units_whose_times_are_planned_over_each_other_go_by_their_order()
    {
        WindowRisk together = Night.Risk(2000, Night.Unit(1, 0, Usual), Night.Unit(2, 0, Usual), Night.Unit(3, 0, Usual));
        double expected = new GridSum(4_000).Add(Usual).Add(60).Add(Usual).Add(60).Add(Usual).Add(60).Beyond(2000);
        Assert.InRange(together.OverrunProbability!.Value, expected - 0.001 - (4 * together.StandardError!.Value), expected + 0.001 + (4 * together.StandardError.Value));
        Assert.Equal(together, Night.Risk(2000, Night.Unit(3, 0, Usual), Night.Unit(1, 0, Usual), Night.Unit(2, 0, Usual)));
    }

    [Fact]
    public void The_bound_of_units_without_a_gap_is_Cantellis_inequality()
    {
        // Mean and variance by MathNet.Numerics; 2 x 60 s of recovery and 2 x 100 s of stages that never vary.
        LogNormal law = new(Math.Log(300), Math.Log(2) / Normal.InvCDF(0, 1, 0.95));
        double slack = 1500 - 320 - (2 * law.Mean);
        double expected = 2 * law.Variance / ((2 * law.Variance) + (slack * slack));
        WindowRisk risk = Night.Risk(1500, Night.Unit(1, 0, Night.Only(300, 600)), Night.Unit(2, 0, Night.Only(300, 600)));
        Assert.Equal(expected, risk.OverrunBound!.Value, 7);
        Assert.Equal(1, Night.Risk(320 + (2 * law.Mean) - 0.01, Night.Unit(1, 0, Night.Only(300, 600)), Night.Unit(2, 0, Night.Only(300, 600))).OverrunBound);

        // With a start that may be waited for, from there on the same again.
        double later = 1500 - 700 - 160 - law.Mean;
        WindowRisk waits = Night.Risk(1500, Night.Unit(1, 0, Night.Only(300, 600)), Night.Unit(2, 700, Night.Only(300, 600)));
        Assert.Equal(expected + (law.Variance / (law.Variance + (later * later))), waits.OverrunBound!.Value, 7);
    }

    [Theory]
    [InlineData(500, 0, 0, 2)]
    [InlineData(499.9, 1, 1, 1)]
    [InlineData(200, 1, 1, 0)]
    public void What_never_varies_is_certain_and_may_end_with_the_window(double close, double probability, double bound, int inTime)
    {
        StageTimes always = Night.Only(90, 90);
        WindowRisk risk = Night.Risk(close, Night.Unit(1, 0, always), Night.Unit(2, 250, always));
        Assert.Equal((probability, 0.0, bound, inTime), (risk.OverrunProbability!.Value, risk.StandardError!.Value, risk.OverrunBound!.Value, risk.UnitsAt95!.Value));
    }

    [Fact]
    public void A_unit_without_times_leaves_its_window_unsaid_and_no_other()
    {
        StageTimes lacking = SampleUnit.TimesOf((10, 10), null, (20, 20), (30, 30), (15, 15), (5, 5));
        StageTimes impossible = SampleUnit.TimesOf((10, 10), (50, 50), (20, 20), (30, 29), (15, 15), (5, 5));
        PlannedUnit other = Night.Unit(4, 0, Usual) with { Site = "islet" };
        IReadOnlyList<WindowRisk> risks = OverrunRisk.Of(Night.Plan(5000, Night.Unit(1, 0, Usual), Night.Unit(2, 900, lacking), Night.Unit(3, 1800, impossible), other));
        Assert.Equal(["islet", "quay"], risks.Select(risk => risk.Site));
        Assert.Equal((1, 0, 0.0, 1), (risks[0].Units, risks[0].UnitsWithoutTimes, risks[0].OverrunProbability, risks[0].UnitsAt95));
        Assert.Equal(new WindowRisk { Site = "quay", WindowOpensUtc = Night.Opens, WindowClosesUtc = Night.Opens.AddSeconds(5000), Units = 3, UnitsWithoutTimes = 2 }, risks[1]);
    }

    [Fact]
    public void Gates_without_a_time_take_the_default()
    {
        StageTimes said = SampleUnit.TimesOf((30, 60), (50, 80), (20, 20), (30, 30), (15, 15), (5, 5));
        StageTimes unsaid = SampleUnit.TimesOf(null, (50, 80), (20, 20), (30, 30), (15, 15), (5, 5));
        Assert.Equal(Night.Risk(260, Night.Unit(1, 0, said)), Night.Risk(260, Night.Unit(1, 0, unsaid)));
    }

    [Fact]
    public void Windows_are_told_apart_by_site_opening_and_close_and_sites_without_regard_to_case()
    {
        PlannedUnit one = Night.Unit(1, 0, Usual) with { WindowClosesUtc = Night.Opens.AddHours(2) };
        Plan plan = new()
        {
            Units =
            [
                one, one with { Order = 2, Site = "QUAY" }, one with { Order = 3, WindowClosesUtc = Night.Opens.AddHours(3) },
                one with { Order = 4, Site = "quay10" }, one with { Order = 5, Site = "quay9" }, one with { Order = 6, WindowOpensUtc = Night.Opens.AddDays(-1) },
            ],
        };
        Assert.Equal(
            [("quay", -24, 2, 1), ("quay", 0, 2, 2), ("quay", 0, 3, 1), ("quay9", 0, 2, 1), ("quay10", 0, 2, 1)],
            plan.Risks.Select(risk => (risk.Site, (risk.WindowOpensUtc - Night.Opens).TotalHours, (risk.WindowClosesUtc - Night.Opens).TotalHours, risk.Units)));
    }

    [Fact]
    public void The_same_plan_gives_the_same_figures_and_an_empty_one_none()
    {
        PlannedUnit[] units = [Night.Unit(1, 0, Usual), Night.Unit(2, 955, Night.Only(200, 700))];
        Assert.Equal(Night.Risk(1500, units), Night.Risk(1500, units));
        Assert.Empty(new Plan().Risks);

        // By this very seed, so that another runtime that drew otherwise would show here.
        Assert.Equal(0.2034, Night.Risk(1500, units).OverrunProbability!.Value, 12);
    }

    [Fact]
    public void Times_beyond_all_measure_are_an_overrun()
    {
        WindowRisk risk = Night.Risk(3600, Night.Unit(1, 0, Night.Only(1e-300, 86400)));
        Assert.Equal(1, risk.OverrunBound);
        Assert.InRange(risk.OverrunProbability!.Value, 0.04, 0.06);
    }

    [Fact]
    public void A_made_plan_has_a_risk_for_each_of_its_windows()
    {
        using Files.ScratchFolder folder = new();
        Plan plan = Planner.Plan([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2"), Lagoon.Behind("quay-2/1"), Lagoon.Behind("islet-1/1")], Lagoon.Estate(folder), Lagoon.Options);
        Assert.Equal(plan.Windows, plan.Risks.Count);
        Assert.Equal(plan.Units.Count, plan.Risks.Sum(risk => risk.Units));
        Assert.All(plan.Risks, risk => Assert.InRange(risk.OverrunProbability!.Value, 0, 0.05));
    }
}
