using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Outages;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>The outages of a plan, as it was approved.</summary>
public sealed class PlanOutageTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    // The quay opens at 21:00 UTC. Typical times of Lagoon: 330 s before Erase, dark 760 s, so that the reset ends 1090 s after the start; power a second later.
    [Fact]
    public void A_load_has_the_clock_times_of_its_window()
    {
        Outage outage = Assert.Single(PlanOutage.Of(ThroughFile(Lagoon.Behind(Lagoon.Unit("quay-1/1") with { BudgetWatts = 15 }))));
        Assert.Equal(("plan", 1, 15m, 15.4m, 0.4m, 1), (outage.StageTimesFrom, outage.Loads, outage.BudgetWatts, outage.RestartDemandWatts, outage.ShortfallWatts, outage.RefusedLoads));

        Assert.EndsWith("Measure the unit again, as it is now, for what would help.", RestartCaution.Of(outage), StringComparison.Ordinal);

        outage = Assert.Single(PlanOutage.Of(ThroughFile(Lagoon.Behind("quay-1/1"))));
        LoadOutage load = Assert.Single(outage.LoadOutages);
        Assert.Equal((330.0, 761.0, 1091.0), (load.DarkFromSeconds, load.DarkSecondsTypical, load.DarkUntilSeconds));
        Assert.Equal((At("21:05:30"), At("21:18:11")), (load.DarkFromUtc, load.DarkUntilUtc));
    }

    // Two images, 40 minutes and 2 of recovery at worst each: the second starts when the worst case of the first is over, and the load is back for good in it.
    [Fact]
    public void Images_of_one_unit_are_one_row()
    {
        Outage measured = Lagoon.Behind(Lagoon.Unit("quay-1/1"), Lagoon.Times, Lagoon.Times);
        Outage outage = Assert.Single(PlanOutage.Of(ThroughFile(measured)));
        Assert.Equal((measured.Hops, measured.DarkSecondsTypical, measured.DarkSecondsWorst, measured.UnservedWattHours), (outage.Hops, outage.DarkSecondsTypical, outage.DarkSecondsWorst, outage.UnservedWattHours));
        Assert.Equal((At("21:05:30"), At("22:00:11")), (outage.LoadOutages[0].DarkFromUtc, outage.LoadOutages[0].DarkUntilUtc)); // 21:42:00 + 1091 s
    }

    [Fact]
    public void What_came_of_a_plan_stands_beside_it()
    {
        Plan plan = ThroughFile(Lagoon.Behind("quay-1/1"));
        RefreshSample sample = new()
        {
            UnitId = new UnitId("quay-1", "1"), ToFirmware = "3.10.2", Outcome = "Done", DarkSeconds = 800, LoadsBack = 1, LoadDarkSeconds = new Dictionary<string, double?> { ["1"] = 800 },
        };
        Outage outage = PlanOutage.Of(plan, new EarlierRuns([sample]))[0];
        Assert.Equal((761.0, 800.0, "Done", 1), (outage.DarkSecondsTypical, outage.RealDarkSeconds, outage.RealOutcome, outage.RealLoadsBack));
        Assert.Equal((true, 800.0), (outage.LoadOutages[0].RealBack, outage.LoadOutages[0].RealDarkSeconds));
        Assert.Equal("", PlanOutage.Of(plan, new EarlierRuns([sample with { ToFirmware = "3.11" }]))[0].RealOutcome);
    }

    // A load that never comes back does not keep the window open; what comes back last does: with 19 W the one of class 3 is refused, and the other serves after 1 + 119 s.
    [Fact]
    public void The_recovery_that_is_planned_is_that_of_the_loads_that_come_back()
    {
        Controller unit = Lagoon.Unit("quay-1/1");
        Port other = SampleUnit.Port("2", draw: 3, restart: 500, pdClass: 3) with { Site = "quay", Switch = "quay-1", Unit = "1" };
        Assert.Equal(502, ThroughFile(Lagoon.Behind(unit with { Ports = [unit.Ports[0], other] })).Units[0].RecoverSeconds);
        Assert.Equal(120, ThroughFile(Lagoon.Behind(unit with { BudgetWatts = 19, Ports = [unit.Ports[0], other] })).Units[0].RecoverSeconds);
    }

    private static DateTime At(string time) => DateTime.SpecifyKind(Lagoon.Noon.Date + TimeSpan.Parse(time, System.Globalization.CultureInfo.InvariantCulture), DateTimeKind.Utc);

    private Plan ThroughFile(Outage outage)
    {
        string path = _folder.Path("a.plan.json");
        PlanFile.Write(Planner.Plan([outage], Lagoon.Estate(_folder), Lagoon.Options with { RefusedLoads = [outage.UnitId] }), path, overwrite: true);
        PlanResult read = PlanFile.Read(path);
        Assert.Empty(Told.Of(read.Problems));
        return read.Plan!;
    }
}
