using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>
/// How the loads of a unit come back after a reset: one after the other, in order of priority and then of port, a port each second. Every one is
/// granted power at its turn; whether the budget allows it is told by an outage's shortfall and not simulated here.
/// </summary>
public static class Repower
{
    /// <summary>Seconds for one port: detection, classification and turn-on (common practice, no source).</summary>
    public const double SlotSeconds = 1.0;

    /// <summary>The ports that are powered, in the order in which they are granted power again; a priority that was not read counts as low.</summary>
    /// <param name="controller">The controller as it was read.</param>
    public static IReadOnlyList<Port> Order(Controller controller) =>
        [.. controller.Ports.Where(port => port.Delivering)
            .OrderBy(port => port.Priority ?? PortPriority.Low).ThenBy(port => port.Name, NaturalOrder.Instance)];

    /// <summary>Seconds from the end of a reset until the port at a place of that order has power: the first is decided at the end of its slot, not at 0.</summary>
    /// <param name="place">The place; the first is 0.</param>
    public static double BackAfterSeconds(int place) => (place + 1) * SlotSeconds;

    /// <summary>Seconds from the end of a reset until the last load serves again; a load whose restart time is not known counts with its power alone.</summary>
    /// <param name="controller">The controller as it was read.</param>
    public static double RecoverSeconds(Controller controller) =>
        Order(controller).Select((port, place) => BackAfterSeconds(place) + (port.RestartSeconds ?? 0)).DefaultIfEmpty(0).Max();
}
