using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Outages;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>What cannot be planned, why, and what would help; see <see cref="Lagoon"/> for windows and times.</summary>
public sealed class ObstacleTests : IDisposable
{
    private const string Sailings = "{ \"from\": \"2026-12-01\", \"until\": \"2026-12-31\", \"because\": \"sailings\" }";

    private static readonly UnitId Second = new("quay-1", "2");
    private static readonly LifeSafetyAcceptance Accepted = new(Second, "the harbour master", new DateTime(2026, 11, 30, 9, 0, 0, DateTimeKind.Utc));

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Every_unit_is_planned_has_nothing_to_do_or_is_an_obstacle()
    {
        Outage[] units =
        [
            Lagoon.Behind("quay-1/1"), Lagoon.Behind(Lagoon.Unit("quay-1/2"), Lagoon.Times, Lagoon.Times), Lagoon.Verdict("quay-1/3", Verdict.Current, "It is."),
            Lagoon.Verdict("quay-1/4", Verdict.Ahead, "It is."), OutageMeasure.MeasureRestart(Lagoon.Unit("quay-1/5")).Outage,
            Lagoon.Verdict("quay-1/6", Verdict.Unreadable, "No firmware version was read."), Lagoon.Verdict("quay-1/7", Verdict.Faulted, "The controller has a fault."),
            Lagoon.Behind("rock-1/1"), Lagoon.Behind(Lagoon.Unit("quay-1/8") with { ReadingProblems = 2 }),
        ];
        Plan plan = Make(units);
        Assert.Equal(
            [
                "quay-1/5 NotPlannable: No baseline was given, so nobody knows what would be loaded. Give a baseline: hold the controllers against it with Test-PseDrift -Baseline first.",
                "quay-1/6 NotPlannable: No firmware version was read. Read it again, or correct the dialect with Test-PseDialect.",
                "quay-1/7 NotPlannable: The controller has a fault. Have the unit looked at by hand.",
                "quay-1/8 ReadingNotClean: Its reading has 2 problems. Correct the dialect with Test-PseDialect, or accept the unit by name with -AcceptReadingProblem.",
                "rock-1/1 NoWindowFits: The site 'rock' has no window. Give the site windows, or an extra window, in the estate file.",
            ],
            Told(plan));
        Assert.Equal((2, 2, 3), (plan.Units.Select(unit => unit.UnitId).Distinct().Count(), plan.NothingToDo, plan.Units.Count));
        Assert.Equal(units.Length, plan.Units.Select(unit => unit.UnitId).Distinct().Count() + plan.NothingToDo + plan.Obstacles.Count);
    }

    [Fact]
    public void A_unit_that_the_baseline_does_not_list_is_to_be_added_to_it()
    {
        Outage outage = Lagoon.Verdict("quay-1/5", Verdict.Unlisted, "The baseline has no entry.");
        Outage listed = outage with { Drift = outage.Drift with { BaselinePath = _folder.Write("winter.baseline.json", "{ \"name\": \"winter\", \"entries\": [] }") } };
        Assert.Equal(["quay-1/5 NotPlannable: The baseline has no entry. Add its model and release to the baseline."], Told(Make([listed])));
    }

    // 15.4 W is claimed, and 15 there are: the gate would refuse it in the night.
    [Fact]
    public void A_unit_whose_loads_do_not_all_come_back_is_planned_only_where_somebody_accepts_that()
    {
        Outage outage = Lagoon.Behind(Lagoon.Unit("quay-1/2") with { BudgetWatts = 15 });
        Assert.Equal(
            ["quay-1/2 LoadsRefused: 1 of 1 loads (port 1) does not come back within the unit's budget after the controller restarts. What would bring all back, each by itself: 0.4 W more supply. Or accept the unit by name with -AcceptRefusedLoad once that is decided."],
            Told(Make([outage])));
        Assert.Equal(1, Assert.Single(Make([outage], Lagoon.Options with { RefusedLoads = [Second] }).Units).RefusedLoadsAccepted);
        Assert.Null(Assert.Single(Make([Lagoon.Behind("quay-1/2")], Lagoon.Options with { RefusedLoads = [Second] }).Units).RefusedLoadsAccepted);
    }

    [Fact]
    public void Life_safety_loads_wait_for_an_attended_window()
    {
        PlannedUnit unit = Assert.Single(Make([Lagoon.Behind("quay-1/2", lifeSafety: true)]).Units);
        Assert.Equal((3, true, 1, null, null), (unit.StartUtc.Day, unit.WindowAttended, unit.LifeSafetyLoads, unit.LifeSafetyAcceptedBy, unit.LifeSafetyAcceptedUtc));
    }

    [Fact]
    public void Accepted_by_name_they_go_in_any_window_and_the_plan_says_who_and_when()
    {
        Plan plan = Make(
            [Lagoon.Behind("quay-1/2", lifeSafety: true), .. Enumerable.Range(3, 2).Select(unit => Lagoon.Behind($"quay-1/{unit}", lifeSafety: true))], Lagoon.Options with { LifeSafety = [Accepted] });
        Assert.Equal((1, false, Accepted.By, (DateTime?)Accepted.Utc), (plan.Units[0].StartUtc.Day, plan.Units[0].WindowAttended, plan.Units[0].LifeSafetyAcceptedBy, plan.Units[0].LifeSafetyAcceptedUtc));
        Assert.Equal((3, true, null), (plan.Units[1].StartUtc.Day, plan.Units[1].WindowAttended, plan.Units[1].LifeSafetyAcceptedBy));
    }

    [Fact]
    public void Nobody_is_said_to_have_accepted_what_is_not_there() =>
        Assert.Null(Assert.Single(Make([Lagoon.Behind("quay-1/2")], Lagoon.Options with { LifeSafety = [Accepted] }).Units).LifeSafetyAcceptedBy);

    [Fact]
    public void Where_no_window_is_attended_they_must_be_accepted()
    {
        Plan plan = Make([Lagoon.Behind("islet-1/1", lifeSafety: true)]);
        Assert.Equal(
            ["islet-1/1 LifeSafetyNotAccepted: 1 life-safety load goes dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide. No window of the site 'islet' is attended. Accept the unit by name with -AcceptLifeSafety once that is decided, or give the site an attended window."],
            Told(plan));
        Assert.Empty(plan.Units);
    }

    [Fact]
    public void Windows_that_freezes_drop_are_told_with_the_freezes_and_their_reasons()
    {
        Assert.Equal(
            ["quay-1/1 NoWindowFits: Every window of the site 'quay' falls into a freeze: 2026-11-01 until 2026-12-31 (sailings), 2026-12-31 until 2040-01-01. Plan from a day behind the freeze (-From), or give the site a window outside it; a single extra window stands inside a freeze as well."],
            Told(Make([Lagoon.Behind("quay-1/1")], estate: Frozen("{ \"from\": \"2026-11-01\", \"until\": \"2026-12-31\", \"because\": \"sailings\" }, { \"from\": \"2026-12-31\", \"until\": \"2040-01-01\" }"))));
        PlanOptions soon = Lagoon.Options with { UntilUtc = Lagoon.Noon.AddDays(20) };
        Assert.Equal(
            ["quay-1/1 NoWindowFits: Every window of the site 'quay' that would close by 2026-12-21 12:00 UTC falls into a freeze: 2026-12-01 until 2026-12-31 (sailings). Plan from a day behind the freeze (-From), look at later windows (-Until), or give the site a window outside it; a single extra window stands inside a freeze as well."],
            Told(Make([Lagoon.Behind("quay-1/1")], soon, Frozen(Sailings))));
        Assert.Equal(
            ["rock-1/1 NoWindowFits: The site 'rock' has no window that closes by 2026-12-21 12:00 UTC. Look at later windows (-Until), or give the site windows in the estate file."],
            Told(Make([Lagoon.Behind("rock-1/1")], soon, Frozen(Sailings))));
    }

    [Fact]
    public void A_window_that_is_named_and_dropped_by_a_freeze_is_told_with_the_freeze()
    {
        string estate = Frozen(Sailings).Replace("\"address\": \"192.0.2.11\"", "\"units\": [ { \"unit\": \"1\", \"onlyWindows\": [\"2026-12-22\"] } ], \"address\": \"192.0.2.11\"", StringComparison.Ordinal);
        Assert.Equal(
            ["quay-1/1 NamedWindowMissing: The estate lets it use only 2026-12-22, and no window of 'quay' opens then (looked at: 60; dropped by a freeze: 2026-12-01 until 2026-12-31 (sailings)). Correct 'onlyWindows' and 'notWindows' of the unit in the estate, or look at others (-From, -Until, -MostWindows)."],
            Told(Make([Lagoon.Behind("quay-1/1")], estate: estate)));
        Assert.DoesNotContain("freeze", Told(Make([Lagoon.Behind("quay-1/1")], estate: estate.Replace("[\"2026-12-22\"]", "[\"2026-12-21\"]", StringComparison.Ordinal)))[0], StringComparison.Ordinal);
    }

    [Fact]
    public void Attended_windows_that_a_freeze_drops_are_told_with_the_freeze()
    {
        string estate = Lagoon.Text.Replace("\"name\": \"islet\", \"zone\": \"UTC\",", "\"name\": \"islet\", \"zone\": \"UTC\", \"freezes\": [ " + Sailings + " ],", StringComparison.Ordinal)
            .Replace("\"opens\": \"21:30\", \"length\": \"PT3H\" }", "\"opens\": \"21:30\", \"length\": \"PT3H\" }, { \"days\": [\"Monday\"], \"opens\": \"21:30\", \"length\": \"PT3H\", \"attended\": true, \"until\": \"2026-12-20\" }", StringComparison.Ordinal);
        Assert.Equal(
            ["islet-1/1 LifeSafetyNotAccepted: 1 life-safety load goes dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide. No window of the site 'islet' is attended but such as fall into a freeze: 2026-12-01 until 2026-12-31 (sailings). Accept the unit by name with -AcceptLifeSafety once that is decided, or give the site an attended window."],
            Told(Make([Lagoon.Behind("islet-1/1", lifeSafety: true)], estate: estate)));
    }

    [Fact]
    public void Where_attended_windows_are_too_short_accepting_would_help_too()
    {
        string text = Lagoon.Text.Replace("\"length\": \"PT2H\", \"attended\": true", "\"length\": \"PT30M\", \"attended\": true", StringComparison.Ordinal);
        Assert.Equal(
            ["quay-1/2 NoWindowFits: It needs 52 minutes with its worst case, recovery and reserve, and the longest attended window of 'quay' has 30. Lengthen a window, or shorten the reserve, or accept its life-safety loads by name with -AcceptLifeSafety once that is decided."],
            Told(Make([Lagoon.Behind("quay-1/2", lifeSafety: true)], estate: text)));
    }

    [Fact]
    public void Windows_that_are_full_are_told_with_how_many_were_looked_at()
    {
        Plan plan = Make([Lagoon.Behind("quay-1/1"), Lagoon.Behind("quay-1/2"), Lagoon.Behind("quay-1/3")], Lagoon.Options with { MostWindows = 1 });
        Assert.Equal(["quay-1/3 NoWindowFits: It needs 52 minutes, and no window of 'quay' has so much left for it (looked at: 1). Add windows, or look at more (-MostWindows)."], Told(plan));
        Assert.Equal(2, plan.Units.Count);
    }

    [Fact]
    public void A_reading_with_problems_is_planned_where_it_is_accepted_by_name_and_the_plan_says_so()
    {
        Outage[] units = [Lagoon.Behind(Lagoon.Unit("quay-1/2") with { ReadingProblems = 1 }), Lagoon.Behind(Lagoon.Unit("quay-1/3") with { ReadingProblems = 1 }), Lagoon.Behind("quay-1/4")];
        Plan plan = Make(units, Lagoon.Options with { ReadingProblems = [Second, new UnitId("quay-1", "4")] });
        Assert.Equal(["2 True", "4 False"], plan.Units.Select(unit => $"{unit.Unit} {unit.ReadingProblemsAccepted}"));
        Assert.Equal(["quay-1/3 ReadingNotClean: Its reading has a problem. Correct the dialect with Test-PseDialect, or accept the unit by name with -AcceptReadingProblem."], Told(plan));
    }

    [Fact]
    public void A_unit_of_another_estate_is_told()
    {
        const string Help = "Read the controllers with the same estate, or add the switch to it.";
        Plan plan = Make([Lagoon.Behind("quay-9/1"), Lagoon.Behind(Lagoon.Unit("quay-1/1") with { Site = "islet" }), Lagoon.Behind(Lagoon.Unit("quay-1/2") with { Site = "" })]);
        Assert.Equal(
            [
                $"quay-1/2 NotInEstate: The estate 'Lagoon' has no switch 'quay-1' at a site ''. {Help}",
                $"quay-1/1 NotInEstate: The estate 'Lagoon' has no switch 'quay-1' at a site 'islet'. {Help}",
                $"quay-9/1 NotInEstate: The estate 'Lagoon' has no switch 'quay-9' at a site 'quay'. {Help}",
            ],
            Told(plan));
    }

    [Fact]
    public void Times_that_nobody_says_are_not_taken_for_none()
    {
        Controller quiet = Lagoon.Unit("quay-1/2");
        Outage[] units =
        [
            Lagoon.Behind(Lagoon.Unit("quay-1/1"), StageTimes.None),
            Lagoon.Behind(quiet with { Ports = [quiet.Ports[0] with { RestartSeconds = null }] }),
        ];
        Assert.Equal(
            [
                "quay-1/1 StageTimesUnknown: The baseline gives no time for the stage Transfer of the image 'reef-3.10.2.img'. Add it under 'stageSeconds' of the entry.",
                "quay-1/2 RoleTimesUnknown: Nobody says how long the load on port quay-1/2/1 needs until it serves again. Read the controllers with the estate, whose roles say so.",
            ],
            Told(Make(units)));
    }

    [Fact]
    public void A_zone_that_does_not_exist_stops_the_plan_and_names_the_site()
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => Make([Lagoon.Behind("quay-1/1")], estate: Lagoon.Text.Replace("Europe/Berlin", "Europe/Berlyn", StringComparison.Ordinal))).Problem;
        Assert.Equal((ProblemId.ZoneUnknown, "quay"), (problem.Id, problem.Target));
    }

    [Fact]
    public void A_large_estate_keeps_every_rule()
    {
        Outage[] units = [.. Enumerable.Range(0, 240).Select(Varied)];
        Plan plan = Make(units);
        Assert.Equal(units.Length, plan.Units.Select(unit => unit.UnitId).Distinct().Count() + plan.NothingToDo + plan.Obstacles.Count);
        Assert.True(plan.Units.Count > 100, $"{plan.Units.Count} refreshes of {units.Length} units are planned.");
        Assert.Equal(Enumerable.Range(1, plan.Units.Count), plan.Units.Select(unit => unit.Order));
        Assert.All(plan.Units, unit => Assert.True(unit.WindowOpensUtc <= unit.StartUtc && unit.EndUtc.AddSeconds(unit.ReserveSeconds) <= unit.WindowClosesUtc, $"{unit.UnitId} outlasts its window."));
        Assert.All(plan.Units, unit => Assert.Equal(unit.StartUtc.AddSeconds(unit.WorstSeconds + unit.RecoverSeconds), unit.EndUtc));
        Assert.All(plan.Units.Zip(plan.Units.Skip(1)), pair => Assert.True(pair.First.EndUtc <= pair.Second.StartUtc, $"{pair.First.UnitId} and {pair.Second.UnitId} overlap."));
        Assert.All(plan.Units.Where(unit => unit.LifeSafetyLoads > 0), unit => Assert.True(unit.WindowAttended));
        Assert.All(plan.Units.GroupBy(unit => unit.UnitId), unit => Assert.Equal(Enumerable.Range(1, unit.First().Hops), unit.Select(hop => hop.Hop)));
        Assert.All(
            plan.Units.Where(unit => int.Parse(unit.Unit, null) % 11 == 0).GroupBy(unit => (unit.Site, unit.WindowOpensUtc)),
            window => Assert.Single(window.Select(unit => unit.UnitId).Distinct()));
    }

    // Sizes, hops, help points, groups and verdicts in cycles that share no factor.
    private static Outage Varied(int number)
    {
        string[] switches = ["quay-1", "quay-2", "islet-1"];
        Controller unit = Lagoon.Unit($"{switches[number % 3]}/{number}", lifeSafety: number % 13 == 0) with { CoverageGroup = number % 11 == 0 ? "radios" : "" };
        StageTimes times = SampleUnit.TimesOf((30, 60), (30, 60 + (number % 7 * 90)), (10, 20), (60, 120), (10, 30), (5, 10));
        return number % 17 == 0 ? Lagoon.Verdict(unit.UnitId.ToString(), number % 2 == 0 ? Verdict.Current : Verdict.Unlisted, "So it is.")
            : number % 5 == 0 ? Lagoon.Behind(unit, times, Lagoon.Times) : Lagoon.Behind(unit, times);
    }

    // The estate with freezes at the quay.
    private static string Frozen(string freezes) =>
        Lagoon.Text.Replace("\"name\": \"quay\", \"zone\": \"Europe/Berlin\",", $"\"name\": \"quay\", \"zone\": \"Europe/Berlin\", \"freezes\": [ {freezes} ],", StringComparison.Ordinal);

    private Plan Make(IEnumerable<Outage> outages, PlanOptions? options = null, string? estate = null) => Planner.Plan(outages, Lagoon.Estate(_folder, estate), options ?? Lagoon.Options);

    private static string[] Told(Plan plan) => [.. plan.Obstacles.Select(one => $"{one.UnitId} {one.ProblemId}: {one.Reason} {one.WouldHelp}")];
}
