using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Core.Tests.Outages;

/// <summary>Sums done on paper beside the code. Class figures are those of IEEE 802.3, clauses 33 and 145: 4, 7, 15.4 and 30 W for classes 1 to 4, 15.4 W for class 0.</summary>
public sealed class OutageMeasureTests
{
    // They come back in the order 2 (critical), 1, 10: power 1, 2 and 3 s after the reset. Port 3 feeds nobody.
    private static readonly Controller Reef = SampleUnit.Controller(
        SampleUnit.Port("1", draw: 6.3m, restart: 90, pdClass: 2) with { Load = "ticket hall", Role = "phone" },
        SampleUnit.Port("2", draw: 27m, restart: 60, pdClass: 4, priority: PortPriority.Critical) with { Role = "help point", LifeSafety = true },
        SampleUnit.Port("3", draw: 9m, restart: 500, pdClass: 4) with { Status = DetectionStatus.Searching },
        SampleUnit.Port("10", restart: 120, priority: PortPriority.Low));

    [Fact]
    public void Each_load_is_dark_from_erase_until_its_turn_after_the_reset_and_serves_when_its_role_says()
    {
        // Dark from 20 + 60 = 80; the reset ends at 80 + 10 + 90 + 20 = 200 and, at worst, 230 s after the start of Erase.
        string[] loads = [.. Measure(Reef, SampleUnit.Times).LoadOutages.Select(Line)];
        Assert.Equal(
            [
                "quay-1/2/1 from 80 until 202 dark 122 worst 232 serves 292 out 212",
                "quay-1/2/2 from 80 until 201 dark 121 worst 231 serves 261 out 181",
                "quay-1/2/10 from 80 until 203 dark 123 worst 233 serves 323 out 243",
            ],
            loads);
    }

    [Fact]
    public void A_unit_adds_up_its_loads()
    {
        Outage outage = Measure(Reef with { BudgetWatts = 62.4m, GuardBandWatts = 10 }, SampleUnit.Times);
        Assert.Equal((3, 1, 1), (outage.Loads, outage.LifeSafetyLoads, outage.DrawUnknownLoads));
        Assert.Equal((123, 233, 203), (outage.DarkSecondsTypical, outage.DarkSecondsWorst, outage.LastLoadBackSeconds));
        Assert.Equal(6.1, outage.DarkLoadMinutes!.Value, 9); // (121 + 122 + 123) / 60
        Assert.Equal(10.6, outage.OutOfServiceLoadMinutes!.Value, 9); // (181 + 212 + 243) / 60
        Assert.Equal(1.121m, outage.UnservedWattHours); // 27 W x 121 s and 6.3 W x 122 s: 3267 + 768.6 = 4035.6 Ws
        Assert.Equal(52.4m, outage.RestartDemandWatts); // class 4, class 2, and one that was not read: 30 + 7 + 15.4
        Assert.Equal((0m, 0, 0), (outage.ShortfallWatts, outage.RefusedLoads, outage.ReducedLoads)); // less 62.4 - 10
        Assert.Equal("baseline", outage.StageTimesFrom);
        Assert.Equal(
            "1 life-safety load goes dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.",
            outage.Caution);
    }

    [Fact]
    public void Hops_add_their_dark_times_and_wait_for_the_loads_between_them()
    {
        // First image: dark from 60, reset ends at 120, verified at 125, loads serve 3 + 120 = 123 s later by plan: the second starts at 248.
        // Second image: its reset ends 200 s after that, at 448.
        Outage outage = Measure(Reef, SampleUnit.HopTimes, SampleUnit.Times);
        Assert.Equal(
            [
                "quay-1/2/1 from 60 until 450 dark 184 worst 354 serves 540 out 364", // 60 + 2 + 120 + 2; 120 + 2 + 230 + 2; + 2 x 90
                "quay-1/2/2 from 60 until 449 dark 182 worst 352 serves 509 out 302",
                "quay-1/2/10 from 60 until 451 dark 186 worst 356 serves 571 out 426",
            ],
            outage.LoadOutages.Select(Line));
        Assert.Equal((2, 186, 356, 451), (outage.Hops, outage.DarkSecondsTypical, outage.DarkSecondsWorst, outage.LastLoadBackSeconds));
    }

    [Fact]
    public void Energy_is_summed_before_it_is_divided()
    {
        // 2 W x 121 s + 5 W x 122 s + 5 W x 123 s = 242 + 610 + 615 = 1467 Ws; each of the three alone is no finite decimal of watt-hours.
        Outage outage = Measure(SampleUnit.Controller(SampleUnit.Port("1", 2), SampleUnit.Port("2", 5), SampleUnit.Port("3", 5)), SampleUnit.Times);
        Assert.Equal(0.4075m, outage.UnservedWattHours);
        Assert.NotEqual(0.4075m, outage.LoadOutages.Sum(load => load.UnservedWattHours));
    }

    // 50 W: the first two are granted 30 and 7 W, and 15.4 W do not fit beside them. The load without an end is in none of the sums.
    [Fact]
    public void A_load_that_does_not_come_back_is_counted_and_in_no_sum()
    {
        Outage outage = Measure(Reef with { BudgetWatts = 60, GuardBandWatts = 10 }, SampleUnit.Times);
        Assert.Equal((3, 1, 0, 2.4m), (outage.Loads, outage.RefusedLoads, outage.ReducedLoads, outage.ShortfallWatts));
        Assert.Equal((122, 232, 202), (outage.DarkSecondsTypical, outage.DarkSecondsWorst, outage.LastLoadBackSeconds));
        Assert.Equal((4.05, 6.55), (Math.Round(outage.DarkLoadMinutes!.Value, 9), Math.Round(outage.OutOfServiceLoadMinutes!.Value, 9))); // (121 + 122) / 60, (181 + 212) / 60
        Assert.Equal(
            ["quay-1/2/1 Back 202", "quay-1/2/2 Back 201", "quay-1/2/10 Refused "], outage.LoadOutages.Select(load => FormattableString.Invariant($"{load.PortId} {load.Restart} {load.DarkUntilSeconds}")));
    }

    [Fact]
    public void What_does_not_come_back_is_said_with_what_would_help()
    {
        Assert.Equal(
            "quay-1/2: 1 of 3 loads (port 10) does not come back within the unit's budget after the controller restarts. What would bring all back, each by itself: 2.4 W more supply.",
            RestartCaution.Of(Measure(Reef with { BudgetWatts = 60, GuardBandWatts = 10 }, SampleUnit.Times)));
        Assert.Equal("", RestartCaution.Of(Measure(Reef with { BudgetWatts = 100 }, SampleUnit.Times)));
        Assert.Equal("", RestartCaution.Of(Measure(Reef, SampleUnit.Times)));
        Assert.Equal("", RestartCaution.Of(OutageMeasure.Measure(new Drift(Reef with { BudgetWatts = 60, GuardBandWatts = 10 }) { Verdict = Verdict.Current }).Outage));
    }

    // Port 2 negotiates 12 W within 20 s: at 21 the third fits, and is back at the end of its slot, 222 s after the start (the reset ends at 200).
    [Fact]
    public void A_load_that_waits_for_another_is_dark_for_longer()
    {
        Controller unit = Reef with { BudgetWatts = 60, GuardBandWatts = 10, Ports = [.. Reef.Ports.Select(port => port.Name == "2" ? port with { AllocatedWatts = 12, DrawWatts = 8, NegotiateSeconds = 20 } : port)] };
        Outage outage = Measure(unit, SampleUnit.Times);
        Assert.Equal((0, 222.0), (outage.RefusedLoads, outage.LastLoadBackSeconds));
        Assert.Equal(["202", "201", "222"], outage.LoadOutages.Select(load => FormattableString.Invariant($"{load.DarkUntilSeconds}")));
    }

    // Beside the 7 W of port 1, 50 W have room for port 10's 15.4 W only once port 2 claims no more than 27.6 of its 30: set aside or not, a load that draws
    // 20 W has not negotiated 12, and none negotiates nothing.
    [Theory]
    [InlineData(12, 8, 0)]
    [InlineData(12, 20, 1)]
    [InlineData(0, 8, 1)]
    public void What_is_set_aside_counts_only_where_the_load_can_have_negotiated_it(double allocated, double draw, int refused)
    {
        Port[] ports = [.. Reef.Ports.Select(port => port.Name == "2" ? port with { AllocatedWatts = (decimal)allocated, DrawWatts = (decimal)draw, NegotiateSeconds = 20 } : port)];
        Assert.Equal(refused, Measure(Reef with { BudgetWatts = 60, GuardBandWatts = 10, Ports = ports }, SampleUnit.Times).RefusedLoads);
    }

    [Fact]
    public void Where_the_budget_was_not_read_nobody_says_who_comes_back()
    {
        Outage outage = Measure(Reef, SampleUnit.Times);
        Assert.Equal((null, null), (outage.RefusedLoads, outage.ReducedLoads));
        Assert.All(outage.LoadOutages, load => Assert.Null(load.Restart));
    }

    [Fact]
    public void A_figure_that_cannot_be_is_told_and_nothing_is_simulated()
    {
        OutageResult result = OutageMeasure.Measure(SampleUnit.Behind(Reef with { BudgetWatts = 200_000 }, SampleUnit.Times));
        Problem problem = Assert.Single(result.Problems);
        Assert.Equal((ProblemId.RestartImpossible, "quay-1/2", "The budget is 200000 W, and 0 to 100000 was expected."), (problem.Id, problem.Target, problem.Sentence));
        Assert.Null(result.Outage.RefusedLoads);
        Assert.Equal(123, result.Outage.DarkSecondsTypical);
    }

    [Theory]
    [InlineData(60.0, 7.6, 0.0)] // 52.4 W into 52.4 W: what fits exactly fits
    [InlineData(60.0, 7.7, 0.1)]
    [InlineData(60.0, null, 0.0)] // nobody names a guard band
    [InlineData(5.0, 10.0, 52.4)] // nothing can be granted
    [InlineData(null, 10.0, null)] // not read, so not told
    public void The_shortfall_is_what_the_demand_exceeds_budget_less_guard_band_by(double? budget, double? guard, double? shortfall)
    {
        Controller unit = Reef with { BudgetWatts = (decimal?)budget, GuardBandWatts = (decimal?)guard };
        Assert.Equal((decimal?)shortfall, Measure(unit, SampleUnit.Times).ShortfallWatts);
    }

    [Theory]
    [InlineData(null, 15.4)]
    [InlineData(0, 15.4)]
    [InlineData(1, 4)]
    [InlineData(2, 7)]
    [InlineData(3, 15.4)]
    [InlineData(4, 30)]
    [InlineData(5, 45)]
    [InlineData(6, 60)]
    [InlineData(7, 75)]
    [InlineData(8, 90)]
    public void A_load_asks_for_its_class_when_it_comes_back(int? pdClass, double watts) =>
        Assert.Equal((decimal)watts, Measure(SampleUnit.Controller(SampleUnit.Port("1", pdClass: pdClass)), SampleUnit.Times).RestartDemandWatts);

    [Theory]
    [InlineData(Verdict.Current)]
    [InlineData(Verdict.Ahead)]
    [InlineData(Verdict.Unlisted)]
    [InlineData(Verdict.Unreadable)]
    [InlineData(Verdict.Faulted)]
    public void A_unit_without_images_to_load_has_a_row_in_which_nothing_goes_dark(Verdict verdict)
    {
        OutageResult result = OutageMeasure.Measure(new Drift(Reef) { Verdict = verdict });
        Outage outage = result.Outage;
        Assert.Empty(result.Problems);
        Assert.Equal((verdict, 0, 3, 1), (outage.Verdict, outage.Hops, outage.Loads, outage.LifeSafetyLoads));
        Assert.Equal((0.0, 0.0, 0.0, 0.0, 0.0), (outage.DarkSecondsTypical, outage.DarkSecondsWorst, outage.DarkLoadMinutes, outage.OutOfServiceLoadMinutes, outage.LastLoadBackSeconds));
        Assert.Equal((0m, 52.4m), (outage.UnservedWattHours, outage.RestartDemandWatts));
        Assert.Empty(outage.LoadOutages);
        Assert.Equal(("", ""), (outage.Caution, outage.StageTimesFrom));
    }

    [Fact]
    public void A_unit_that_feeds_nobody_is_dark_for_nobody()
    {
        Outage outage = Measure(SampleUnit.Controller(), SampleUnit.Times);
        Assert.Equal((0, 0, 0m), (outage.Loads, outage.DarkSecondsTypical, outage.UnservedWattHours));
    }

    [Fact]
    public void Without_stage_times_the_row_is_there_and_says_nothing_that_rests_on_them()
    {
        OutageResult result = OutageMeasure.Measure(SampleUnit.Behind(Reef with { BudgetWatts = 50 }, SampleUnit.Times, SampleUnit.TimesOf((20, 40), (60, 120), null, (90, 180), (20, 30), (5, 10))));
        Problem problem = Assert.Single(result.Problems);
        Assert.Equal("StageTimesUnknown - -: The baseline gives no time for the stage Erase of the image 'reef-3.10.2.img'. Add it under 'stageSeconds' of the entry.", Told.Of(problem));
        Assert.Equal("quay-1/2", problem.Target);

        Outage outage = result.Outage;
        Assert.Equal((3, 1, 2, 2.4m), (outage.Loads, outage.LifeSafetyLoads, outage.Hops, outage.ShortfallWatts));
        Assert.NotEmpty(outage.Caution);
        Assert.All(new object?[] { outage.DarkSecondsTypical, outage.DarkSecondsWorst, outage.DarkLoadMinutes, outage.OutOfServiceLoadMinutes, outage.LastLoadBackSeconds, outage.UnservedWattHours }, Assert.Null);
        Assert.Equal(["1 2", "2 1", "10 "], outage.LoadOutages.Select(load => FormattableString.Invariant($"{load.Port} {load.BackSeconds}")));
        Assert.All(outage.LoadOutages.SelectMany(load => new object?[] { load.DarkFromSeconds, load.DarkUntilSeconds, load.DarkSecondsTypical, load.ServesAtSeconds, load.UnservedWattHours }), Assert.Null);
        Assert.Equal("", outage.StageTimesFrom);
    }

    [Fact]
    public void A_restart_time_that_nobody_says_is_not_taken_for_none()
    {
        Outage outage = Measure(SampleUnit.Controller(SampleUnit.Port("1", restart: 30), SampleUnit.Port("2", restart: null)), SampleUnit.Times);
        Assert.Null(outage.OutOfServiceLoadMinutes);
        Assert.Equal([231.0, null], outage.LoadOutages.Select(load => load.ServesAtSeconds)); // 200 + 1 + 30
        Assert.NotNull(outage.DarkLoadMinutes);
    }

    private static Outage Measure(Controller controller, params StageTimes[] hops)
    {
        OutageResult result = OutageMeasure.Measure(SampleUnit.Behind(controller, hops));
        Assert.Empty(Told.Of(result.Problems));
        return result.Outage;
    }

    private static string Line(LoadOutage load) => string.Create(
        CultureInfo.InvariantCulture,
        $"{load.PortId} from {load.DarkFromSeconds} until {load.DarkUntilSeconds} dark {load.DarkSecondsTypical} worst {load.DarkSecondsWorst} serves {load.ServesAtSeconds} out {load.OutOfServiceSeconds}");
}
