using PoeOps.Baselines;
using PoeOps.Outages;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Report;

/// <summary>Tells the dark times of a load apart by the images of its unit.</summary>
internal static class DarkTimes
{
    /// <summary>One for each image; empty for a unit with a single one, of which the load itself says all.</summary>
    /// <param name="load">The load, all images together.</param>
    /// <param name="hops">The images of its unit.</param>
    /// <param name="backSeconds">When it has power after a reset by the plan; null where it does not say.</param>
    public static IReadOnlyList<DarkTime> Of(LoadSummary load, IReadOnlyList<UnitRow> hops, double? backSeconds) =>
        hops.Count < 2 ? [] : [.. hops.Select((hop, at) => Of(load, hop, backSeconds) with { Number = at + 1 })];

    private static DarkTime Of(LoadSummary load, UnitRow hop, double? backSeconds)
    {
        PlannedUnit? unit = hop.Planned;
        double? typical = unit is null ? null : HopTimes.Typical(new Hop(unit.ToFirmware, unit.Image, unit.StageTimes)).Times?.Dark;
        double? worst = unit is null ? null : HopTimes.Worst(new Hop(unit.ToFirmware, unit.Image, unit.StageTimes)).Times?.Dark;
        double? before = unit?.StageTimes.Of(nameof(Stage.Gate))?.TypicalSeconds + unit?.StageTimes.Of(nameof(Stage.Transfer))?.TypicalSeconds;
        DateTime? from = unit is null ? null : ReportTime.Later(unit.StartUtc, before);
        RefreshStory? story = Begun(hop.Story);
        double? real = story is not null && story.LoadDark.TryGetValue(load.Port, out double? seconds) ? seconds : null;
        DateTime? went = load.State is LoadState.Planned or LoadState.NotDark ? null : story?.DarkFromUtc;
        return new DarkTime
        {
            PlannedFromUtc = from,
            PlannedUntilUtc = from is { } start ? ReportTime.Later(start, typical + backSeconds) : null,
            PlannedSecondsTypical = typical + backSeconds,
            PlannedSecondsWorst = worst + backSeconds,
            RealFromUtc = went,
            RealUntilUtc = went is { } dark ? ReportTime.Later(dark, real) : null,
            RealSeconds = real,
        };
    }

    private static RefreshStory? Begun(RefreshStory? story) => story?.HasBegun == true ? story : null;
}
