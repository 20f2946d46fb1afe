using PoeOps.Baselines;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// How long a unit and a run still take, by the plan's typical times of each stage, which a baseline gives or journals taught. Unknown, and null, where a
/// stage to come has no time. The clock is the run's.
/// </summary>
public static class TimeLeft
{
    private static readonly Stage[] Order = [Stage.Gate, Stage.Transfer, Stage.Erase, Stage.Program, Stage.Reset, Stage.Verify, Stage.Recover];

    /// <summary>The typical time of a stage of a unit; null where none is known. That of Recover is the plan's.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="stage">The stage.</param>
    public static TimeSpan? Typical(PlannedUnit unit, Stage stage) => stage switch
    {
        Stage.Recover => TimeSpan.FromSeconds(unit.RecoverSeconds),
        Stage.Gate => Seconds(unit.StageTimes.Of(nameof(Stage.Gate)) ?? StageTimes.DefaultGate),
        _ => Seconds(unit.StageTimes.Of(stage.ToString())),
    };

    /// <summary>The typical time of a whole unit; null where a stage of it has none.</summary>
    /// <param name="unit">The unit.</param>
    public static TimeSpan? OfWhole(PlannedUnit unit) => Sum(Order.Select(stage => Typical(unit, stage)));

    /// <summary>What is left of a unit in a stage.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="stage">The stage it is in.</param>
    /// <param name="percent">How much of the stage is done, where somebody says; else the time that it has taken is what counts.</param>
    /// <param name="inStage">How long it has been in the stage.</param>
    /// <returns>Never less than nothing: a stage that takes longer than it does as a rule is taken to be at its end.</returns>
    public static TimeSpan? OfUnit(PlannedUnit unit, Stage stage, int? percent, TimeSpan inStage)
    {
        TimeSpan? here = Typical(unit, stage) is { } typical
            ? percent is { } done ? TimeSpan.FromTicks(typical.Ticks / 100 * (100 - done)) : typical - inStage
            : null;
        return Sum(Order.Where(later => later > stage).Select(later => Typical(unit, later)).Prepend(here < TimeSpan.Zero ? TimeSpan.Zero : here));
    }

    /// <summary>What is left of a run: of the unit at work, and of those after it that its window still has to come to.</summary>
    /// <param name="unit">The unit at work.</param>
    /// <param name="unitLeft">What is left of it.</param>
    /// <param name="remaining">The units that were not taken to their end; the one at work may be among them.</param>
    public static TimeSpan? OfRun(PlannedUnit unit, TimeSpan? unitLeft, IEnumerable<PlannedUnit> remaining) =>
        Sum(InThisWindow(unit, remaining).Select(OfWhole).Prepend(unitLeft));

    // A run ends with its window, so units of later windows are none of its time.
    private static IEnumerable<PlannedUnit> InThisWindow(PlannedUnit unit, IEnumerable<PlannedUnit> remaining) =>
        remaining.Where(other => other.Order != unit.Order && other.WindowOpensUtc <= unit.WindowClosesUtc);

    private static TimeSpan? Seconds(StageTime? time) => time is null ? null : TimeSpan.FromSeconds(time.TypicalSeconds);

    private static TimeSpan? Sum(IEnumerable<TimeSpan?> spans) => spans.Aggregate((TimeSpan?)TimeSpan.Zero, (sum, span) => sum + span);
}
