using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Outages;

/// <summary>What of a unit as it was read goes into the simulation of its restart. Figures by hand.</summary>
public sealed class UnitFiguresTests
{
    // 51.0 W at the load, agreed by neighbours, are 60 W at the port by the worst channel of class 6 (IEEE 802.3 clause 145, 50 V and 6.25 ohm): the
    // other load of 30 W fits into 90 and not into 89.9. Class 8 claims 90 W before, so that the other one waits.
    [Theory]
    [InlineData(90, "1 Back 1 60|2 Back 22 30")]
    [InlineData(90.5, "1 Back 1 60|2 Back 22 30")]
    public void What_neighbours_agreed_on_is_brought_to_the_port(double budget, string loads) =>
        Assert.Equal(loads, Loads(Unit((decimal)budget, SampleUnit.Port("1", pdClass: 8) with { AllocatedPdWatts = 51, NegotiateSeconds = 20 }, SampleUnit.Port("2", pdClass: 4))));

    [Fact]
    public void A_port_that_somebody_fixed_claims_that_from_the_start() =>
        Assert.Equal(
            "1 Back 1 12|2 Back 2 12",
            Loads(Unit(24, Fixed("1"), Fixed("2"))));

    [Theory]
    [InlineData(null, "1 Back 1 9")] // nobody says who decided: what is not the class figure was negotiated
    [InlineData(AllocationSource.Neighbour, "1 Back 1 9")]
    [InlineData(AllocationSource.Class, "1 Back 1 15.4")]
    [InlineData(AllocationSource.Draw, "1 Back 1 15.4")]
    [InlineData(AllocationSource.Limit, "1 Back 1 9")]
    public void Who_decided_an_allocation_says_what_it_means(AllocationSource? by, string loads) =>
        Assert.Equal(loads, Loads(Unit(100, SampleUnit.Port("1", pdClass: 3) with { AllocatedWatts = 9, AllocatedBy = by, NegotiateSeconds = 5 })));

    // Class 3: 15.4 W by clause 33, 14.0 W by clause 145 (from memory).
    [Theory]
    [InlineData(PseType.Unknown, 15.4)]
    [InlineData(PseType.Type2, 15.4)]
    [InlineData(PseType.Type3, 14.0)]
    public void The_type_decides_the_clause(PseType type, double demand) =>
        Assert.Equal((decimal)demand, OutageMeasure.MeasureRestart(Unit(100, SampleUnit.Port("1", pdClass: 3)) with { PseType = type }).Outage.RestartDemandWatts);

    [Fact]
    public void The_policy_and_the_time_of_a_port_are_those_of_the_unit()
    {
        Controller unit = Unit(40, SampleUnit.Port("1", draw: 8, restart: 2, pdClass: 4) with { LimitWatts = 15 }, SampleUnit.Port("2", draw: 7, restart: 2, pdClass: 4) with { LimitWatts = 20 }) with { StaggerSeconds = 0.5m };
        Assert.Equal("1 Back 0.5 30|2 Refused  0", Loads(unit));
        Assert.Equal("1 Back 0.5 8|2 Back 3 7", Loads(unit with { RestartPolicy = RestartPolicy.ByDraw }));
        Assert.Equal("1 Back 0.5 15|2 Back 1 20", Loads(unit with { RestartPolicy = RestartPolicy.ByLimit }));
        Assert.Equal(35m, OutageMeasure.MeasureRestart(unit with { RestartPolicy = RestartPolicy.ByLimit }).Outage.RestartDemandWatts);
        Assert.Equal("1 Back 1 60|2 Reduced 2 30", Loads(Unit(95, SampleUnit.Port("1", pdClass: 6), SampleUnit.Port("2", pdClass: 8)) with { Demotes = true }));
        Assert.Equal([0.5, 1.0], OutageMeasure.MeasureRestart(unit with { BudgetWatts = null }).Outage.LoadOutages.Select(load => load.BackSeconds));
    }

    // 2 x 370 W feed 47 loads of 15.4 W (723.8 W); with one failed 24 of them fit (369.6).
    [Fact]
    public void With_one_supply_failed_fewer_loads_come_back()
    {
        Controller unit = Unit(740, [.. Enumerable.Range(1, 47).Select(name => SampleUnit.Port($"{name}", draw: 5, pdClass: 3))]) with { SupplyWatts = [370, 370], Efficiency = new Efficiency(0.94m), AllocatedWatts = 723.8m };
        Outage outage = OutageMeasure.MeasureRestart(unit).Outage;
        Assert.Equal((0, 23, 16.2m, 250m), (outage.RefusedLoads, outage.RefusedLoadsOneFailed, outage.HeadroomWatts, outage.DrawWallWatts));
        Assert.Null(OutageMeasure.MeasureRestart(unit with { SupplyWatts = [740] }).Outage.RefusedLoadsOneFailed);
        Assert.Null(OutageMeasure.MeasureRestart(unit with { Efficiency = null }).Outage.DrawWallWatts);

        // A device that keeps one in reserve says the lesser budget itself.
        Assert.Equal((23, 23), (OutageMeasure.MeasureRestart(unit with { BudgetWatts = 370 }).Outage.RefusedLoads, OutageMeasure.MeasureRestart(unit with { BudgetWatts = 370 }).Outage.RefusedLoadsOneFailed));
    }

    // Half of 130 W is kept back, and of the 65 that are left of 130 + 130 with one failed, 65: 4 loads of 15.4 W.
    [Fact]
    public void A_guard_band_in_per_cent_is_one_of_the_supply_that_is_left()
    {
        Controller unit = Unit(260, [.. Enumerable.Range(1, 8).Select(name => SampleUnit.Port($"{name}", pdClass: 3))]) with { SupplyWatts = [130, 130], GuardBandWatts = 130, GuardBandPercent = 50 };
        Assert.Equal((0, 4), (OutageMeasure.MeasureRestart(unit).Outage.RefusedLoads, OutageMeasure.MeasureRestart(unit).Outage.RefusedLoadsOneFailed));
    }

    // What is less than a load draws is nothing that it negotiated, whoever says so; a limit that is set on a fixed port is what it is fixed at.
    [Fact]
    public void A_figure_that_cannot_be_what_it_says_is_not_believed()
    {
        Assert.Equal("1 Back 1 15.4", Loads(Unit(100, SampleUnit.Port("1", draw: 12, pdClass: 3) with { AllocatedWatts = 6.5m, AllocatedBy = AllocationSource.Neighbour, NegotiateSeconds = 5 })));
        Assert.Equal("1 Back 1 20", Loads(Unit(25, SampleUnit.Port("1", pdClass: 4) with { LimitWatts = 20, AllocatedWatts = 25, AllocatedBy = AllocationSource.Limit })));
        Assert.Equal("1 Back 1 30", Loads(Unit(100, SampleUnit.Port("1", pdClass: 4) with { LimitWatts = 0 }) with { RestartPolicy = RestartPolicy.ByLimit }));
        Assert.Equal("1 Back 1 15.4", Loads(Unit(20, SampleUnit.Port("1", pdClass: 4)) with { PseType = PseType.Type1 }));
        Problem told = Assert.Single(OutageMeasure.MeasureRestart(Unit(100, SampleUnit.Port("1", draw: 20))).Problems);
        Assert.Equal("Port '1' draws 20 W, which is more than class 0, which counts where none was read, has and than it negotiated: 15.4 W at the most.", told.Sentence);
    }

    [Fact]
    public void The_granted_power_is_there_step_by_step() =>
        Assert.Equal(
            ["0 0", "1 30", "2 34"],
            OutageMeasure.MeasureRestart(Unit(100, SampleUnit.Port("1", pdClass: 4), SampleUnit.Port("2", pdClass: 1))).Outage.GrantSteps.Select(step => FormattableString.Invariant($"{step.Seconds} {step.GrantedWatts:0.#}")));

    [Theory]
    [InlineData(31, null, null, "Port '1' draws 31 W, which is more than its class has and than it negotiated: 30 W at the most.")]
    [InlineData(31, 31, null, null)]
    [InlineData(41, 40, null, "Port '1' draws 41 W, which is more than its class has and than it negotiated: 40 W at the most.")]
    [InlineData(30, null, null, null)]
    public void A_draw_above_class_and_negotiation_is_told_and_measured(double draw, int? agreed, int? limit, string? told)
    {
        OutageResult result = OutageMeasure.MeasureRestart(Unit(100, SampleUnit.Port("1", draw: (decimal)draw, pdClass: 4) with { AllocatedWatts = agreed, AllocatedBy = AllocationSource.Neighbour, LimitWatts = limit }));
        Assert.Equal(told is null ? [] : [(ProblemId.DrawImpossible, told, "quay-1/2")], result.Problems.Select(problem => (problem.Id, problem.Sentence, problem.Target!)));
        Assert.Equal(0, result.Outage.RefusedLoads);
    }

    private static Port Fixed(string name) => SampleUnit.Port(name, pdClass: 4) with { AllocatedWatts = 12, AllocatedBy = AllocationSource.Limit };

    private static Controller Unit(decimal budget, params Port[] ports) => SampleUnit.Controller(ports) with { BudgetWatts = budget };

    private static string Loads(Controller unit) =>
        string.Join("|", OutageMeasure.MeasureRestart(unit).Outage.LoadOutages.Select(load => FormattableString.Invariant($"{load.Port} {load.Restart} {load.BackSeconds} {load.GrantedWatts}")));
}
