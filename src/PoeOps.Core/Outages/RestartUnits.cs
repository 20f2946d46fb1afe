using PoeOps.Estate;
using PoeOps.Files;
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
        GuardBandWatts = controller.GuardBandPercent is null ? controller.GuardBandWatts ?? 0 : 0,
        GuardBandPercent = controller.GuardBandPercent ?? 0,
        Policy = controller.RestartPolicy,
        Clause = controller.PseType.Clause(),
        Demotes = controller.Demotes,
        StaggerSeconds = controller.StaggerSeconds,
        Ports = [.. powered.Select(port => PortOf(port, controller.PseType))],
    };

    /// <summary>Ports that were measured to draw more than both their class and what was said to be negotiated: they are simulated, and one of the three figures is wrong.</summary>
    /// <param name="unit">The unit that was made of them.</param>
    /// <param name="powered">The ports, in the unit's order.</param>
    public static IEnumerable<Problem> Doubts(RestartUnit unit, IReadOnlyList<Port> powered) =>
        from pair in unit.Ports.Zip(powered, (port, read) => (port, read))
        let port = pair.port
        where port.DrawWatts is { }
        let most = new[] { port.Signature.FigureWatts(unit.Clause), unit.FirstClaimWatts(port), Negotiated(pair.read, unit.Clause) ?? 0 }.Max()
        where port.DrawWatts > most
        select new Problem(
            ProblemId.DrawImpossible,
            FormattableString.Invariant($"Port '{Excerpt.Of(port.Name)}' draws {port.DrawWatts} W, which is more than {(port.Signature == default ? "class 0, which counts where none was read," : "its class")} has and than it negotiated: {most} W at the most."),
            "Read the unit again; where it stays so, check how the dialect reads class, allocation and draw.");

    private static RestartPort PortOf(Port port, PseType type) => new(port.Name)
    {
        Priority = (int)(port.Priority ?? PortPriority.Low),
        Signature = type.Grants(port.Signature),
        NegotiatedWatts = Credible(port, Negotiated(port, type.Clause())),
        FixedWatts = port.AllocatedBy == AllocationSource.Limit ? AboveNothing(port.LimitWatts) ?? AboveNothing(port.AllocatedWatts) : null,
        LimitWatts = AboveNothing(port.LimitWatts),
        DrawWatts = port.DrawWatts,
        NegotiateSeconds = (decimal)(port.NegotiateSeconds ?? port.RestartSeconds ?? 0),
        BootSeconds = (decimal)(port.RestartSeconds ?? 0),
    };

    // Less than the load draws is nothing that it negotiated: the unit would seem to have room that it has not.
    private static decimal? Credible(Port port, decimal? negotiated) => negotiated >= (port.DrawWatts ?? 0) ? negotiated : null;

    private static decimal? AboveNothing(decimal? watts) => watts > 0 ? watts : null;

    // What neighbours agreed on, at the PSE. Where nobody says who decided what is set aside, it was negotiated where it is not the class figure.
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
        return IsClassFigure(port, clause, allocated) ? null : allocated;
    }

    private static bool IsClassFigure(Port port, PseClause clause, decimal watts) =>
        watts == port.Signature.FigureWatts(clause) || (clause == PseClause.Unknown && watts == port.Signature.FigureWatts(PseClause.Clause145));
}
