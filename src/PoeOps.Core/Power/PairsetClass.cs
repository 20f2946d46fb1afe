using System.Globalization;

namespace PoeOps.Power;

/// <summary>
/// A class of one pairset of a dual-signature PD (IEEE 802.3 clause 145). Such a PD shows a class on each of its two pairsets, and they may differ; what
/// it is set aside is the sum of the two.
/// </summary>
public sealed record PairsetClass
{
    private PairsetClass(int number, decimal pse, decimal pd, decimal volts)
    {
        Number = number;
        Figures = new ClassFigures(PseClause.Clause145, pse, pd, volts, 12.5m);
    }

    /// <summary>The five classes, 1 to 5. All are from memory but the 25.5 W at the PD of class 4, which a recorded neighbour frame shows on each pairset.</summary>
    public static IReadOnlyList<PairsetClass> All { get; } =
        [new(1, 4.0m, 3.84m, 50), new(2, 6.7m, 6.49m, 50), new(3, 14.0m, 13.0m, 50), new(4, 30m, 25.5m, 50), new(5, 45m, 35.6m, 52)];

    /// <summary>The class, 1 to 5.</summary>
    public int Number { get; }

    /// <summary>The figures of the one pairset.</summary>
    public ClassFigures Figures { get; }

    /// <summary>The class of a number.</summary>
    /// <param name="number">1 to 5.</param>
    /// <exception cref="PoeOpsException">There is no such class (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public static PairsetClass Of(int number) =>
        number >= 1 && number <= All.Count
            ? All[number - 1]
            : throw new PoeOpsException(new Problem(
                ProblemId.ClassUnknown,
                $"{number.ToString(CultureInfo.InvariantCulture)} is no class of a pairset; a dual-signature PD has the classes 1 to 5 on each (IEEE 802.3 clause 145).",
                "Check how the dialect reads the class."));
}
