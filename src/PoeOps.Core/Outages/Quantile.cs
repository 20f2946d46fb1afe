namespace PoeOps.Outages;

/// <summary>Quantiles of samples, linear between the two ranks beside (n - 1) q.</summary>
public static class Quantile
{
    /// <summary>The quantile of samples.</summary>
    /// <param name="ordered">The samples, smallest first; at least one.</param>
    /// <param name="q">0 for the smallest, 0.5 for the median, 1 for the largest.</param>
    /// <exception cref="ArgumentException">There is no sample, or no such quantile.</exception>
    public static double Of(IReadOnlyList<double> ordered, double q)
    {
        if (ordered.Count == 0 || !(q is >= 0 and <= 1))
        {
            throw new ArgumentException("A quantile from 0 to 1 of at least one sample was expected.");
        }

        double rank = (ordered.Count - 1) * q;
        int below = (int)Math.Floor(rank);
        int above = Math.Min(below + 1, ordered.Count - 1);
        return ordered[below] + ((ordered[above] - ordered[below]) * (rank - below));
    }
}
