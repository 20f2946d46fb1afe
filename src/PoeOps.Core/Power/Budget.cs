namespace PoeOps.Power;

/// <summary>What one unit can give its ports, and what of it is taken. Watts at the PSE, decimal and exact.</summary>
public sealed record Budget
{
    /// <summary>Makes a budget.</summary>
    /// <param name="supplyWatts">What the supplies can give the ports, 0 or more.</param>
    /// <param name="guardBandWatts">What is kept back of it, 0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">A figure is negative.</exception>
    public Budget(decimal supplyWatts, decimal guardBandWatts = 0)
    {
        SupplyWatts = Positive(supplyWatts, nameof(supplyWatts));
        GuardBandWatts = Positive(guardBandWatts, nameof(guardBandWatts));
    }

    /// <summary>The budget of several supplies (N).</summary>
    /// <param name="supplies">The supplies.</param>
    /// <param name="guardBandWatts">What is kept back, 0 or more.</param>
    public static Budget Of(Supplies supplies, decimal guardBandWatts = 0) => new(supplies.TotalWatts, guardBandWatts);

    /// <summary>The budget of several supplies when the largest has failed (N-1).</summary>
    /// <param name="supplies">The supplies.</param>
    /// <param name="guardBandWatts">What is kept back, 0 or more.</param>
    public static Budget WithOneFailed(Supplies supplies, decimal guardBandWatts = 0) => new(supplies.WithOneFailedWatts, guardBandWatts);

    /// <summary>What the supplies can give the ports.</summary>
    public decimal SupplyWatts { get; }

    /// <summary>What is kept back of it.</summary>
    public decimal GuardBandWatts { get; }

    /// <summary>What is set aside for ports; 0 or more.</summary>
    public decimal AllocatedWatts { get; init => field = Positive(value, nameof(AllocatedWatts)); }

    /// <summary>What the ports are measured to draw; 0 or more.</summary>
    public decimal DrawnWatts { get; init => field = Positive(value, nameof(DrawnWatts)); }

    /// <summary>What may be set aside in all: the supply less the guard band, never below 0.</summary>
    public decimal GrantableWatts => Math.Max(0, SupplyWatts - GuardBandWatts);

    /// <summary>What may still be set aside; negative where more is set aside than may be, as after the loss of a supply.</summary>
    public decimal HeadroomWatts => GrantableWatts - AllocatedWatts;

    /// <summary>What the wall gives for what the ports draw, watts.</summary>
    /// <param name="efficiency">The supplies' efficiency.</param>
    /// <exception cref="PoeOpsException">The supplies give nothing (<see cref="ProblemId.SupplyImpossible"/>).</exception>
    public decimal WallWatts(Efficiency efficiency) => efficiency.WallWatts(DrawnWatts, SupplyWatts);

    /// <summary>True where a further claim can be granted; one that fits exactly can.</summary>
    /// <param name="claimWatts">The claim, 0 or more.</param>
    public bool Fits(decimal claimWatts) => claimWatts <= HeadroomWatts;

    /// <summary>What claims of an amount exceed the grantable power by, or 0.</summary>
    /// <param name="demandWatts">The sum of all claims.</param>
    public decimal ShortfallWatts(decimal demandWatts) => Math.Max(0, demandWatts - GrantableWatts);

    private static decimal Positive(decimal watts, string name) =>
        watts >= 0 ? watts : throw new ArgumentOutOfRangeException(name, watts, "A figure of a budget is 0 W or more.");
}
