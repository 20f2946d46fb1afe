namespace PoeOps.Power;

/// <summary>
/// The figures of a class by one clause of IEEE 802.3. The watts of the PSE are before the cable and those of the PD behind the worst one that the
/// clause allows; they are never added.
/// </summary>
/// <param name="Clause">The clause that they are of.</param>
/// <param name="PseWatts">What the PSE must be able to give at its port, watts.</param>
/// <param name="PdWatts">What the PD may take at the most, watts.</param>
/// <param name="LeastVolts">The lowest voltage of such a PSE (from memory for 44 V).</param>
/// <param name="WorstLoopOhms">The resistance of the worst channel (from memory).</param>
public sealed record ClassFigures(PseClause Clause, decimal PseWatts, decimal PdWatts, decimal LeastVolts, decimal WorstLoopOhms)
{
    /// <summary>The worst channel that the clause allows for the class.</summary>
    public ChannelLoss WorstChannel => new(WorstLoopOhms);
}
