using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// When each powered port of a unit has power again after a reset. Where its budget was read that is simulated: each is granted what it claims at
/// turn-on, and claims what was agreed on before once its load has negotiated. Where it was not, every port is granted at its turn.
/// </summary>
internal sealed class UnitRestart
{
    private readonly Dictionary<string, PortRestart>? _byPort;
    private readonly decimal _staggerSeconds;

    private UnitRestart(IReadOnlyList<Port> order, RestartUnit? unit, RestartResult? result, decimal staggerSeconds)
    {
        Order = order;
        Unit = unit;
        Result = result;
        _staggerSeconds = staggerSeconds;
        _byPort = result?.Ports.ToDictionary(port => port.Name, StringComparer.OrdinalIgnoreCase);
        Remedies = unit is null || result?.Refused.Count is not > 0 ? [] : new LateList<RestartRemedy>(() => RestartRemedies.Find(unit));
    }

    /// <summary>The powered ports in the order in which they have their turn.</summary>
    public IReadOnlyList<Port> Order { get; }

    /// <summary>The unit as it is simulated; null where figures of it are none that can be.</summary>
    public RestartUnit? Unit { get; }

    /// <summary>What came of the simulation; null where there is none.</summary>
    public RestartResult? Result { get; }

    /// <summary>What would bring every load back, looked for when it is asked for; empty where all come back, or nothing is simulated.</summary>
    public IReadOnlyList<RestartRemedy> Remedies { get; }

    /// <summary>Why nothing is simulated, or which figures are doubtful.</summary>
    public IReadOnlyList<Problem> Problems { get; private set; } = [];

    /// <summary>How many loads are refused when the largest supply has failed; null where the supplies are not known.</summary>
    public int? RefusedWithOneFailed { get; private set; }

    /// <summary>How many loads come out so; null where it is not known.</summary>
    public int? Count(RestartOutcome outcome) => Result?.Ports.Count(port => port.Outcome == outcome);

    /// <summary>How one port came back; null where it is not known.</summary>
    public PortRestart? Of(Port port) => _byPort?[port.Name];

    /// <summary>Seconds from the end of a reset until the port at a place of the order has power; null where it is refused.</summary>
    public double? BackAfterSeconds(int place) => (double?)(_byPort is null ? (place + 1) * _staggerSeconds : _byPort[Order[place].Name].BackSeconds);

    /// <summary>Simulates the restart of a controller as it was read.</summary>
    /// <param name="controller">The controller.</param>
    public static UnitRestart Of(Controller controller)
    {
        IReadOnlyList<Port> order = Repower.Order(controller);
        try
        {
            RestartUnit unit = RestartUnits.Of(controller, order);
            RestartCheck.Check(controller.BudgetWatts is null ? unit with { BudgetWatts = 1 } : unit);
            RestartResult? result = controller.BudgetWatts is null ? null : Restart.Simulate(unit);
            return new UnitRestart(order, unit, result, unit.StaggerSeconds)
            {
                Problems = [.. RestartUnits.Doubts(unit, order).Select(problem => problem with { Target = controller.UnitId.ToString() })],
                RefusedWithOneFailed = OneFailed(unit, controller),
            };
        }
        catch (PoeOpsException exception)
        {
            return new UnitRestart(order, null, null, controller.StaggerSeconds > 0 ? controller.StaggerSeconds : 1) { Problems = [exception.Problem with { Target = controller.UnitId.ToString() }] };
        }
    }

    // A device that keeps a supply in reserve says a budget without it: the lesser of the two is what is left.
    private static int? OneFailed(RestartUnit unit, Controller controller)
    {
        if (controller.SupplyWatts.Count < 2 || controller.BudgetWatts is null)
        {
            return null;
        }

        return Restart.Simulate(unit with { BudgetWatts = Math.Min(unit.BudgetWatts, new Supplies(controller.SupplyWatts).WithOneFailedWatts) }).Refused.Count;
    }
}
