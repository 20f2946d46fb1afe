using PoeOps.Estate;

namespace PoeOps.Baselines;

/// <summary>How one controller stands to the baseline.</summary>
public enum Verdict
{
    /// <summary>It runs the approved firmware.</summary>
    Current,
    /// <summary>It runs an older one.</summary>
    Behind,
    /// <summary>It runs a newer one.</summary>
    Ahead,
    /// <summary>The baseline says nothing of its model and release.</summary>
    Unlisted,
    /// <summary>What it is or runs was not read, or cannot be compared.</summary>
    Unreadable,
    /// <summary>It has a fault, or is not there.</summary>
    Faulted,
}

/// <summary>The verdict on one controller, with what the next step needs.</summary>
public sealed record Drift
{
    /// <summary>Makes the row of a controller.</summary>
    /// <param name="controller">The controller as it was read.</param>
    public Drift(Controller controller) => Controller = controller;

    /// <summary>The site of the switch; empty where no estate was given.</summary>
    public string Site => Controller.Site;

    /// <summary>The switch.</summary>
    public string Switch => Controller.Switch;

    /// <summary>The unit, as the device names it.</summary>
    public string Unit => Controller.Unit;

    /// <summary>The unit's id.</summary>
    public UnitId UnitId => Controller.UnitId;

    /// <summary>The hardware model of the unit; null where not read.</summary>
    public string? Model => Controller.Model;

    /// <summary>The serial number of the unit; null where not read.</summary>
    public string? Serial => Controller.Serial;

    /// <summary>The software release of the switch, as the device prints it; null where not read.</summary>
    public string? Release => Controller.Release;

    /// <summary>What the controller runs, as the device prints it; null where not read.</summary>
    public string? Firmware => Controller.Firmware;

    /// <summary>What it should run; null where the baseline does not say.</summary>
    public string? ApprovedFirmware => Entry?.Firmware;

    /// <summary>The verdict.</summary>
    public Verdict Verdict { get; init; }

    /// <summary>Why, in one sentence.</summary>
    public string Reason { get; init; } = string.Empty;

    /// <summary>How many images have to be loaded; 0 unless it is behind.</summary>
    public int Hops => Path.Count;

    /// <summary>How many problems the controller's reading has.</summary>
    public int ReadingProblems => Controller.ReadingProblems;

    /// <summary>The controller as it was read.</summary>
    public Controller Controller { get; init; }

    /// <summary>The entry of the baseline that holds for it, or null.</summary>
    public BaselineEntry? Entry { get; init; }

    /// <summary>The file of the baseline; empty where it was held against none.</summary>
    public string BaselinePath { get; init; } = string.Empty;

    /// <summary>The images to load, in order; empty unless it is behind.</summary>
    public IReadOnlyList<Hop> Path { get; init; } = [];
}
