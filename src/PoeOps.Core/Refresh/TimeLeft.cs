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
    /// <param name="known">What is left of the stage, where somebody knows it; null where it is reckoned.</param>
    /// <returns>Never less than nothing: a stage that takes longer than it does as a rule is taken to be at its end.</returns>
    /// <remarks>In Recover the percentage is that of the loads with power, and says nothing of the time until they serve again.</remarks>
    public static TimeSpan? OfUnit(PlannedUnit unit, Stage stage, int? percent, TimeSpan inStage, TimeSpan? known = null)
    {
        TimeSpan? here = known ?? (Typical(unit, stage) is { } typical
            ? percent is { } done && stage != Stage.Recover ? TimeSpan.FromTicks(typical.Ticks / 100 * (100 - done)) : typical - inStage
            : null);
        return Sum(Order.Where(later => later > stage).Select(later => Typical(unit, later)).Prepend(here < TimeSpan.Zero ? TimeSpan.Zero : here));
    }

    /// <summary>How much of a stage is done, of a hundred and never all of it in Recover, which ends when the loads serve again; null where nobody knows.</summary>
    /// <param name="progress">How far the unit is.</param>
    public static int? PercentOf(RunProgress progress)
    {
        if (progress.Stage != Stage.Recover || progress.Planned is not { } unit)
        {
            return progress.Percent;
        }

        TimeSpan left = progress.StageLeft ?? Typical(unit, Stage.Recover)!.Value - progress.InStage;
        TimeSpan whole = progress.InStage + (left < TimeSpan.Zero ? TimeSpan.Zero : left);
        return whole <= TimeSpan.Zero ? 0 : (int)Math.Min(99, progress.InStage.Ticks * 100.0 / whole.Ticks);
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
