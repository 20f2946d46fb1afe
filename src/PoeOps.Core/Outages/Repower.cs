using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>In which order the loads of a unit come back after a reset.</summary>
public static class Repower
{
    /// <summary>The ports that are powered, in the order in which they have their turn; a priority that was not read counts as low.</summary>
    /// <param name="controller">The controller as it was read.</param>
    public static IReadOnlyList<Port> Order(Controller controller) =>
        [.. controller.Ports.Where(port => port.Delivering)
            .OrderBy(port => port.Priority ?? PortPriority.Low).ThenBy(port => port.Name, NaturalOrder.Instance)];
}
