using System.Globalization;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Devices;

/// <summary>A switch with its units.</summary>
internal sealed class SimulatedSwitch
{
    private readonly WorldSwitch _world;

    public SimulatedSwitch(Scene scene, World world, WorldSwitch one, Func<WorldUnit, WorldPort, LoadTimes> times)
    {
        Scene = scene;
        World = world;
        _world = one;
        PromptName = one.Name;
        Units = [.. one.Units.Select(unit => new SimulatedUnit(scene, one.Name, unit, times))];
    }

    /// <summary>What all devices of the rehearsal share.</summary>
    public Scene Scene { get; }

    /// <summary>The world with its secrets.</summary>
    public World World { get; }

    /// <summary>The switch, as the estate names it.</summary>
    public string Name => _world.Name;

    /// <summary>What it calls itself in its prompt.</summary>
    public string PromptName { get; private set; }

    /// <summary>How often its prompt was changed; the rights of a session end with it.</summary>
    public int PromptChanges { get; private set; }

    /// <summary>The family of its console.</summary>
    public string Family => _world.Family;

    /// <summary>Its software release.</summary>
    public string Release => _world.Release;

    /// <summary>True where it wants the second secret.</summary>
    public bool AsksElevation => _world.AsksElevation;

    /// <summary>True where every connection ends when a controller resets.</summary>
    public bool EndsAtReset => _world.Family == "oakum";

    /// <summary>Its units in order.</summary>
    public IReadOnlyList<SimulatedUnit> Units { get; }

    /// <summary>The unit of a name; null where there is none.</summary>
    public SimulatedUnit? Find(string unit) => Units.FirstOrDefault(candidate => string.Equals(candidate.Name, unit, StringComparison.OrdinalIgnoreCase));

    /// <summary>The consoles, which a reset may close.</summary>
    public ISessionDrop? Sessions { get; set; }

    /// <summary>Calls itself something else from now on, as a switch does that lost its settings.</summary>
    public void ChangePrompt()
    {
        PromptName = "unnamed";
        PromptChanges++;
    }

    /// <summary>Begins to load an image.</summary>
    /// <returns>The work; null where the unit is at work already.</returns>
    public RefreshWork? Install(SimulatedUnit unit, InstallOrder order)
    {
        var work = new RefreshWork(Scene, order);
        if (!unit.TryBegin(work))
        {
            return null;
        }

        string server = $"{order.Server}:{order.ServerPort.ToString(CultureInfo.InvariantCulture)}";
        Scene.Log.Write(DeviceEntryKind.InstallBegan, Name, unit.Name, $"{order.File} from {server}, running {unit.View().Firmware}");
        work.Start(new RefreshStages(Scene, unit, order, Sessions!));
        return work;
    }
}
