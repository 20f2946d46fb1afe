using PoeOps.Baselines;
using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>The images of a unit one after the other, each begun when the loads serve again after the one before.</summary>
internal sealed class HopSequence
{
    private readonly IReadOnlyList<HopTimes> _typical;
    private readonly IReadOnlyList<HopTimes> _worst;
    private readonly double _lastResetEnds;

    private HopSequence(IReadOnlyList<HopTimes> typical, IReadOnlyList<HopTimes> worst, double recoverSeconds)
    {
        _typical = typical;
        _worst = worst;
        HopTimes last = typical[typical.Count - 1];
        _lastResetEnds = typical.Take(typical.Count - 1).Sum(hop => hop.Total + recoverSeconds) + last.Before + last.Dark;
    }

    /// <summary>The sequence of a unit's path.</summary>
    /// <param name="path">The images; at least one.</param>
    /// <param name="recoverSeconds">Seconds from the end of a reset until the last load serves again.</param>
    /// <returns>The sequence, or the problem that an image has no times.</returns>
    public static (HopSequence? Sequence, Problem? Problem) Of(IReadOnlyList<Hop> path, double recoverSeconds)
    {
        List<HopTimes> typical = [];
        List<HopTimes> worst = [];
        foreach (Hop hop in path)
        {
            (HopTimes? times, Problem? problem) = HopTimes.Typical(hop);
            if (problem is not null)
            {
                return (null, problem);
            }

            typical.Add(times!);
            worst.Add(HopTimes.Worst(hop).Times!);
        }

        return (new HopSequence(typical, worst, recoverSeconds), null);
    }

    /// <summary>What it costs one load.</summary>
    /// <param name="port">The load's port.</param>
    /// <param name="backAfter">Seconds from the end of a reset until the port has power; null where it is refused, so that its outage has no end.</param>
    /// <param name="outcome">What comes of the port; null where it is not known.</param>
    public LoadOutage Load(Port port, double? backAfter, RestartOutcome? outcome)
    {
        double? dark = backAfter is { } back ? DarkSeconds(back) : null;
        double? until = _lastResetEnds + backAfter;
        return new LoadOutage
        {
            Site = port.Site,
            Switch = port.Switch,
            Unit = port.Unit,
            Port = port.Name,
            Load = port.Load,
            Role = port.Role,
            LifeSafety = port.LifeSafety,
            DarkFromSeconds = _typical[0].Before,
            DarkUntilSeconds = until,
            DarkSecondsTypical = dark,
            DarkSecondsWorst = backAfter is null ? null : _worst.Sum(hop => hop.Dark + backAfter.Value),
            Restart = outcome,
            ServesAtSeconds = until + port.RestartSeconds,
            OutOfServiceSeconds = dark + (port.RestartSeconds * _typical.Count),
            UnservedWattHours = port.DrawWatts * (decimal?)dark / 3600,
        };
    }

    /// <summary>Energy that the loads do not get, watt-hours. Summed in watt-seconds and divided once, so that no thirds of a watt-hour are rounded on the way.</summary>
    /// <param name="restart">How the powered ports come back; one whose draw was not read or that is refused adds nothing.</param>
    public decimal UnservedWattHours(UnitRestart restart) =>
        restart.Order.Select((port, place) => restart.BackAfterSeconds(place) is { } back ? (port.DrawWatts ?? 0) * (decimal)DarkSeconds(back) : 0).Sum() / 3600;

    private double DarkSeconds(double backAfter) => _typical.Sum(hop => hop.Dark + backAfter);
}
