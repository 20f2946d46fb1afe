using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>Makes what is simulated of a controller as it was read.</summary>
internal static class RestartUnits
{
    // A conversion over a cable gives endless digits; a milliwatt is finer than any device counts.
    private const int Digits = 3;

    /// <summary>The unit that is simulated; a budget that was not read is 0.</summary>
    /// <param name="controller">The controller.</param>
    /// <param name="powered">Its powered ports.</param>
    /// <exception cref="PoeOpsException">What a port was set aside cannot be (<see cref="ProblemId.ChannelImpossible"/>), or its class is none (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public static RestartUnit Of(Controller controller, IReadOnlyList<Port> powered) => new()
    {
        BudgetWatts = controller.BudgetWatts ?? 0,
        GuardBandWatts = controller.GuardBandWatts ?? 0,
        Policy = controller.RestartPolicy,
        Clause = controller.PseType.Clause(),
        Demotes = controller.Demotes,
        StaggerSeconds = controller.StaggerSeconds,
        Ports = [.. powered.Select(port => PortOf(port, controller.PseType.Clause()))],
    };

    private static RestartPort PortOf(Port port, PseClause clause) => new(port.Name)
    {
        Priority = (int)(port.Priority ?? PortPriority.Low),
        Signature = port.Signature,
        NegotiatedWatts = Negotiated(port, clause),
        FixedWatts = port.AllocatedBy == AllocationSource.Limit && port.AllocatedWatts > 0 ? port.AllocatedWatts : null,
        LimitWatts = port.LimitWatts,
        DrawWatts = port.DrawWatts,
        NegotiateSeconds = (decimal)(port.NegotiateSeconds ?? port.RestartSeconds ?? 0),
        BootSeconds = (decimal)(port.RestartSeconds ?? 0),
    };

    // What neighbours agreed on, at the PSE. Where nobody says who decided what is set aside, it was negotiated where it is not the class figure; less
    // than the load draws is no such figure: the unit would seem to have room that it has not.
    private static decimal? Negotiated(Port port, PseClause clause)
    {
        if (port.AllocatedPdWatts is > 0 and { } atPd)
        {
            return Math.Round(new Allocation(new Watts(atPd), PowerSide.Pd, AllocationSource.Neighbour).AtPse(clause).Watts.Value, Digits);
        }

        if (port.AllocatedWatts is not > 0 || port.AllocatedBy is not null)
        {
            return port.AllocatedBy == AllocationSource.Neighbour && port.AllocatedWatts > 0 ? port.AllocatedWatts : null;
        }

        decimal allocated = port.AllocatedWatts.Value;
        return allocated >= (port.DrawWatts ?? 0) && !IsClassFigure(port, clause, allocated) ? allocated : null;
    }

    private static bool IsClassFigure(Port port, PseClause clause, decimal watts) =>
        watts == port.Signature.FigureWatts(clause) || (clause == PseClause.Unknown && watts == port.Signature.FigureWatts(PseClause.Clause145));
}
