using PoeOps.Outages;

namespace PoeOps.Report;

/// <summary>Makes the restart curve of a unit.</summary>
internal static class CurveRows
{
    /// <summary>The curve of a unit; null where neither a plan nor a journal says when its loads come back.</summary>
    /// <param name="unitId">The unit as its id prints.</param>
    /// <param name="outage">What was planned; null where no plan says.</param>
    /// <param name="loads">Its loads.</param>
    /// <param name="story">What came of its last image; null where it was not begun.</param>
    public static RestartCurve? Of(string unitId, Outage? outage, IReadOnlyList<LoadSummary> loads, RefreshStory? story)
    {
        Dictionary<string, decimal> granted = new(StringComparer.OrdinalIgnoreCase);
        foreach (LoadOutage load in (outage?.LoadOutages ?? []).Where(load => load.GrantedWatts is not null))
        {
            granted[load.Port] = load.GrantedWatts!.Value;
        }

        bool isGranted = granted.Count > 0;
        decimal Watts(LoadSummary load) => isGranted && granted.TryGetValue(load.Port, out decimal watts) ? watts : load.DrawWatts ?? 0;
        Dictionary<string, double?> planned = new(StringComparer.OrdinalIgnoreCase);
        foreach (LoadOutage load in outage?.LoadOutages ?? [])
        {
            planned[load.Port] = load.BackSeconds;
        }

        double? Back(LoadSummary load) => planned.TryGetValue(load.Port, out double? back) ? back : null;
        IReadOnlyList<LoadSummary> ordered = [.. loads.OrderBy(load => Back(load) ?? double.MaxValue)];
        List<CurveStep> byPlan = Steps(ordered.Select(load => (Back(load), load)), Watts);
        List<CurveStep> real = Steps(ordered.Select(load => (story is not null && story.LoadDark.TryGetValue(load.Port, out double? dark) ? dark - story.ResetAfterSeconds : null, load)), Watts);
        return byPlan.Count == 0 && real.Count == 0 && outage?.BudgetWatts is null ? null : new RestartCurve
        {
            UnitId = unitId,
            BudgetWatts = outage?.BudgetWatts,
            DemandWatts = outage?.RestartDemandWatts,
            ShortfallWatts = outage?.ShortfallWatts,
            RefusedLoads = outage?.RefusedLoads,
            WattsAreGranted = isGranted,
            Planned = byPlan,
            Real = real,
        };
    }

    private static List<CurveStep> Steps(IEnumerable<(double? Seconds, LoadSummary Load)> loads, Func<LoadSummary, decimal> watts)
    {
        List<CurveStep> steps = [];
        decimal sum = 0;
        foreach ((double? seconds, LoadSummary load) in loads.Where(load => load.Seconds is not null).OrderBy(load => load.Seconds))
        {
            sum += watts(load);
            steps.Add(new CurveStep(Math.Round(seconds!.Value, 3), load.Port, watts(load), sum));
        }

        return steps;
    }
}
