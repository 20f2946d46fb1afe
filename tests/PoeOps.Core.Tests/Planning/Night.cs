using PoeOps.Baselines;
using PoeOps.Core.Tests.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>Plans of one window that opens at 22:00 UTC, for risks: units with times of their own.</summary>
internal static class Night
{
    public static readonly DateTime Opens = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);

    /// <summary>Program alone varies; the other stages take 100 s together, none of them less or more.</summary>
    public static StageTimes Only(double typical, double worst) => SampleUnit.TimesOf((10, 10), (50, 50), (20, 20), (typical, worst), (15, 15), (5, 5));

    /// <summary>A refresh that is planned so many seconds after the opening.</summary>
    public static PlannedUnit Unit(int order, double startSeconds, StageTimes times, double recoverSeconds = 60) => new()
    {
        Order = order,
        Site = "quay",
        Switch = "quay-1",
        Unit = order.ToString(System.Globalization.CultureInfo.InvariantCulture),
        StageTimes = times,
        RecoverSeconds = recoverSeconds,
        StartUtc = Opens.AddSeconds(startSeconds),
        WindowOpensUtc = Opens,
    };

    /// <summary>A plan of one window.</summary>
    public static Plan Plan(double closeSeconds, params PlannedUnit[] units) => new()
    {
        Name = "Lagoon",
        Units = [.. units.Select(unit => unit with { WindowClosesUtc = Opens.AddSeconds(closeSeconds) })],
    };

    public static WindowRisk Risk(double closeSeconds, params PlannedUnit[] units) => Assert.Single(OverrunRisk.Of(Plan(closeSeconds, units)));
}
