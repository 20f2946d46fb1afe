using PoeOps.Baselines;

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

    /// <summary>From the start of the last refresh until the end of its reset, seconds.</summary>
    public double LastResetAfterSeconds => _typical[_typical.Count - 1].Before + _typical[_typical.Count - 1].Dark;

    /// <summary>What it costs one load.</summary>
    /// <param name="load">The load with what its restart alone says.</param>
    public LoadOutage Load(LoadOutage load)
    {
        double? dark = load.BackSeconds is { } back ? DarkSeconds(back) : null;
        double? until = _lastResetEnds + load.BackSeconds;
        return load with
        {
            DarkFromSeconds = _typical[0].Before,
            DarkUntilSeconds = until,
            DarkSecondsTypical = dark,
            DarkSecondsWorst = load.BackSeconds is null ? null : _worst.Sum(hop => hop.Dark + load.BackSeconds.Value),
            ServesAtSeconds = until + load.RestartSeconds,
            OutOfServiceSeconds = dark + (load.RestartSeconds * _typical.Count),
            UnservedWattHours = load.DrawWatts * (decimal?)dark / 3600,
        };
    }

    /// <summary>Energy that the loads do not get, watt-hours. Summed in watt-seconds and divided once, so that no thirds of a watt-hour are rounded on the way.</summary>
    /// <param name="loads">The loads; one whose draw was not read or that is refused adds nothing.</param>
    public decimal UnservedWattHours(IEnumerable<LoadOutage> loads) =>
        loads.Select(load => load.BackSeconds is { } back ? (load.DrawWatts ?? 0) * (decimal)DarkSeconds(back) : 0).Sum() / 3600;

    private double DarkSeconds(double backAfter) => _typical.Sum(hop => hop.Dark + backAfter);
}
