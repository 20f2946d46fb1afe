using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// When each powered port of a unit has power again after a reset. Where its budget was read that is simulated: each is granted its class figure, and
/// claims what was set aside for it before once its load has negotiated. Where it was not, every port is granted at its turn.
/// </summary>
internal sealed class UnitRestart
{
    private readonly Dictionary<string, PortRestart>? _simulated;

    private UnitRestart(IReadOnlyList<Port> order, Dictionary<string, PortRestart>? simulated, IReadOnlyList<RestartRemedy> remedies)
    {
        Order = order;
        Remedies = remedies;
        _simulated = simulated;
    }

    /// <summary>The powered ports in the order in which they have their turn.</summary>
    public IReadOnlyList<Port> Order { get; }

    /// <summary>What would bring every load back; empty where all come back, or nothing is simulated.</summary>
    public IReadOnlyList<RestartRemedy> Remedies { get; }

    /// <summary>How many loads come out so; null where it is not known.</summary>
    public int? Count(RestartOutcome outcome) => _simulated?.Values.Count(port => port.Outcome == outcome);

    /// <summary>What comes of a port; null where it is not known.</summary>
    public RestartOutcome? OutcomeOf(Port port) => _simulated?[port.Name].Outcome;

    /// <summary>Seconds from the end of a reset until the port at a place of the order has power; null where it is refused.</summary>
    public double? BackAfterSeconds(int place) => _simulated is null ? Repower.BackAfterSeconds(place) : (double?)_simulated[Order[place].Name].BackSeconds;

    /// <summary>Simulates the restart of a controller as it was read.</summary>
    /// <param name="controller">The controller.</param>
    /// <param name="problem">The figure that is none that can be, so that nothing is simulated; or null.</param>
    public static UnitRestart Of(Controller controller, out Problem? problem)
    {
        problem = null;
        IReadOnlyList<Port> order = Repower.Order(controller);
        if (controller.BudgetWatts is not { } budget)
        {
            return new UnitRestart(order, null, []);
        }

        var unit = new RestartUnit
        {
            BudgetWatts = budget,
            GuardBandWatts = controller.GuardBandWatts ?? 0,
            StaggerSeconds = (decimal)Repower.SlotSeconds,
            Ports = [.. order.Select(PortOf)],
        };
        try
        {
            return new UnitRestart(order, Restart.Simulate(unit).Ports.ToDictionary(port => port.Name, StringComparer.OrdinalIgnoreCase), RestartRemedies.Find(unit));
        }
        catch (PoeOpsException exception)
        {
            problem = exception.Problem with { Target = controller.UnitId.ToString() };
            return new UnitRestart(order, null, []);
        }
    }

    // What is set aside for a port that draws power is what its load negotiated, where it is not the class figure. Less than it draws is no such figure: the
    // unit would seem to have room that it has not.
    private static decimal? Negotiated(Port port) =>
        port.AllocatedWatts is { } allocated && allocated > 0 && allocated >= (port.DrawWatts ?? 0) && allocated != PdClass.FigureWattsOf(port.PdClass) ? allocated : null;

    private static RestartPort PortOf(Port port) => new(port.Name)
    {
        Priority = (int)(port.Priority ?? PortPriority.Low),
        PdClass = port.PdClass,
        NegotiatedWatts = Negotiated(port),
        DrawWatts = port.DrawWatts,
        NegotiateSeconds = (decimal)(port.NegotiateSeconds ?? port.RestartSeconds ?? 0),
        BootSeconds = (decimal)(port.RestartSeconds ?? 0),
    };
}
