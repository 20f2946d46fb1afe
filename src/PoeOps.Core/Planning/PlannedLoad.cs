using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>A load that goes dark by a plan, and what becomes of it after the reset.</summary>
public sealed record PlannedLoad
{
    /// <summary>The port, as the device names it within the unit.</summary>
    public string Port { get; init; } = string.Empty;

    /// <summary>What people call the load; null where nobody says.</summary>
    public string? Load { get; init; }

    /// <summary>What the load does for people.</summary>
    public string Role { get; init; } = string.Empty;

    /// <summary>True where people can come to harm while it is dark.</summary>
    public bool LifeSafety { get; init; }

    /// <summary>What it was measured to draw, watts at the PSE; null where not read.</summary>
    public decimal? DrawWatts { get; init; }

    /// <summary>Seconds from power until it serves; null where not known.</summary>
    public double? RestartSeconds { get; init; }

    /// <summary>What becomes of it after the reset; null where the budget was not read.</summary>
    public RestartOutcome? Restart { get; init; }

    /// <summary>Seconds from the end of the reset until it has power; null where it is refused.</summary>
    public double? BackSeconds { get; init; }

    /// <summary>What it is granted in the end, watts at the PSE; null where the budget was not read.</summary>
    public decimal? GrantedWatts { get; init; }

    /// <summary>The load of an outage.</summary>
    /// <param name="load">The load as it was measured.</param>
    internal static PlannedLoad Of(LoadOutage load) => new()
    {
        Port = load.Port,
        Load = load.Load,
        Role = load.Role,
        LifeSafety = load.LifeSafety,
        DrawWatts = load.DrawWatts,
        RestartSeconds = load.RestartSeconds,
        Restart = load.Restart,
        BackSeconds = load.BackSeconds,
        GrantedWatts = load.GrantedWatts,
    };

    /// <summary>The load as it was measured, of a unit.</summary>
    /// <param name="unit">The unit.</param>
    internal LoadOutage At(PlannedUnit unit) => new()
    {
        Site = unit.Site,
        Switch = unit.Switch,
        Unit = unit.Unit,
        Port = Port,
        Load = Load,
        Role = Role,
        LifeSafety = LifeSafety,
        DrawWatts = DrawWatts,
        RestartSeconds = RestartSeconds,
        Restart = Restart,
        BackSeconds = BackSeconds,
        GrantedWatts = GrantedWatts,
    };
}
