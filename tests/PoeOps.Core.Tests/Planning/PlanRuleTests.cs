using System.Globalization;
using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Outages;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>Each rule of planning by itself, on paper; see <see cref="Lagoon"/> for windows and times.</summary>
public sealed class PlanRuleTests : IDisposable
{
    private static readonly PlanOptions Soaking = Lagoon.Options with { Soak = TimeSpan.FromHours(24) };

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_pilot_is_the_unit_whose_loads_are_out_for_the_fewest_minutes_and_its_fellows_wait_for_the_soak()
    {
        // Unit 3 has one load, the others two. On Tuesday the pilot goes alone, on Thursday its fellows.
        Plan plan = Make([Two("quay-1/1"), Two("quay-1/2"), Lagoon.Behind("quay-1/3")], Soaking);
        Assert.Equal(["quay-1/3 01 21:00 pilot", "quay-1/1 03 21:00", "quay-1/2 03 21:42"], Lines(plan));
        Assert.Equal(86400, plan.SoakSeconds);
    }

    [Fact]
    public void A_unit_that_is_alone_of_its_kind_needs_no_pilot()
    {
        Outage other = Lagoon.Behind(Lagoon.Unit("quay-1/2") with { Model = "Reef-48" });
        Plan plan = Make([Lagoon.Behind("quay-1/1"), other], Soaking);
        Assert.Equal(["quay-1/1 01 21:00", "quay-1/2 01 21:42"], Lines(plan));
    }

    [Fact]
    public void Where_nobody_says_the_soak_is_a_day_and_the_estate_may_say_another()
    {
        Outage[] units = [Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2")];
        Assert.Equal(86400, Make(units, Soaking with { Soak = null }).SoakSeconds);
        string estate = Lagoon.Text.Replace("\"roles\"", "\"soak\": \"PT1H30M\", \"roles\"", StringComparison.Ordinal);
        Assert.Equal(5400, Make(units, Soaking with { Soak = null }, estate).SoakSeconds);
        Assert.Equal(86400, Make(units, Soaking, estate).SoakSeconds);
    }

    [Fact]
    public void A_unit_that_holds_management_is_no_pilot_of_those_that_come_before_it()
    {
        Plan plan = Make([Lagoon.Behind(Lagoon.Unit("quay-1/1") with { HoldsManagement = true }), Two("quay-1/2"), Two("quay-1/3")], Soaking);
        Assert.Equal(["quay-1/2 01 21:00 pilot", "quay-1/3 03 21:00", "quay-1/1 03 21:42"], Lines(plan));
    }

    [Fact]
    public void Where_the_pilot_cannot_be_planned_another_takes_its_place()
    {
        // Unit 1 would be the pilot; it has a help point, and no window of the islet is attended.
        Plan plan = Make([Lagoon.Behind("islet-1/1", lifeSafety: true), Two("islet-1/2"), Two("islet-1/3")], Soaking);
        Assert.Equal(["islet-1/2 01 21:30 pilot", "islet-1/3 08 21:30"], Lines(plan));
        Assert.Equal(ProblemId.LifeSafetyNotAccepted, Assert.Single(plan.Obstacles).ProblemId);
    }

    [Fact]
    public void After_a_pilot_too_late_no_window_is_left_for_its_fellows()
    {
        Plan plan = Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2")], Soaking with { Soak = TimeSpan.FromDays(3), MostWindows = 2 });
        Assert.Equal(["quay-1/1 01 21:00 pilot"], Lines(plan));
        Assert.Equal(["quay-1/2 PilotTooLate: After its pilot quay-1/1 and the soak of 72 hours no window of 'quay' has so much left for it (looked at: 2). Add windows, look at more (-MostWindows), or shorten the soak."], Told(plan));
    }

    [Theory]
    [InlineData("\"limits\": { \"units\": 1 }", "Every window of 'quay' that has room for it has reached the limit of 1 unit (looked at: 2).")]
    [InlineData("\"limits\": { \"darkLoads\": 1 }", "Every window of 'quay' that has room for it has reached the limit of 1 dark load (looked at: 2).")]
    public void No_window_has_more_than_the_estate_allows(string limits, string reason)
    {
        Plan plan = Make([.. Enumerable.Range(1, 3).Select(unit => Lagoon.Behind($"quay-1/{unit}"))], Lagoon.Options with { MostWindows = 2 }, At("quay", limits));
        Assert.Equal(["quay-1/1 01 21:00 pilot", "quay-1/2 03 21:00"], Lines(plan));
        Assert.Equal([$"quay-1/3 WindowLimitReached: {reason} Add windows, look at more (-MostWindows), or raise the limit in the estate."], Told(plan));
    }

    [Fact]
    public void A_unit_with_more_loads_than_a_window_may_have_is_told() => Assert.Equal(
        ["quay-1/1 WindowLimitReached: 2 loads go dark with it, and a window of 'quay' may have 1 at the most. Raise 'darkLoads' of the site's limits in the estate."],
        Told(Make([Two("quay-1/1")], Lagoon.Options, At("quay", "\"limits\": { \"darkLoads\": 1 }"))));

    [Fact]
    public void A_coverage_group_that_never_comes_apart_is_an_obstacle_with_its_name()
    {
        Outage[] radios = [.. Enumerable.Range(1, 3).Select(unit => Lagoon.Behind(Lagoon.Unit($"quay-1/{unit}") with { CoverageGroup = "radios" }))];
        Plan plan = Make(radios, Lagoon.Options with { MostWindows = 2 });
        Assert.Equal(["quay-1/1 01 21:00 pilot", "quay-1/2 03 21:00"], Lines(plan));
        Assert.Equal(
            ["quay-1/3 CoverageNotApart: Every window of 'quay' that has room for it holds a unit that covers for it, of the group 'radios' (looked at: 2). Add windows, look at more (-MostWindows), or let the coverage group say \"apart\": \"recovered\" where that is enough."],
            Told(plan));
    }

    [Fact]
    public void Of_a_group_that_need_only_be_recovered_the_next_may_follow_in_the_same_window()
    {
        string units = "\"units\": [ { \"unit\": \"1\", \"coverageGroup\": \"radios\" } ], \"address\": \"192.0.2.11\"";
        string estate = At("quay", "\"coverageGroups\": [ { \"name\": \"Radios\", \"apart\": \"recovered\" } ]").Replace("\"address\": \"192.0.2.11\"", units, StringComparison.Ordinal);
        Outage[] radios = [.. Enumerable.Range(1, 2).Select(unit => Lagoon.Behind(Lagoon.Unit($"quay-1/{unit}") with { CoverageGroup = "radios" }))];
        Assert.Equal(["quay-1/1 01 21:00 pilot", "quay-1/2 01 21:42"], Lines(Make(radios, Lagoon.Options, estate)));
        Assert.Equal(["quay-1/1 01 21:00 pilot", "quay-1/2 03 21:00"], Lines(Make(radios, Lagoon.Options)));
    }

    [Theory]
    [InlineData("\"onlyWindows\": [\"2026-12-08\"]", "quay-1/1 08 21:00")]
    [InlineData("\"onlyWindows\": [\"2026-12-08T22:00\"]", "quay-1/1 08 21:00")]
    [InlineData("\"onlyWindows\": [\"2026-12-08T21:00\"]", null)]
    [InlineData("\"notWindows\": [\"2026-12-01\", \"2026-12-03T22:00\"]", "quay-1/1 08 21:00")]
    public void The_estate_may_name_the_windows_of_a_unit(string windows, string? expected)
    {
        string estate = Lagoon.Text.Replace("\"address\": \"192.0.2.11\"", $"\"units\": [ {{ \"unit\": \"1\", {windows} }} ], \"address\": \"192.0.2.11\"", StringComparison.Ordinal);
        Plan plan = Make([Lagoon.Behind("quay-1/1")], Lagoon.Options, estate);
        Assert.Equal(expected is null ? [] : [expected], Lines(plan));
        Assert.Equal(
            expected is null
                ? ["quay-1/1 NamedWindowMissing: The estate lets it use only 2026-12-08T21:00, and no window of 'quay' opens then (looked at: 60). Correct 'onlyWindows' and 'notWindows' of the unit in the estate, or look at others (-From, -Until, -MostWindows)."]
                : [],
            Told(plan));
    }

    [Fact]
    public void Two_lanes_work_at_two_sites_at_a_time_and_never_at_one()
    {
        Outage[] units = [.. new[] { "quay-1/1", "quay-2/1", "islet-1/1", "islet-1/2" }.Select(id => Lagoon.Behind(Lagoon.Unit(id) with { Model = id }))];
        Plan plan = Make(units, Lagoon.Options with { Lanes = 2 });
        Assert.Equal(["quay-1/1 21:00", "islet-1/1 21:30", "quay-2/1 21:42", "islet-1/2 22:12"], plan.Units.Select(unit => string.Create(CultureInfo.InvariantCulture, $"{unit.UnitId} {unit.StartUtc:HH:mm}")));
        Assert.Equal((2, 2, 2), (plan.Lanes, plan.Windows, plan.Units.Select(unit => (unit.Site, unit.Lane)).Distinct().Select(pair => pair.Lane).Distinct().Count()));
        Assert.Equal(new DateTime(2026, 12, 1, 23, 48, 0, DateTimeKind.Utc), Make(units, Lagoon.Options).LastEndUtc);
    }

    [Fact]
    public void Nothing_is_planned_in_windows_that_close_too_late()
    {
        Plan plan = Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2"), Lagoon.Behind("quay-1/3")], Lagoon.Options with { UntilUtc = new DateTime(2026, 12, 3, 22, 59, 0, DateTimeKind.Utc) });
        Assert.Equal(["quay-1/1 01 21:00 pilot", "quay-1/2 01 21:42"], Lines(plan));
        Assert.Single(plan.Obstacles);
    }

    [Fact]
    public void Out_of_busy_hours_where_that_costs_no_window_and_no_time()
    {
        // Until 22:20 local time, 21:20 UTC, a minute counts ten times. Loads go dark 330 s after the start, so 21:14:30 is early enough; the window has 26 minutes
        // to spare. On Thursday the unit ends the plan and stays where it is.
        string estate = At("quay", "\"busyHours\": [ { \"from\": \"20:00\", \"until\": \"22:20\", \"weight\": 10 } ]");
        Plan plan = Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2"), Lagoon.Behind("quay-1/3")], Lagoon.Options, estate);
        Assert.Equal(["01 21:14:30", "01 21:56:30", "03 21:00:00"], plan.Units.Select(unit => unit.StartUtc.ToString("dd HH:mm:ss", CultureInfo.InvariantCulture)));
    }

    [Fact]
    public void Pilots_that_are_through_need_no_others()
    {
        PilotDone done = new(new UnitId("quay-1", "9"), "reef-24", "3.10.2", SampleUnit.Image.Sha256, new DateTime(2026, 11, 30, 22, 0, 0, DateTimeKind.Utc));
        PlanOptions after = Soaking with { PilotsDone = [done] };
        Assert.Equal(["quay-1/1 03 21:00", "quay-1/2 03 21:42"], Lines(Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2")], after)));

        Plan oneNight = Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2")], after with { MostWindows = 1 });
        Assert.Equal(["quay-1/1 01 22:00"], Lines(oneNight));
        Assert.Equal(["quay-1/2 PilotTooLate: After its pilot that is refreshed already and the soak of 24 hours no window of 'quay' has so much left for it (looked at: 1). Add windows, look at more (-MostWindows), or shorten the soak."], Told(oneNight));
    }

    [Fact]
    public void An_approved_window_is_kept_and_given_up_where_it_cannot_be()
    {
        DateTime thursday = new(2026, 12, 3, 21, 0, 0, DateTimeKind.Utc);
        Outage[] units = [.. Enumerable.Range(1, 3).Select(unit => Lagoon.Behind($"quay-1/{unit}"))];
        KeptWindow[] keep = [.. units.Select(unit => new KeptWindow(unit.UnitId, 1, thursday))];
        Assert.Equal(["quay-1/1 03 21:00 pilot", "quay-1/2 03 21:42"], Lines(Make(units[..2], Lagoon.Options with { Keep = keep[..2] })));
        Assert.Equal(3, Make(units, Lagoon.Options with { Keep = keep }).Units.Count);
    }

    [Fact]
    public void Few_units_are_planned_as_well_as_can_be_and_the_plan_says_so() => Assert.True(Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2")], Soaking).IsBest);

    private static string At(string site, string keys) => Lagoon.Text.Replace($"\"name\": \"{site}\",", $"\"name\": \"{site}\", {keys},", StringComparison.Ordinal);

    private static Outage Two(string id)
    {
        Controller unit = Lagoon.Unit(id);
        return Lagoon.Behind(unit with { Ports = [unit.Ports[0], unit.Ports[0] with { Name = "2" }] });
    }

    private Plan Make(IEnumerable<Outage> outages, PlanOptions options, string? estate = null) => Planner.Plan(outages, Lagoon.Estate(_folder, estate), options);

    private static string[] Lines(Plan plan) =>
        [.. plan.Units.Select(unit => string.Create(CultureInfo.InvariantCulture, $"{unit.UnitId} {unit.StartUtc:dd HH:mm}{(unit.Pilot ? " pilot" : "")}"))];

    private static string[] Told(Plan plan) => [.. plan.Obstacles.Select(one => $"{one.UnitId} {one.ProblemId}: {one.Reason} {one.WouldHelp}")];
}
