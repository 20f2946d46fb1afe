using System.Text.RegularExpressions;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Baselines;

/// <summary>The verdict on a controller, its reason, and the way to the approved firmware.</summary>
public sealed class ComparisonTests : IDisposable
{
    private static readonly Controller Reef = new() { Site = "quay", Switch = "quay-1", Unit = "2", Model = "Reef-24", Serial = "S1", Release = "7.4", Firmware = "3.10.2", Condition = ControllerCondition.Healthy, ReadingProblems = 3 };

    // Firmware with the day first, such as 04.03.2019, which the natural order gets wrong.
    private static readonly Dialect ByDay = new()
    {
        Name = "shoal",
        Firmware = new VersionRule { Spellings = [new VersionSpelling(new Regex(@"\A(?<d>\d+)\.(?<m>\d+)\.(?<y>\d{4})\z"), ["y", "m", "d"])] },
        Release = new VersionRule { Spellings = [new VersionSpelling(new Regex(@"\Arel (?<n>\d+)\z"), ["n"])] },
    };

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("3.10.2", Verdict.Current, "It runs 3.10.2, which is approved.", "")]
    [InlineData("v03.10.02", Verdict.Current, "It runs v03.10.02, which is the approved 3.10.2 in another spelling.", "")]
    [InlineData("3.11", Verdict.Ahead, "It runs 3.11, which is newer than the approved 3.10.2.", "")]
    [InlineData("3.9.9", Verdict.Behind, "It runs 3.9.9, which is older than the approved 3.10.2; one image leads there.", "3.10.2")]
    [InlineData("3.0", Verdict.Behind, "It runs 3.0, which is older than the approved 3.10.2; one image leads there.", "3.10.2")]
    [InlineData("2.0", Verdict.Behind, "It runs 2.0, which is older than the approved 3.10.2; 2 images lead there: 3.0, then 3.10.2.", "3.0 3.10.2")]
    [InlineData("1.9", Verdict.Behind, "It runs 1.9, which is older than the approved 3.10.2; 3 images lead there: 2.0.4, then 3.0, then 3.10.2.", "2.0.4 3.0 3.10.2")]
    [InlineData("rf_3_10_2", Verdict.Unreadable, "The firmware 'rf_3_10_2' and the approved '3.10.2' are spelled in different ways, and no dialect says how.", "")]
    [InlineData("unknown", Verdict.Unreadable, "The firmware 'unknown' is no version in any spelling of the dialect ''.", "")]
    [InlineData(" ", Verdict.Unreadable, "No firmware version was read.", "")]
    [InlineData(null, Verdict.Unreadable, "No firmware version was read.", "")]
    public void The_firmware_decides_where_model_and_release_are_listed(string? firmware, Verdict verdict, string reason, string path)
    {
        Drift drift = Compare(Reef with { Firmware = firmware });
        Assert.Equal((verdict, reason, path), (drift.Verdict, drift.Reason, string.Join(' ', drift.Path.Select(hop => hop.Firmware))));
        Assert.Equal(drift.Path.Count, drift.Hops);
    }

    [Theory]
    [InlineData("7.2", "3.10.2")] // from is included
    [InlineData("8", "4.1")] // before is not
    [InlineData("12", "4.1")]
    [InlineData("7.1.9", null)]
    public void The_release_picks_the_entry(string release, string? approved) => Assert.Equal(approved, Compare(Reef with { Release = release }).ApprovedFirmware);

    [Fact]
    public void Without_its_dialect_nothing_is_said_of_a_version_and_a_fault_is_still_told()
    {
        Problem why = new(ProblemId.DialectUnknown, "No dialect is called 'shoal'.", "Correct the name.");
        Drift healthy = Comparison.WithoutDialect(Reef, why);
        Assert.Equal((Verdict.Unreadable, "Its versions cannot be compared without their dialect. No dialect is called 'shoal'."), (healthy.Verdict, healthy.Reason));
        Assert.Equal(Verdict.Faulted, Comparison.WithoutDialect(Reef with { Condition = ControllerCondition.Faulted }, why).Verdict);
    }

    [Fact]
    public void What_the_baseline_does_not_list_is_told_with_what_it_does()
    {
        Drift release = Compare(Reef with { Release = "7.1" });
        Assert.Equal(Verdict.Unlisted, release.Verdict);
        Assert.Equal("The baseline 'winter' has releases from 7.2 before 8 and releases from 8 of model 'Reef-24', and release 7.1 is not among them.", release.Reason);

        Drift model = Compare(Reef with { Model = "Reef-42" });
        Assert.Equal((Verdict.Unlisted, null), (model.Verdict, model.ApprovedFirmware));
        Assert.Equal("The baseline 'winter' has no entry for model 'Reef-42'; the nearest is 'Reef-24'.", model.Reason);
    }

    [Fact]
    public void A_model_is_the_same_in_any_case() => Assert.Equal(Verdict.Current, Compare(Reef with { Model = "REEF-24" }).Verdict);

    [Fact]
    public void What_was_not_read_cannot_be_compared()
    {
        Assert.Equal((Verdict.Unreadable, "No hardware model was read."), Told(Reef with { Model = null }));
        Assert.Equal((Verdict.Unreadable, "No software release was read, and the baseline's entry depends on it."), Told(Reef with { Release = null }));
        Assert.Equal((Verdict.Unreadable, "The release 'none' is no version in any spelling of the dialect ''."), Told(Reef with { Release = "none" }));
    }

    [Fact]
    public void An_entry_for_all_releases_needs_none() => Assert.Equal(Verdict.Behind, Compare(Reef with { Model = "kelp-8", Release = null, Firmware = "B9" }).Verdict);

    [Fact]
    public void A_controller_with_a_fault_is_told_so_before_anything_else()
    {
        Assert.Equal((Verdict.Faulted, "The controller has a fault; the device says 'BROKEN'."), Told(Reef with { Model = null, Condition = ControllerCondition.Faulted, ConditionText = "BROKEN" }));
        Assert.Equal((Verdict.Faulted, "The unit is listed without a controller."), Told(Reef with { Condition = ControllerCondition.Absent, Firmware = null }));
        Assert.Equal(Verdict.Current, Compare(Reef with { Condition = ControllerCondition.Unknown }).Verdict);
    }

    [Fact]
    public void The_row_is_flat_and_carries_the_controller()
    {
        Drift drift = Compare(Reef);
        Assert.Equal(("quay", "quay-1", "2", "quay-1/2"), (drift.Site, drift.Switch, drift.Unit, drift.UnitId.ToString()));
        Assert.Equal(("Reef-24", "S1", "7.4", "3.10.2", "3.10.2", 3), (drift.Model, drift.Serial, drift.Release, drift.Firmware, drift.ApprovedFirmware, drift.ReadingProblems));
        Assert.Same(Reef, drift.Controller);
    }

    [Fact]
    public void A_hop_on_the_way_carries_its_image_and_times()
    {
        Hop hop = Compare(Reef with { Firmware = "1.0" }).Path[0];
        Assert.Equal(("reef-2.0.4.img", 2048), (hop.Image.File, hop.Image.Bytes));
        Assert.Equal(new StageTime(45, 90), hop.Times.Of("Program"));
    }

    [Fact]
    public void A_hop_that_jumps_past_the_next_one_makes_it_needless()
    {
        Baseline baseline = Approving("3", ("1.0", "2.5"), ("2.2", "2.6"));
        Assert.Equal(["2.5", "3"], Comparison.Compare(Reef with { Firmware = "0.9" }, baseline, null).Path.Select(hop => hop.Firmware));
        Assert.Equal(["2.6", "3"], Comparison.Compare(Reef with { Firmware = "1.0" }, baseline, null).Path.Select(hop => hop.Firmware));
    }

    [Theory]
    [InlineData("05.03.2019", Verdict.Current)]
    [InlineData("5.3.2019", Verdict.Current)]
    [InlineData("28.12.2018", Verdict.Behind)]
    [InlineData("01.04.2019", Verdict.Ahead)]
    public void The_dialect_says_how_versions_are_spelled_and_ordered(string firmware, Verdict verdict) =>
        Assert.Equal(verdict, Comparison.Compare(Reef with { Firmware = firmware, Release = null }, Approving("05.03.2019"), ByDay).Verdict);

    [Fact]
    public void What_only_the_dialect_can_see_is_told_when_a_controller_is_compared()
    {
        // The hop comes after the approved firmware by the calendar, and before it by its text.
        Baseline hops = Approving("05.03.2019", ("01.01.2019", "04.05.2019"));
        Drift drift = Comparison.Compare(Reef with { Firmware = "01.01.2018", Release = null }, hops, ByDay);
        Assert.Equal((Verdict.Unreadable, "The hop to 04.05.2019 does not lead to the approved 05.03.2019, which is not newer."), (drift.Verdict, drift.Reason));

        Drift spelling = Comparison.Compare(Reef with { Firmware = "01.01.2018", Release = null }, Approving("7"), ByDay);
        Assert.Equal((Verdict.Unreadable, "The firmware '7' in the baseline is no version in any spelling of the dialect 'shoal'."), (spelling.Verdict, spelling.Reason));
    }

    [Fact]
    public void Two_entries_that_a_dialect_finds_to_overlap_decide_nothing()
    {
        Baseline one = Approving("05.03.2019");
        BaselineEntry entry = one.Entries[0];
        Baseline two = one with { Entries = [entry with { ReleaseFrom = "rel 7" }, entry with { ReleaseFrom = "rel 8" }] };
        Drift drift = Comparison.Compare(Reef with { Release = "rel 10", Firmware = "05.03.2019" }, two, ByDay);
        Assert.Equal((Verdict.Unreadable, "The baseline 'b' has 2 entries that cover model 'Reef-24' on release rel 10."), (drift.Verdict, drift.Reason));

        Drift bound = Comparison.Compare(Reef with { Release = "rel 10", Firmware = "05.03.2019" }, one with { Entries = [entry with { ReleaseBefore = "8" }] }, ByDay);
        Assert.Equal("The release '8' in the baseline is no version in any spelling of the dialect 'shoal'.", bound.Reason);
    }

    [Fact]
    public void A_pattern_that_takes_too_long_ends_in_a_verdict()
    {
        Dialect slow = new() { Firmware = new VersionRule { Spellings = [new VersionSpelling(new Regex(@"\A(?:(\d+)+)+x\z", RegexOptions.None, TimeSpan.FromMilliseconds(50)), [])] } };
        Drift drift = Comparison.Compare(Reef with { Firmware = new string('1', 60) }, Approving("1"), slow);
        Assert.Equal((Verdict.Unreadable, @"The dialect's pattern '\A(?:(\d+)+)+x\z' took too long on a version, so nothing was compared."), (drift.Verdict, drift.Reason));
    }

    private static Baseline Approving(string approved, params (string Below, string Firmware)[] hops) => new()
    {
        Name = "b",
        Entries = [new BaselineEntry { Model = "Reef-24", Firmware = approved, Hops = [.. hops.Select(hop => new HopRule { Below = hop.Below, Firmware = hop.Firmware })] }],
    };

    private (Verdict Verdict, string Reason) Told(Controller c)
    {
        Drift drift = Compare(c);
        return (drift.Verdict, drift.Reason);
    }

    private Drift Compare(Controller c) => Comparison.Compare(c, BaselineFile.Read(_folder.Write("w.baseline.json", SampleBaseline.Text)).Baseline!, null);
}
