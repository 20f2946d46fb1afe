using PoeOps.Core.Tests.Files;
using PoeOps.Core.Tests.Planning;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Journal;

/// <summary>What a stopped night leaves, and the plan for it; see <see cref="Lagoon"/> for windows and times.</summary>
public sealed class JournalReplanTests : IDisposable
{
    private static readonly DateTime Morning = new(2026, 12, 2, 6, 0, 0, DateTimeKind.Utc);
    private static readonly PlanOptions After = new() { CreatedUtc = Morning, FromUtc = Morning };

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void What_was_done_is_left_out_and_the_rest_keeps_its_window_where_it_is_still_to_come()
    {
        (Plan plan, EstateMap estate) = Four();
        Assert.Equal(["1 quay-1/1 01", "2 quay-1/2 01", "3 quay-1/3 03", "4 quay-1/4 03"], plan.Units.Select(unit => $"{unit.Order} {unit.UnitId} {unit.StartUtc:dd}"));

        ReplanResult left = JournalReplan.Of(plan, Past((1, StageOutcome.Done)), estate, After);
        Assert.Equal(["quay-1/2", "quay-1/3", "quay-1/4"], left.Left.Select(unit => unit.UnitId.ToString()));
        Assert.Equal(["quay-1/3 1 03", "quay-1/4 1 03"], left.Options.Keep.Select(kept => $"{kept.UnitId} {kept.Hop} {kept.WindowOpensUtc:dd}"));
        Assert.Empty(left.NotWell);

        // Two fit on Thursday, and they keep it; the one whose night is over gets a window of its own.
        Plan next = Planner.Plan(left.Left, estate, left.Options);
        Assert.Equal(["quay-1/3 03", "quay-1/4 03", "quay-1/2 08"], next.Units.Select(unit => $"{unit.UnitId} {unit.StartUtc:dd}"));
        Assert.Equal(plan.SoakSeconds, next.SoakSeconds);
    }

    [Fact]
    public void A_pilot_that_is_done_needs_no_other_and_one_that_is_not_well_does()
    {
        (Plan plan, EstateMap estate) = Four();
        Assert.True(plan.Units[0].Pilot);
        PilotDone done = Assert.Single(JournalReplan.Of(plan, Past((1, StageOutcome.Done)), estate, After).Options.PilotsDone);
        Assert.Equal((plan.Units[0].UnitId, "Reef-24", "3.10.2", Ended), (done.UnitId, done.Model, done.Firmware, done.EndUtc));
        Assert.Empty(JournalReplan.Of(plan, Past((1, StageOutcome.Degraded)), estate, After).Options.PilotsDone);
        Assert.Empty(JournalReplan.Of(plan, Past((1, StageOutcome.Failed)), estate, After).Options.PilotsDone);
    }

    [Theory]
    [InlineData(StageOutcome.Failed, ProblemId.RefreshFailed, "It ended Failed in the run, so that what the plan knew of it does not hold any more.", "Have it looked at, read it again, and give it to New-PsePlan.")]
    [InlineData(StageOutcome.Uncertain, ProblemId.OutcomeUncertain, "It ended Uncertain in the run, so that what the plan knew of it does not hold any more.", "Ask it by Invoke-PseRefresh -Resume, or read it again and give it to New-PsePlan.")]
    [InlineData(null, ProblemId.OutcomeUncertain, "The run broke off while it was in Program, so that what the plan knew of it does not hold any more.", "Ask it by Invoke-PseRefresh -Resume, or read it again and give it to New-PsePlan.")]
    public void A_unit_that_did_not_end_well_is_an_obstacle(StageOutcome? outcome, ProblemId id, string reason, string help)
    {
        (Plan plan, EstateMap estate) = Four();
        ReplanResult left = JournalReplan.Of(plan, Past((2, outcome)), estate, After);
        Obstacle obstacle = Assert.Single(left.NotWell);
        Assert.Equal(("quay-1/2", id, reason, help), (obstacle.UnitId.ToString(), obstacle.ProblemId, obstacle.Reason, obstacle.WouldHelp));
        Plan next = Planner.Plan(left.Left, estate, left.Options with { Obstacles = left.NotWell });
        Assert.Equal(4, next.Units.Select(unit => unit.UnitId).Distinct().Count() + next.Obstacles.Count);
    }

    [Fact]
    public void Of_several_images_those_that_are_left_are_planned()
    {
        EstateMap estate = Lagoon.Estate(_folder);
        Plan plan = Planner.Plan([Lagoon.Behind(Lagoon.Unit("quay-1/1"), Lagoon.Times, Lagoon.Times)], estate, Lagoon.Options);
        ReplanResult left = JournalReplan.Of(plan, Past((1, StageOutcome.Done)), estate, After);
        PlannedUnit unit = Assert.Single(Planner.Plan(left.Left, estate, left.Options).Units);
        Assert.Equal((1, 1, "3.9.0", "3.10.2"), (unit.Hop, unit.Hops, unit.FromFirmware, unit.ToFirmware));
    }

    [Fact]
    public void What_was_accepted_holds_again()
    {
        EstateMap estate = Lagoon.Estate(_folder);
        LifeSafetyAcceptance accepted = new(new UnitId("quay-1", "1"), "the harbour master", Lagoon.Noon);
        Plan plan = Planner.Plan([Lagoon.Behind("quay-1/1", lifeSafety: true), Lagoon.Behind("quay-1/2")], estate, Lagoon.Options with { LifeSafety = [accepted], ReadingProblems = [new UnitId("quay-1", "2")] });
        ReplanResult left = JournalReplan.Of(plan, Past(), estate, After);
        Assert.Equal([accepted], left.Options.LifeSafety);
        Assert.Equal("the harbour master", Planner.Plan(left.Left, estate, left.Options).Units.Single(unit => unit.Unit == "1").LifeSafetyAcceptedBy);
    }

    private static DateTime Ended => new(2026, 12, 1, 21, 40, 0, DateTimeKind.Utc);

    private (Plan Plan, EstateMap Estate) Four()
    {
        EstateMap estate = Lagoon.Estate(_folder);
        return (Planner.Plan(Enumerable.Range(1, 4).Select(unit => Lagoon.Behind($"quay-1/{unit}")), estate, Lagoon.Options), estate);
    }

    private static RunPast Past(params (int Order, StageOutcome? Outcome)[] units) =>
        new(1, units.ToDictionary(unit => unit.Order, unit => new UnitPast { BeganUtc = Ended.AddMinutes(-40), LastUtc = Ended, Stage = Stage.Program, Outcome = unit.Outcome }));
}
