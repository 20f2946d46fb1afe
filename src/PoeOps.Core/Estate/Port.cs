using PoeOps.Power;

namespace PoeOps.Estate;

/// <summary>One PSE port as it was read. A null says that nobody said, never that it is zero.</summary>
public sealed record Port
{
    /// <summary>The site of the switch; empty where no estate was given.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The switch.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The port, as the device names it within the unit.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The unit that the port belongs to.</summary>
    public UnitId UnitId => new(Switch, Unit);

    /// <summary>The port's id.</summary>
    public PortId PortId => new(UnitId, Name);

    /// <summary>The name of its interface, as the device has it (ifName); null where not read.</summary>
    public string? Interface { get; init; }

    /// <summary>Whether the port may feed a PD; null where not read.</summary>
    public bool? AdminEnabled { get; init; }

    /// <summary>What the port is doing; null where not read.</summary>
    public DetectionStatus? Status { get; init; }

    /// <summary>True while the port feeds a PD.</summary>
    public bool Delivering => Status == DetectionStatus.DeliveringPower;

    /// <summary>The class of the PD, 0 to 8; valid only while delivering; null where not read, or where the PD has a class on each pairset.</summary>
    public int? PdClass { get; init; }

    /// <summary>The class on Alternative A of a dual-signature PD, 1 to 5; null for others, or where not read.</summary>
    public int? PdClassA { get; init; }

    /// <summary>The class on Alternative B of a dual-signature PD, 1 to 5; null for others, or where not read.</summary>
    public int? PdClassB { get; init; }

    /// <summary>What the PD shows of itself: one class, or one on each pairset.</summary>
    internal PdSignature Signature => PdSignature.Of(PdClass, PdClassA, PdClassB);

    /// <summary>Who keeps power when it is short; null where not read.</summary>
    public PortPriority? Priority { get; init; }

    /// <summary>What the PSE sets aside for the port, watts at the PSE; null where not read.</summary>
    public decimal? AllocatedWatts { get; init; }

    /// <summary>What PSE and PD agreed on as neighbours, watts at the PD, behind the cable; null where not read. Never added to watts at the PSE without a conversion.</summary>
    public decimal? AllocatedPdWatts { get; init; }

    /// <summary>Who decided what is set aside; null where not read.</summary>
    public AllocationSource? AllocatedBy { get; init; }

    /// <summary>What the PD is measured to draw, watts at the PSE; null where not read.</summary>
    public decimal? DrawWatts { get; init; }

    /// <summary>What the port has fed since the device began to count, watt-hours at the PSE; the counter may have gone over its end. Null where not read.</summary>
    public decimal? EnergyWattHours { get; init; }

    /// <summary>The most the port may be set aside, watts at the PSE; null where not read or not set.</summary>
    public decimal? LimitWatts { get; init; }

    /// <summary>The port's description as somebody wrote it into the device; null where not read.</summary>
    public string? Description { get; init; }

    /// <summary>The name that the PD gave of itself to its neighbour; null where not read.</summary>
    public string? Neighbour { get; init; }

    /// <summary>What the PD says that it does, in the words of LLDP with commas between, such as <c>bridge, telephone</c>; null where not read.</summary>
    public string? NeighbourCapabilities { get; init; }

    /// <summary>What people call the load: the estate's name, else the neighbour's, else the description, else null.</summary>
    public string? Load { get; init; }

    /// <summary>What it is known by, where that is not the console: the standard tables, whether they say watts, and how its interface was found; empty elsewhere.</summary>
    public string Source { get; init; } = string.Empty;

    /// <summary>What the load does for people; empty where no estate was given.</summary>
    public string Role { get; init; } = string.Empty;

    /// <summary>True where people can come to harm while the load is dark.</summary>
    public bool LifeSafety { get; init; }

    /// <summary>Seconds from power to serving again, from the role; null where no estate was given.</summary>
    public double? RestartSeconds { get; init; }

    /// <summary>Seconds from power until what its load negotiates holds, from the role; null where no estate was given.</summary>
    public double? NegotiateSeconds { get; init; }

    /// <summary>How much a minute out of service counts, from the role.</summary>
    public double Weight { get; init; } = 1;
}
