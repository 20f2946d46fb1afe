using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>
/// What the refresh of a unit costs one load. Seconds count from the start of the refresh, with typical times unless a name says worst. Where a unit
/// needs several images they are counted one after the other, each begun when the loads serve again after the one before. What rests on stage times is
/// null where they are not known; what rests on the restart alone is there all the same.
/// </summary>
public sealed record LoadOutage
{
    /// <summary>The site of the switch.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The switch.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The port, as the device names it within the unit.</summary>
    public string Port { get; init; } = string.Empty;

    /// <summary>The port's id.</summary>
    public PortId PortId => new(new UnitId(Switch, Unit), Port);

    /// <summary>What people call the load; null where nobody says.</summary>
    public string? Load { get; init; }

    /// <summary>What the load does for people.</summary>
    public string Role { get; init; } = string.Empty;

    /// <summary>True where people can come to harm while the load is dark.</summary>
    public bool LifeSafety { get; init; }

    /// <summary>What it was measured to draw before, watts at the PSE; null where not read.</summary>
    public decimal? DrawWatts { get; init; }

    /// <summary>When it goes dark for the first time.</summary>
    public double? DarkFromSeconds { get; init; }

    /// <summary>When it goes dark for the first time, UTC; null where no plan says when the unit starts.</summary>
    public DateTime? DarkFromUtc { get; init; }

    /// <summary>Whether it has power again in the end, as the unit's budget allows; null where the budget was not read.</summary>
    public RestartOutcome? Restart { get; init; }

    /// <summary>Seconds from the end of a reset until it has power again; null where it is refused.</summary>
    public double? BackSeconds { get; init; }

    /// <summary>What it is granted in the end, watts at the PSE, 0 where it is refused; null where the budget was not read.</summary>
    public decimal? GrantedWatts { get; init; }

    /// <summary>When it has power again for good; null where it is refused.</summary>
    public double? DarkUntilSeconds { get; init; }

    /// <summary>When it has power again for good, UTC; null where it is refused or no plan says when the unit starts.</summary>
    public DateTime? DarkUntilUtc { get; init; }

    /// <summary>How long it is dark, all hops together; null where it is refused.</summary>
    public double? DarkSecondsTypical { get; init; }

    /// <summary>How long it is dark where every stage takes its worst time; null where it is refused.</summary>
    public double? DarkSecondsWorst { get; init; }

    /// <summary>Seconds from power until it serves, from its role; null where not known.</summary>
    public double? RestartSeconds { get; init; }

    /// <summary>When it serves again for good; null where it is refused or the restart time of its role is not known.</summary>
    public double? ServesAtSeconds { get; init; }

    /// <summary>How long it does not serve, all hops together; null where it is refused or the restart time of its role is not known.</summary>
    public double? OutOfServiceSeconds { get; init; }

    /// <summary>Draw before the refresh times typical dark time, watt-hours; null where it is refused or the draw was not read.</summary>
    public decimal? UnservedWattHours { get; init; }

    /// <summary>How long it was dark when the unit was refreshed, by the journal, all hops together; null where no journal says so or it did not come back.</summary>
    public double? RealDarkSeconds { get; init; }

    /// <summary>Whether it had power again when the unit was refreshed, by the journal; null where no journal says so.</summary>
    public bool? RealBack { get; init; }
}
