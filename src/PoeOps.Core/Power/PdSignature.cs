namespace PoeOps.Power;

/// <summary>What a PD shows of itself when it is classified: one class, or a class on each of two pairsets (dual-signature).</summary>
public readonly record struct PdSignature
{
    private PdSignature(int? single, int? pairsetA, int? pairsetB)
    {
        Single = single;
        PairsetA = pairsetA;
        PairsetB = pairsetB;
    }

    /// <summary>The one class, 0 to 8; null for a dual-signature PD, or where it was not read.</summary>
    public int? Single { get; }

    /// <summary>The class on Alternative A of a dual-signature PD, 1 to 5; null where that pairset is not powered, or for others.</summary>
    public int? PairsetA { get; }

    /// <summary>The class on Alternative B of a dual-signature PD, 1 to 5; null where that pairset is not powered, or for others.</summary>
    public int? PairsetB { get; }

    /// <summary>True where a class was read on a pairset.</summary>
    public bool IsDual => PairsetA is not null || PairsetB is not null;

    /// <summary>A PD of one class.</summary>
    /// <param name="number">0 to 8; null where it was not read.</param>
    public static PdSignature Of(int? number) => new(number, null, null);

    /// <summary>A PD as a port was read: the classes of pairsets where there are any, else the one class.</summary>
    /// <param name="number">0 to 8, or null.</param>
    /// <param name="pairsetA">1 to 5, or null.</param>
    /// <param name="pairsetB">1 to 5, or null.</param>
    public static PdSignature Of(int? number, int? pairsetA, int? pairsetB) => pairsetA is null && pairsetB is null ? Of(number) : new(null, pairsetA, pairsetB);

    /// <summary>What the port is set aside from turn-on, watts at the PSE: the figure of the class, or the sum of those of the pairsets. A class that was not read counts as class 0.</summary>
    /// <param name="clause">The clause by which the PSE works; pairsets are clause 145's alone.</param>
    /// <exception cref="PoeOpsException">There is no such class (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public decimal FigureWatts(PseClause clause = PseClause.Unknown) => IsDual ? OfPairset(PairsetA) + OfPairset(PairsetB) : PdClass.FigureWattsOf(Single, clause);

    /// <summary>The class, such as <c>4</c>, or those of the pairsets, such as <c>4+2</c>; <c>-</c> for one that was not read.</summary>
    public override string ToString() => IsDual ? $"{Name(PairsetA)}+{Name(PairsetB)}" : Name(Single);

    private static string Name(int? number) => number?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-";

    private static decimal OfPairset(int? number) => number is { } one ? PairsetClass.Of(one).Figures.PseWatts : 0;
}
