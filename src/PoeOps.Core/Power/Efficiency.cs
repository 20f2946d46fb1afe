namespace PoeOps.Power;

/// <summary>How much of what a supply takes from the wall it gives to the ports: one figure, or a curve over its load.</summary>
public sealed record Efficiency
{
    /// <summary>The same at every load.</summary>
    /// <param name="figure">Output by input, above 0 and up to 1.</param>
    /// <exception cref="PoeOpsException">There is no such efficiency (<see cref="ProblemId.SupplyImpossible"/>).</exception>
    public Efficiency(decimal figure)
        : this([new EfficiencyPoint(1, figure)])
    {
    }

    /// <summary>A curve: straight between its points, and level before the first and after the last.</summary>
    /// <param name="points">The points in any order; at least one, and no load twice.</param>
    /// <exception cref="PoeOpsException">There is no such curve (<see cref="ProblemId.SupplyImpossible"/>).</exception>
    public Efficiency(IReadOnlyList<EfficiencyPoint> points)
    {
        EfficiencyPoint[] ordered = [.. points.OrderBy(point => point.Load)];
        if (ordered.Length == 0)
        {
            throw Impossible("A curve of efficiency has no point.", "Give one or more, or one figure.");
        }

        foreach (EfficiencyPoint point in ordered)
        {
            if (point.Load is < 0 or > 1 || point.Figure is <= 0 or > 1)
            {
                throw Impossible(
                    FormattableString.Invariant($"An efficiency of {point.Figure} at a load of {point.Load} is none; above 0 and up to 1, at a load from 0 to 1, was expected."),
                    "Write 92 % as 0.92, and half of the rated load as 0.5.");
            }
        }

        if (ordered.Zip(ordered.Skip(1), (one, next) => one.Load == next.Load).Any(same => same))
        {
            throw Impossible("A curve of efficiency has two points at one load.", "Keep one of them.");
        }

        Points = ordered;
    }

    /// <summary>The points, by load.</summary>
    public IReadOnlyList<EfficiencyPoint> Points { get; }

    /// <summary>The efficiency at a load.</summary>
    /// <param name="load">Output by rated output, 0 or more; above 1 counts as 1.</param>
    public decimal At(decimal load)
    {
        EfficiencyPoint before = Points[0];
        foreach (EfficiencyPoint point in Points)
        {
            if (point.Load >= load)
            {
                return point.Load == before.Load ? point.Figure : before.Figure + ((point.Figure - before.Figure) * (load - before.Load) / (point.Load - before.Load));
            }

            before = point;
        }

        return before.Figure;
    }

    /// <summary>What the wall gives for an output.</summary>
    /// <param name="outputWatts">What the ports are given, watts, 0 or more.</param>
    /// <param name="ratedWatts">What the supplies can give them, watts, above 0.</param>
    /// <returns>Watts from the wall.</returns>
    /// <exception cref="PoeOpsException">The output is negative or the rating is none (<see cref="ProblemId.SupplyImpossible"/>).</exception>
    public decimal WallWatts(decimal outputWatts, decimal ratedWatts) =>
        outputWatts >= 0 && ratedWatts > 0
            ? outputWatts / At(outputWatts / ratedWatts)
            : throw Impossible(FormattableString.Invariant($"An output of {outputWatts} W of supplies of {ratedWatts} W is none; 0 W or more of more than 0 W was expected."), "Give what the ports are given, and what the supplies can give.");

    /// <summary>True where both have the same points.</summary>
    public bool Equals(Efficiency? other) => other is not null && Points.SequenceEqual(other.Points);

    /// <inheritdoc/>
    public override int GetHashCode() => Points.Count;

    private static PoeOpsException Impossible(string sentence, string advice) => new(new Problem(ProblemId.SupplyImpossible, sentence, advice));
}

/// <summary>A point of a curve of efficiency.</summary>
/// <param name="Load">Output by rated output, 0 to 1.</param>
/// <param name="Figure">Output by input there, above 0 and up to 1.</param>
public sealed record EfficiencyPoint(decimal Load, decimal Figure);
