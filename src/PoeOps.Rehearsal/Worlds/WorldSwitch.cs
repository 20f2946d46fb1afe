using PoeOps.Estate;

namespace PoeOps.Rehearsal.Worlds;

/// <summary>A switch of the estate as it really is.</summary>
public sealed record WorldSwitch
{
    /// <summary>The switch, as the estate names it.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The family whose console it has: <c>kelpline</c> or <c>oakum</c>.</summary>
    public string Family { get; init; } = string.Empty;

    /// <summary>Its software release, as it prints it.</summary>
    public string Release { get; init; } = string.Empty;

    /// <summary>True where it wants the second secret before it lets anything be changed.</summary>
    public bool AsksElevation { get; init; }

    /// <summary>Its units.</summary>
    public IReadOnlyList<WorldUnit> Units { get; init; } = [];
}

/// <summary>A unit and its controller as they are when the rehearsal starts.</summary>
public sealed record WorldUnit
{
    /// <summary>The unit: a number at a kelpline, a capital letter at an oakum.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>Its hardware model.</summary>
    public WorldModel Model { get; init; } = new();

    /// <summary>Its serial number.</summary>
    public string Serial { get; init; } = string.Empty;

    /// <summary>What its controller runs, in a spelling of the family; empty only for an absent controller.</summary>
    public string Firmware { get; init; } = string.Empty;

    /// <summary>How its controller is: Healthy, Faulted or Absent.</summary>
    public ControllerCondition Condition { get; init; } = ControllerCondition.Healthy;

    /// <summary>Its own budget, watts; the model's unless the world says otherwise.</summary>
    public decimal BudgetWatts { get; init; }

    /// <summary>Its ports, in order; every port of the model is here.</summary>
    public IReadOnlyList<WorldPort> Ports { get; init; } = [];
}

/// <summary>A port as it is when the rehearsal starts.</summary>
public sealed record WorldPort
{
    /// <summary>The port's number within the unit.</summary>
    public int Number { get; init; }

    /// <summary>The load, or null where nothing hangs on the port.</summary>
    public WorldLoad? Load { get; init; }

    /// <summary>What the load draws, watts; 0 where there is none.</summary>
    public decimal DrawWatts { get; init; }

    /// <summary>The name that the load gives of itself; empty for one that gives none.</summary>
    public string Neighbour { get; init; } = string.Empty;

    /// <summary>What somebody wrote beside the port; empty for nothing.</summary>
    public string Description { get; init; } = string.Empty;

    /// <summary>Who keeps power when it is short.</summary>
    public PortPriority Priority { get; init; } = PortPriority.Low;

    /// <summary>The most that the port may be set aside, watts; null for no limit.</summary>
    public decimal? LimitWatts { get; init; }

    /// <summary>Whether the port may feed a PD.</summary>
    public bool AdminEnabled { get; init; } = true;

    /// <summary>True for a port that found a fault and feeds nothing.</summary>
    public bool Fault { get; init; }
}
