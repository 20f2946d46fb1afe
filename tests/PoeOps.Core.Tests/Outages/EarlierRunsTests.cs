using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Core.Tests.Outages;

/// <summary>What refreshes that are over teach.</summary>
public sealed class EarlierRunsTests
{
    private static readonly Controller Reef = SampleUnit.Controller(SampleUnit.Port("1", draw: 6, restart: 60, pdClass: 2), SampleUnit.Port("2", draw: 3, restart: 60, pdClass: 1));

    // Hyndman and Fan's seventh definition, linear between the ranks beside (n - 1) q; worked by hand. 0.95 of ranks 0 to 4 is 3.8: 40 + 0.8 x 60 = 88.
    [Theory]
    [InlineData("10,20,30,40,100", 0.5, 30)]
    [InlineData("10,20,30,40,100", 0.95, 88)]
    [InlineData("10,20", 0.5, 15)]
    [InlineData("7", 0.95, 7)]
    [InlineData("1,2,3", 0, 1)]
    [InlineData("1,2,3", 1, 3)]
    public void A_quantile_is_linear_between_ranks(string samples, double q, double expected) =>
        Assert.Equal(expected, Quantile.Of([.. samples.Split(',').Select(text => double.Parse(text, CultureInfo.InvariantCulture))], q), 9);

    [Fact]
    public void There_is_no_quantile_of_nothing()
    {
        Assert.Throws<ArgumentException>(() => Quantile.Of([], 0.5));
        Assert.Throws<ArgumentException>(() => Quantile.Of([1], 1.1));
    }

    // Five refreshes of other units: Program 10, 20, 30, 40, 100 s; none of them named Erase. Typical: gate 20 + transfer 5 before, dark 0 + 30 + 7 and a second
    // for each port in turn; worst 88 for 30.
    [Fact]
    public void Five_refreshes_take_the_place_of_the_baseline()
    {
        Outage outage = Measure([10, 20, 30, 40, 100]);
        Assert.Equal("journal (5)", outage.StageTimesFrom);
        Assert.Equal((38.0 + 1, 25.0), (outage.DarkSecondsTypical, outage.LoadOutages[0].DarkFromSeconds));
        Assert.Equal(7 + 88.0 + 2, outage.DarkSecondsWorst!.Value, 9);
        Assert.Equal(new StageTime(30, 88), new StageTime(outage.Drift.Path[0].Times.Of("Program")!.TypicalSeconds, Math.Round(outage.Drift.Path[0].Times.Of("Program")!.WorstSeconds, 9)));
        Assert.Equal(new StageTime(20, 40), outage.Drift.Path[0].Times.Of("Gate"));
    }

    [Fact]
    public void Fewer_than_five_leave_the_baselines_figures_and_the_row_says_so()
    {
        Outage outage = Measure([10, 20, 30, 40]);
        Assert.Equal(("baseline (4 of 5)", 122.0), (outage.StageTimesFrom, outage.DarkSecondsTypical));
    }

    [Theory]
    [InlineData("Failed", "Reef-24", 4096, "baseline (0 of 5)")]
    [InlineData("Degraded", "reef-24", 4096, "journal (5)")]
    [InlineData("Done", "Reef-48", 4096, "baseline (0 of 5)")]
    [InlineData("Done", "Reef-24", 4097, "baseline (0 of 5)")]
    public void Only_whole_refreshes_of_the_model_and_the_image_size_count(string outcome, string model, long bytes, string from)
    {
        RefreshSample[] samples = [.. Samples([1, 2, 3, 4, 5]).Select(sample => sample with { Outcome = outcome, Model = model, ImageBytes = bytes })];
        Assert.Equal(from, OutageMeasure.Measure(SampleUnit.Behind(Reef, SampleUnit.Times), new EarlierRuns(samples)).Outage.StageTimesFrom);
    }

    // The unit's own refresh is held against the plan, and is none of the samples that the plan is made of.
    [Fact]
    public void What_really_happened_stands_beside_what_was_planned()
    {
        RefreshSample own = Samples([500])[0] with
        {
            UnitId = new UnitId("QUAY-1", "2"), DarkSeconds = 131.5, LoadsBack = 1, Outcome = "Degraded", LoadDarkSeconds = new Dictionary<string, double?> { ["1"] = 131.5, ["2"] = null },
        };
        Outage outage = OutageMeasure.Measure(SampleUnit.Behind(Reef, SampleUnit.Times), new EarlierRuns([.. Samples([10, 20, 30, 40]), own])).Outage;
        Assert.Equal(("baseline (4 of 5)", "Degraded", 131.5, 1), (outage.StageTimesFrom, outage.RealOutcome, outage.RealDarkSeconds, outage.RealLoadsBack));
        Assert.Equal(131.5 / 60, outage.RealDarkLoadMinutes!.Value, 9);
        Assert.Equal(["1 121 131.5 True", "2 122  False"], outage.LoadOutages.Select(load => FormattableString.Invariant($"{load.Port} {load.DarkSecondsTypical} {load.RealDarkSeconds} {load.RealBack}")));
    }

    [Fact]
    public void A_journal_that_is_read_twice_counts_once_and_the_latest_says_what_came_of_a_unit()
    {
        RefreshSample[] same = [.. Enumerable.Repeat(Samples([7])[0] with { Id = "d1" }, 9)];
        Assert.Equal("baseline (1 of 5)", OutageMeasure.Measure(SampleUnit.Behind(Reef, SampleUnit.Times), new EarlierRuns(same)).Outage.StageTimesFrom);

        RefreshSample late = Samples([7])[0] with { UnitId = new UnitId("quay-1", "2"), Id = "d2", EndUtc = new DateTime(2026, 12, 2, 0, 0, 0, DateTimeKind.Utc) };
        RefreshSample early = late with { Id = "d3", Outcome = "Failed", EndUtc = late.EndUtc.AddDays(-30) };
        Assert.Equal("Done", OutageMeasure.Measure(SampleUnit.Behind(Reef, SampleUnit.Times), new EarlierRuns([late, early])).Outage.RealOutcome);
    }

    [Fact]
    public void Where_an_image_of_a_unit_was_not_loaded_nothing_real_is_said()
    {
        RefreshSample own = Samples([500])[0] with { UnitId = new UnitId("quay-1", "2"), DarkSeconds = 131.5 };
        Outage outage = OutageMeasure.Measure(SampleUnit.Behind(Reef, SampleUnit.HopTimes, SampleUnit.Times), new EarlierRuns([own])).Outage;
        Assert.Equal(("", null, null), (outage.RealOutcome, outage.RealDarkSeconds, outage.RealLoadsBack));

        // Both images: dark times add up.
        outage = OutageMeasure.Measure(SampleUnit.Behind(Reef, SampleUnit.HopTimes, SampleUnit.Times), new EarlierRuns([own with { ToFirmware = "3.9.0", DarkSeconds = 60 }, own])).Outage;
        Assert.Equal(("Done", 191.5, "baseline (1 of 5)"), (outage.RealOutcome, outage.RealDarkSeconds, outage.StageTimesFrom));
    }

    private static Outage Measure(double[] program) => OutageMeasure.Measure(SampleUnit.Behind(Reef, SampleUnit.Times), new EarlierRuns(Samples(program))).Outage;

    private static RefreshSample[] Samples(double[] program) =>
    [
        .. program.Select((seconds, at) => new RefreshSample
        {
            UnitId = new UnitId("rock-1", at.ToString(CultureInfo.InvariantCulture)), Model = "Reef-24", ImageBytes = SampleUnit.Image.Bytes, ToFirmware = "3.10.2", Outcome = "Done",
            StageSeconds = new Dictionary<string, double> { ["Transfer"] = 5, ["Program"] = seconds, ["Reset"] = 7, ["Verify"] = 1 },
        }),
    ];
}
