using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>
/// What the outage of a unit weighs at a time: for each load its role's weight times the minutes out of service, typical times, each minute counted as
/// often as the site's busy hours say. A load that does not come back has no end and is in no sum.
/// </summary>
internal sealed class Disturbance
{
    private readonly (long From, long Until, double Weight)[][] _busy;
    private readonly (long From, long Until, double Weight)[][] _loads;

    /// <summary>Works out the busy times of all windows and the outages of all loads.</summary>
    public Disturbance(PlanTask task, EstateMap estate)
    {
        _busy = new (long, long, double)[task.Items.Length][];
        _loads = new (long, long, double)[task.Items.Length][];
        Dictionary<int, (long, long, double)[]> ofSite = [];
        foreach (PlanItem item in task.Items)
        {
            if (!ofSite.TryGetValue(item.Site, out var busy))
            {
                ofSite.Add(item.Site, busy = Busy(task, item, estate.FindSite(item.Outage.Site)!));
            }

            _busy[item.Index] = busy;
            _loads[item.Index] = Loads(item);
        }
    }

    /// <summary>The weighed minutes of an item that starts at a time.</summary>
    public double Of(int item, long start)
    {
        double sum = 0;
        foreach ((long from, long until, double weight) in _loads[item])
        {
            sum += weight * Minutes(_busy[item], start + from, start + until);
        }

        return sum;
    }

    /// <summary>The starts within a window at which the outage of a load begins or ends with a busy time.</summary>
    public IEnumerable<long> Edges(int item, long opens, long ends)
    {
        foreach ((long from, long until, _) in _busy[item].Where(busy => busy.From < ends && busy.Until > opens))
        {
            foreach ((long begins, long over, _) in _loads[item].GroupBy(load => (load.From, load.Until)).Select(same => same.First()))
            {
                yield return from - over;
                yield return until - begins;
            }
        }
    }

    // A minute in no busy time counts once; in several, their weights multiply.
    private static double Minutes((long From, long Until, double Weight)[] busy, long from, long until)
    {
        double sum = until - from;
        long at = from;
        foreach ((long begins, long over, double weight) in busy)
        {
            if (over <= at)
            {
                continue;
            }

            if (begins >= until)
            {
                break;
            }

            sum += (weight - 1) * (Math.Min(over, until) - Math.Max(begins, from));
        }

        return sum / TimeSpan.TicksPerMinute;
    }

    private static (long From, long Until, double Weight)[] Loads(PlanItem item)
    {
        HopTimes times = HopTimes.Typical(item.Outage.Drift.Path[item.Hop]).Times!;
        Dictionary<string, double> weights = item.Outage.Drift.Controller.Ports.GroupBy(port => port.Name, StringComparer.OrdinalIgnoreCase).ToDictionary(same => same.Key, same => same.First().Weight, StringComparer.OrdinalIgnoreCase);
        long from = TimeSpan.FromSeconds(times.Before).Ticks;
        return
        [
            .. item.Outage.LoadOutages.Where(load => load.BackSeconds is not null).GroupBy(load => load.BackSeconds!.Value + (load.RestartSeconds ?? 0))
                .Select(same => (from, from + TimeSpan.FromSeconds(times.Dark + same.Key).Ticks, same.Sum(load => weights.TryGetValue(load.Port, out double weight) ? weight : 1))),
        ];
    }

    private static (long From, long Until, double Weight)[] Busy(PlanTask task, PlanItem item, Site site)
    {
        PlanWindow[] windows = [.. task.Windows.Where(window => window.Site == item.Site)];
        return windows.Length == 0 || site.BusyHours.Count == 0
            ? []
            : [.. BusyTimes.Of(site, windows[0].Window.OpensUtc, windows.Max(window => window.Window.ClosesUtc)).Select(busy => (busy.FromUtc.Ticks, busy.UntilUtc.Ticks, busy.Weight))];
    }
}
