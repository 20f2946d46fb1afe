namespace PoeOps.Outages;

/// <summary>Puts what came of a refresh, by the journal, beside what was planned.</summary>
internal static class RealOutage
{
    /// <summary>The outage with what really happened.</summary>
    /// <param name="planned">What was planned.</param>
    /// <param name="real">The refreshes of the unit, one for each of its images in order.</param>
    public static Outage Beside(Outage planned, IReadOnlyList<RefreshSample> real)
    {
        LoadOutage[] loads = [.. planned.LoadOutages.Select(load => Beside(load, real))];
        double[] dark = [.. loads.Select(load => load.RealDarkSeconds).OfType<double>()];
        RefreshSample last = real[real.Count - 1];
        return planned with
        {
            RealOutcome = last.Outcome,
            RealDarkSeconds = real.Any(sample => sample.DarkSeconds is null) ? null : real.Sum(sample => sample.DarkSeconds),
            RealDarkLoadMinutes = dark.Length == 0 ? null : dark.Sum() / 60,
            RealLoadsBack = last.LoadsBack,
            LoadOutages = loads,
        };
    }

    private static LoadOutage Beside(LoadOutage load, IReadOnlyList<RefreshSample> real)
    {
        double?[] dark = [.. real.Select(sample => sample.LoadDarkSeconds.TryGetValue(load.Port, out double? seconds) ? seconds : null)];
        return load with
        {
            RealDarkSeconds = dark.Contains(null) ? null : dark.Sum(),
            RealBack = real[real.Count - 1].LoadDarkSeconds.TryGetValue(load.Port, out double? back) ? back is not null : null,
        };
    }
}
