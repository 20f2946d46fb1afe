using PoeOps.Power;

namespace PoeOps.Estate;

/// <summary>One PSE controller as it was read. A null says that nobody said, never that it is zero.</summary>
public sealed record Controller
{
    /// <summary>The site of the switch; empty where no estate was given.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>The switch.</summary>
    public string Switch { get; init; } = string.Empty;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The unit's id.</summary>
    public UnitId UnitId => new(Switch, Unit);

    /// <summary>The hardware model of the unit; null where not read.</summary>
    public string? Model { get; init; }

    /// <summary>The serial number of the unit; null where not read.</summary>
    public string? Serial { get; init; }

    /// <summary>What the controller runs, as the device prints it; null where not read.</summary>
    public string? Firmware { get; init; }

    /// <summary>Why <see cref="Firmware"/> is not known, as part of a sentence; null where it is known, or nobody says why.</summary>
    public string? FirmwareUnread { get; init; }

    /// <summary>The software release of the switch, as the device prints it; null where not read.</summary>
    public string? Release { get; init; }

    /// <summary>How the controller is.</summary>
    public ControllerCondition Condition { get; init; }

    /// <summary>The device's own word for the condition; null where not read.</summary>
    public string? ConditionText { get; init; }

    /// <summary>What the unit's supplies can give its ports, watts; null where not read.</summary>
    public decimal? BudgetWatts { get; init; }

    /// <summary>What of the budget is kept back, watts; null where nobody says.</summary>
    public decimal? GuardBandWatts { get; init; }

    /// <summary>What is kept back as a share of whatever the budget is, per cent, by the estate's word; null where it is so many watts. <see cref="GuardBandWatts"/> is what that is of the budget now.</summary>
    public decimal? GuardBandPercent { get; init; }

    /// <summary>What the unit has set aside for its ports, watts; null where not read.</summary>
    public decimal? AllocatedWatts { get; init; }

    /// <summary>What the unit's ports are measured to draw, watts; null where not read.</summary>
    public decimal? DrawWatts { get; init; }

    /// <summary>The Type of its PSE (IEEE 802.3): as it was read, else by the estate's word.</summary>
    public PseType PseType { get; init; }

    /// <summary>What a port claims while the loads come back after a reset, by the estate's word; the class where nobody says.</summary>
    public RestartPolicy RestartPolicy { get; init; }

    /// <summary>Seconds that one port takes after a reset, by the estate's word; 1 where nobody says (common practice, no source).</summary>
    public decimal StaggerSeconds { get; init; } = 1m;

    /// <summary>True where a port whose class does not fit is granted a lower one, by the estate's word.</summary>
    public bool Demotes { get; init; }

    /// <summary>What each of its supplies can give the ports, watts, by the estate's word; empty where nobody says.</summary>
    public IReadOnlyList<decimal> SupplyWatts { get; init; } = [];

    /// <summary>How much of what its supplies take from the wall they give, by the estate's word; null where nobody says.</summary>
    public Efficiency? Efficiency { get; init; }

    /// <summary>How many ports were read.</summary>
    public int PortCount => Ports.Count;

    /// <summary>How many of them feed a PD.</summary>
    public int PoweredPorts => Ports.Count(port => port.Delivering);

    /// <summary>How many powered loads people can come to harm without.</summary>
    public int LifeSafetyLoads => Ports.Count(port => port.Delivering && port.LifeSafety);

    /// <summary>How many problems its reading has; a unit with any is not refreshed unless the plan accepts it by name.</summary>
    public int ReadingProblems { get; init; }

    /// <summary>True for the unit that carries the stack's management, by the estate's word.</summary>
    public bool HoldsManagement { get; init; }

    /// <summary>Units with the same word here cover for each other; empty where none.</summary>
    public string CoverageGroup { get; init; } = string.Empty;

    /// <summary>How many units its switch listed in the same reading; 0 where nobody counted.</summary>
    public int SwitchUnits { get; init; }

    /// <summary>The dialect that it was read by; empty where it was not read from text.</summary>
    public string Dialect { get; init; } = string.Empty;

    /// <summary>The file of that dialect; empty where it was not read from text.</summary>
    public string DialectPath { get; init; } = string.Empty;

    /// <summary>Where it was read: <c>console</c>, <c>snmp</c>, both with a comma between, or the path of the capture or saved walk.</summary>
    public string Source { get; init; } = string.Empty;

    /// <summary>When it was read, UTC.</summary>
    public DateTime ReadUtc { get; init; }

    /// <summary>The unit's ports in natural order; read by the next cmdlet, printed by no view.</summary>
    public IReadOnlyList<Port> Ports { get; init; } = [];
}
