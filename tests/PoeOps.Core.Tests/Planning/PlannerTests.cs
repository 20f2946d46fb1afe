using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>Plans made on paper; see <see cref="Lagoon"/> for windows and times.</summary>
public sealed class PlannerTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Units_go_in_the_order_a_person_counts_and_what_does_not_fit_goes_into_the_next_window()
    {
        Plan plan = Make([Lagoon.Behind("quay-1/10"), Lagoon.Behind("quay-2/1"), Lagoon.Behind("quay-1/2"), Lagoon.Behind("quay-1/1")]);
        Assert.Equal(
            ["1 quay-1/1 1/1 01 21:00-21:42", "2 quay-1/2 1/1 01 21:42-22:24", "3 quay-1/10 1/1 03 21:00-21:42", "4 quay-2/1 1/1 03 21:42-22:24"],
            Lines(plan));
        Assert.Empty(plan.Obstacles);
        Assert.Equal(2, plan.Windows);
    }

    [Fact]
    public void A_planned_unit_says_what_it_was_made_from()
    {
        PlannedUnit unit = Assert.Single(Make([Lagoon.Behind("quay-1/1")]).Units);
        Assert.Equal(("quay", "quay-1", "1", "Reef-24", "S-1", "7.4", "3.8", "3.10.2"), (unit.Site, unit.Switch, unit.Unit, unit.Model, unit.Serial, unit.Release, unit.FromFirmware, unit.ToFirmware));
        Assert.Equal((2400.0, 120.0, 600.0, 1, 0, false, false), (unit.WorstSeconds, unit.RecoverSeconds, unit.ReserveSeconds, unit.Loads, unit.LifeSafetyLoads, unit.ReadingProblemsAccepted, unit.WindowAttended));
        Assert.Equal((Utc(1, 21, 0), Utc(1, 23, 0)), (unit.WindowOpensUtc, unit.WindowClosesUtc));
        Assert.Equal(Outages.SampleUnit.Image, unit.Image);
        Assert.Same(Lagoon.Times, unit.StageTimes);
    }

    [Theory]
    [InlineData(78, "01 21:00-21:42")] // 42 + 78 minutes are the two hours
    [InlineData(79, null)]
    public void Worst_case_recovery_and_reserve_may_end_with_the_window_and_no_later(int reserveMinutes, string? expected)
    {
        Plan plan = Make([Lagoon.Behind("quay-1/1")], Lagoon.Options with { Reserve = TimeSpan.FromMinutes(reserveMinutes) });
        Assert.Equal(expected is null ? [] : ["1 quay-1/1 1/1 " + expected], Lines(plan));
        Assert.Equal(expected is null ? ["quay-1/1 NoWindowFits: It needs 121 minutes with its worst case, recovery and reserve, and the longest window of 'quay' has 120. Lengthen a window, or shorten the reserve."] : [], Told(plan));
    }

    [Fact]
    public void In_a_window_that_is_open_already_nothing_starts_before_now()
    {
        Plan plan = Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2"), Lagoon.Behind("quay-1/3")], Lagoon.Options with { FromUtc = Utc(1, 21, 30) });
        Assert.Equal(["1 quay-1/1 1/1 01 21:30-22:12", "2 quay-1/2 1/1 03 21:00-21:42", "3 quay-1/3 1/1 03 21:42-22:24"], Lines(plan));
    }

    [Fact]
    public void One_unit_at_a_time_in_the_whole_estate()
    {
        // The islet comes first by name, in its window from 21:30; before it 30 minutes are free at the quay, which are too few.
        Plan plan = Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("islet-1/1")]);
        Assert.Equal(["1 islet-1/1 1/1 01 21:30-22:12", "2 quay-1/1 1/1 03 21:00-21:42"], Lines(plan));
    }

    [Fact]
    public void A_gap_between_two_units_is_used_by_one_that_fits_into_it()
    {
        StageTimes brief = Outages.SampleUnit.TimesOf((1, 60), (1, 60), (1, 60), (1, 60), (1, 60), (1, 60)); // 6 minutes and 2
        Plan plan = Make([Lagoon.Behind("islet-1/1"), Lagoon.Behind(Lagoon.Unit("quay-1/1"), brief), Lagoon.Behind("quay-1/2"), Lagoon.Behind(Lagoon.Unit("quay-1/3"), brief)]);
        Assert.Equal(["1 quay-1/1 1/1 01 21:00-21:08", "2 quay-1/2 1/1 01 21:08-21:50", "3 quay-1/3 1/1 01 21:50-21:58", "4 islet-1/1 1/1 01 21:58-22:40"], Lines(plan));
    }

    [Fact]
    public void Images_of_a_unit_go_in_order_each_after_the_loads_are_back_in_the_next_window_where_need_be()
    {
        Plan plan = Make([Lagoon.Behind(Lagoon.Unit("quay-1/1"), Lagoon.Times, Lagoon.Times, Lagoon.Times), Lagoon.Behind("quay-1/2")]);
        Assert.Equal(["1 quay-1/1 1/3 01 21:00-21:42", "2 quay-1/1 2/3 01 21:42-22:24", "3 quay-1/2 1/1 03 21:00-21:42", "4 quay-1/1 3/3 03 21:42-22:24"], Lines(plan));
        Assert.Equal(["3.8 3.9.0", "3.9.0 3.9.1", "3.9.1 3.10.2"], plan.Units.Where(unit => unit.Hops == 3).Select(unit => $"{unit.FromFirmware} {unit.ToFirmware}"));
    }

    [Fact]
    public void A_unit_is_planned_with_all_its_images_or_not_at_all()
    {
        StageTimes longest = Outages.SampleUnit.TimesOf((30, 60), (300, 9000), (100, 300), (600, 1200), (60, 180), (30, 60));
        Plan plan = Make([Lagoon.Behind(Lagoon.Unit("quay-1/1"), Lagoon.Times, longest), Lagoon.Behind("quay-1/2")]);
        Assert.Equal(["1 quay-1/2 1/1 01 21:00-21:42"], Lines(plan));
        Assert.Equal(["quay-1/1 NoWindowFits: It needs 192 minutes with its worst case, recovery and reserve, and the longest window of 'quay' has 120. Lengthen a window, or shorten the reserve."], Told(plan));
    }

    [Fact]
    public void The_unit_that_holds_management_comes_last_of_its_switch()
    {
        Plan plan = Make([Lagoon.Behind(Lagoon.Unit("quay-1/1") with { HoldsManagement = true }), Lagoon.Behind("quay-1/2"), Lagoon.Behind("quay-1/3"), Lagoon.Behind("quay-2/1")]);
        Assert.Equal(["1 quay-1/2 1/1 01 21:00-21:42", "2 quay-1/3 1/1 01 21:42-22:24", "3 quay-1/1 1/1 03 21:00-21:42", "4 quay-2/1 1/1 03 21:42-22:24"], Lines(plan));
    }

    [Fact]
    public void Management_waits_for_a_unit_that_could_not_go_before()
    {
        // Unit 2 has a help point and waits for the attended Thursday; there would have been room for unit 1 on Tuesday.
        Plan plan = Make([Lagoon.Behind(Lagoon.Unit("quay-1/1") with { HoldsManagement = true }), Lagoon.Behind("quay-1/2", lifeSafety: true)]);
        Assert.Equal(["1 quay-1/2 1/1 03 21:00-21:42", "2 quay-1/1 1/1 03 21:42-22:24"], Lines(plan));
    }

    [Fact]
    public void Units_that_cover_for_each_other_do_not_go_in_one_window()
    {
        Plan plan = Make([
            Lagoon.Behind(Lagoon.Unit("quay-1/1") with { CoverageGroup = "radios" }), Lagoon.Behind(Lagoon.Unit("quay-1/2") with { CoverageGroup = "Radios" }),
            Lagoon.Behind(Lagoon.Unit("quay-1/3") with { CoverageGroup = "cameras" }), Lagoon.Behind(Lagoon.Unit("islet-1/1") with { CoverageGroup = "radios" })]);
        Assert.Equal(["1 islet-1/1 1/1 01 21:30-22:12", "2 quay-1/1 1/1 03 21:00-21:42", "3 quay-1/3 1/1 03 21:42-22:24", "4 quay-1/2 1/1 08 21:00-21:42"], Lines(plan));
    }

    [Fact]
    public void Nor_in_two_windows_that_overlap()
    {
        string text = Lagoon.Text.Replace("\"opens\": \"21:30\", \"length\": \"PT3H\" }", "\"opens\": \"21:30\", \"length\": \"PT3H\" }, { \"days\": [\"Tuesday\"], \"opens\": \"22:30\", \"length\": \"PT4H\" }", StringComparison.Ordinal);
        Plan plan = Make([Lagoon.Behind(Lagoon.Unit("islet-1/1") with { CoverageGroup = "radios" }), Lagoon.Behind(Lagoon.Unit("islet-1/2") with { CoverageGroup = "radios" })], estate: text);
        Assert.Equal(["1 islet-1/1 1/1 01 21:30-22:12", "2 islet-1/2 1/1 08 21:30-22:12"], Lines(plan));
    }

    [Fact]
    public void The_same_units_in_any_order_give_the_same_plan()
    {
        Outage[] units = [.. Enumerable.Range(1, 12).Select(unit => Lagoon.Behind($"quay-{1 + (unit % 2)}/{unit}"))];
        Assert.Equal(Lines(Make(units)), Lines(Make(units.Reverse())));
        Assert.Equal(Lines(Make(units)), Lines(Make(units.OrderBy(unit => unit.Unit.GetHashCode(StringComparison.Ordinal)))));
    }

    [Fact]
    public void A_unit_that_comes_twice_is_refused()
    {
        PoeOpsException twice = Assert.Throws<PoeOpsException>(() => Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("QUAY-1/1")]));
        Assert.Equal("NameTwice - -: The unit quay-1/1 came 2 times. Give each unit once.", Files.Told.Of(twice.Problem));
    }

    [Fact]
    public void A_reserve_below_nothing_is_refused() => Assert.Throws<ArgumentOutOfRangeException>(() => Lagoon.Options with { Reserve = TimeSpan.FromSeconds(-1) });

    [Fact]
    public void A_plan_that_could_not_be_held_against_its_estate_is_not_made()
    {
        EstateMap estate = Lagoon.Estate(_folder);
        File.Delete(estate.SourcePath);
        Assert.Equal(ProblemId.FileUnreadable, Assert.Throws<PoeOpsException>(() => Planner.Plan([Lagoon.Behind("quay-1/1")], estate, Lagoon.Options)).Problem.Id);
    }

    private Plan Make(IEnumerable<Outage> outages, PlanOptions? options = null, string? estate = null) => Planner.Plan(outages, Lagoon.Estate(_folder, estate), options ?? Lagoon.Options);

    private static DateTime Utc(int day, int hour, int minute) => new(2026, 12, day, hour, minute, 0, DateTimeKind.Utc);

    private static string[] Lines(Plan plan) =>
        [.. plan.Units.Select(unit => string.Create(CultureInfo.InvariantCulture, $"{unit.Order} {unit.UnitId} {unit.Hop}/{unit.Hops} {unit.StartUtc:dd HH:mm}-{unit.EndUtc:HH:mm}"))];

    private static string[] Told(Plan plan) => [.. plan.Obstacles.Select(one => $"{one.UnitId} {one.ProblemId}: {one.Reason} {one.WouldHelp}")];
}
