using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>What one refresh of a plan means for people: which loads go dark, and for how long.</summary>
internal sealed class DarkUnit
{
    private DarkUnit(PlannedUnit unit, HopTimes? typical, HopTimes? worst)
    {
        Unit = unit;
        double? back = Latest(load => load.BackSeconds);
        double? serves = Latest(load => load.BackSeconds + load.RestartSeconds);
        DarkSeconds = (typical?.Dark + back, worst?.Dark + back);
        OutOfServiceSeconds = (typical?.Dark + serves, worst?.Dark + serves);
    }

    /// <summary>The refresh.</summary>
    public PlannedUnit Unit { get; }

    /// <summary>The loads that people can come to harm without, in port order.</summary>
    public IReadOnlyList<PlannedLoad> LifeSafety => [.. Unit.DarkLoads.Where(load => load.LifeSafety)];

    /// <summary>The loads that have no power after it until somebody does something.</summary>
    public IReadOnlyList<PlannedLoad> Refused => [.. Unit.DarkLoads.Where(load => load.Restart == RestartOutcome.Refused)];

    /// <summary>From the first dark stage until the last load that comes back has power, as a rule and at worst; null where a time is not known.</summary>
    public (double? Typical, double? Worst) DarkSeconds { get; }

    /// <summary>The same until that load serves.</summary>
    public (double? Typical, double? Worst) OutOfServiceSeconds { get; }

    /// <summary>What a refresh of a plan means.</summary>
    /// <param name="unit">The refresh.</param>
    public static DarkUnit Of(PlannedUnit unit)
    {
        Hop hop = new(unit.ToFirmware, unit.Image, unit.StageTimes);
        return new DarkUnit(unit, HopTimes.Typical(hop).Times, HopTimes.Worst(hop).Times);
    }

    /// <summary>How many loads of each role, those first that people can come to harm without, then by number and name.</summary>
    /// <param name="loads">The loads.</param>
    public static IReadOnlyList<(string Role, int Count, bool LifeSafety)> Roles(IEnumerable<PlannedLoad> loads) =>
    [
        .. loads.GroupBy(load => (Role: Name(load.Role), load.LifeSafety))
            .Select(role => (role.Key.Role, role.Count(), role.Key.LifeSafety))
            .OrderByDescending(role => role.LifeSafety).ThenByDescending(role => role.Item2).ThenBy(role => role.Role, NaturalOrder.Instance),
    ];

    /// <summary>A load as people know it, and where it hangs.</summary>
    /// <param name="load">A load of this unit.</param>
    public string Say(PlannedLoad load)
    {
        string name = string.IsNullOrWhiteSpace(load.Load) ? Name(load.Role) : $"{Short(load.Load!)} ({Name(load.Role)})";
        return $"{name}, port {Short(load.Port)} of {Short(Unit.UnitId.ToString())}";
    }

    /// <summary>A name as it is shown: nothing hidden in it, and no longer than anybody reads.</summary>
    /// <param name="name">The name.</param>
    public static string Short(string name) => Excerpt.Of(name, 200);

    /// <summary>Whole minutes, rounded up.</summary>
    /// <param name="seconds">The time.</param>
    public static int Minutes(double seconds) => (int)Math.Ceiling((seconds / 60) - 1e-9);

    private static string Name(string role) => string.IsNullOrWhiteSpace(role) ? "other" : Short(role);

    // Null where a load that comes back does not say when.
    private double? Latest(Func<PlannedLoad, double?> seconds)
    {
        double?[] all = [.. Unit.DarkLoads.Where(load => load.Restart != RestartOutcome.Refused).Select(seconds)];
        return all.Contains(null) ? null : all.DefaultIfEmpty(Unit.DarkLoads.Count == 0 ? 0 : null).Max();
    }
}
