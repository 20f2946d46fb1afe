namespace PoeOps.Power;

/// <summary>The supplies that feed a unit's ports together.</summary>
public sealed record Supplies
{
    /// <summary>Makes a set of supplies.</summary>
    /// <param name="watts">What each can give the ports, above 0; at least one.</param>
    /// <exception cref="PoeOpsException">There is none, or one gives nothing (<see cref="ProblemId.SupplyImpossible"/>).</exception>
    public Supplies(IReadOnlyList<decimal> watts)
    {
        if (watts.Count == 0)
        {
            throw Impossible("A unit without a supply feeds nothing.", "Give what each of its supplies can give the ports, such as 370.");
        }

        if (watts.Any(one => one is <= 0 or > MostWatts))
        {
            throw Impossible(
                FormattableString.Invariant($"A supply of {watts.First(one => one is <= 0 or > MostWatts)} W is none; above 0 and up to {MostWatts} was expected."),
                "Give what it can give the ports, or leave out one that is not there.");
        }

        Watts = watts;
    }

    /// <summary>More than any supply gives, watts.</summary>
    public const decimal MostWatts = 100_000;

    /// <summary>What each can give the ports, watts.</summary>
    public IReadOnlyList<decimal> Watts { get; }

    /// <summary>What all give together (N), watts.</summary>
    public decimal TotalWatts => Watts.Sum();

    /// <summary>What is left when the largest has failed (N-1), watts; 0 where there is but one.</summary>
    public decimal WithOneFailedWatts => TotalWatts - Watts.Max();

    /// <summary>True where both give the same, supply by supply.</summary>
    public bool Equals(Supplies? other) => other is not null && Watts.SequenceEqual(other.Watts);

    /// <inheritdoc/>
    public override int GetHashCode() => Watts.Count;

    private static PoeOpsException Impossible(string sentence, string advice) => new(new Problem(ProblemId.SupplyImpossible, sentence, advice));
}
