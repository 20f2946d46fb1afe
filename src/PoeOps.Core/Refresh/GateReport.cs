using System.Globalization;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>What the gates found of a unit that may be refreshed, and the question to ask before it is.</summary>
public sealed record GateReport
{
    /// <summary>Makes the report of a unit that passed.</summary>
    /// <param name="unit">The planned unit.</param>
    /// <param name="fresh">Its controller as it was just read.</param>
    /// <param name="gates">The gates that are open, by id.</param>
    public GateReport(PlannedUnit unit, Controller fresh, IReadOnlyList<string> gates)
    {
        Unit = unit;
        Fresh = fresh;
        Gates = gates;
    }

    /// <summary>The gates that are open, by id, in the order in which they were looked at.</summary>
    public IReadOnlyList<string> Gates { get; }

    /// <summary>The planned unit.</summary>
    public PlannedUnit Unit { get; }

    /// <summary>Its controller as it was just read.</summary>
    public Controller Fresh { get; }

    /// <summary>The loads that go dark.</summary>
    public int DarkLoads => Fresh.PoweredPorts;

    /// <summary>The life-safety loads among them, by name and port.</summary>
    public IReadOnlyList<string> LifeSafetyLoads => [.. Fresh.Ports.Where(port => port.Delivering && port.LifeSafety).Select(port => $"{port.Load ?? port.Role} on {port.PortId}")];

    /// <summary>What is about to be done, for the question and for <c>-WhatIf</c>.</summary>
    public string Action => $"Refresh the controller from {Unit.FromFirmware} to {Unit.ToFirmware}: {Dark()}";

    /// <summary>The question before the unit, with the cautions where life-safety loads go dark.</summary>
    public string Question => $"{Unit.UnitId}: {Action} Go on?";

    private string Dark()
    {
        double seconds = new[] { "Erase", "Program", "Reset" }.Sum(stage => Unit.StageTimes.Of(stage)?.TypicalSeconds ?? 0) + DarkLoads;
        string minutes = Math.Max(1, Math.Ceiling(seconds / 60)).ToString("0", CultureInfo.InvariantCulture);
        string loads = DarkLoads == 1 ? "1 load goes dark" : $"{DarkLoads.ToString(CultureInfo.InvariantCulture)} loads go dark";
        int count = LifeSafetyLoads.Count;
        if (Unit.RefusedLoadsAccepted is > 0 and { } refused)
        {
            loads = $"{loads} ({refused.ToString(CultureInfo.InvariantCulture)} for good, as the plan accepts)";
        }

        return count == 0
            ? $"{loads} for about {minutes} min, none of them life-safety."
            : $"{loads} for about {minutes} min, {count.ToString(CultureInfo.InvariantCulture)} of them life-safety: {string.Join(", ", LifeSafetyLoads)}. {LifeSafety.Caution(count)}";
    }
}
