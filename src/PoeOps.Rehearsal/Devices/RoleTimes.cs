using System.Globalization;
using PoeOps.Estate;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Devices;

/// <summary>How long the loads of a switch take: as the world says, or as the role does that the estate gives the port.</summary>
internal sealed class RoleTimes
{
    private readonly Dictionary<(string Unit, int Port), Role> _roles = [];

    public RoleTimes(EstateMap estate, WorldSwitch one)
    {
        IEnumerable<Controller> controllers = one.Units.Select(unit => new Controller { Switch = one.Name, Unit = unit.Unit, Ports = [.. unit.Ports.Select(port => AsRead(one, unit, port))] });
        foreach (Port port in estate.Apply(estate.FindSwitch(one.Name)!, controllers).SelectMany(controller => controller.Ports))
        {
            if (estate.Roles.FirstOrDefault(role => role.Name == port.Role) is { } role)
            {
                _roles[(port.Unit, int.Parse(port.Name, CultureInfo.InvariantCulture))] = role;
            }
        }
    }

    /// <summary>The times of the load on a port.</summary>
    public LoadTimes Of(WorldUnit unit, WorldPort port)
    {
        _roles.TryGetValue((unit.Unit, port.Number), out Role? role);
        double restart = port.Load?.RestartSeconds ?? role?.RestartSeconds ?? 0;
        return new LoadTimes(port.Load?.NegotiateSeconds ?? role?.NegotiateSeconds ?? restart, restart);
    }

    private static Port AsRead(WorldSwitch one, WorldUnit unit, WorldPort port) => new()
    {
        Switch = one.Name,
        Unit = unit.Unit,
        Name = port.Number.ToString(CultureInfo.InvariantCulture),
        Neighbour = port.Neighbour,
        Description = port.Description,
    };
}
