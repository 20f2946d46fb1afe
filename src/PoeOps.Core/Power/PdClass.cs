using System.Globalization;

namespace PoeOps.Power;

/// <summary>
/// A class of a single-signature PD (IEEE 802.3, clauses 33 and 145), with the figures of either clause kept apart.
/// </summary>
public sealed record PdClass
{
    private PdClass(int number, PseType leastType, ClassFigures? clause33, ClassFigures? clause145)
    {
        Number = number;
        LeastType = leastType;
        Clause33 = clause33;
        Clause145 = clause145;
    }

    /// <summary>The nine classes, 0 to 8, each at its number. Clause 145 has 6.7 and 14 W for classes 2 and 3, and 13 W at the PD for class 3: from memory.</summary>
    public static IReadOnlyList<PdClass> All { get; } =
    [
        new(0, PseType.Type1, Old(15.4m, 12.95m), null),
        new(1, PseType.Type1, Old(4.0m, 3.84m), New(4.0m, 3.84m, 50, 12.5m)),
        new(2, PseType.Type1, Old(7.0m, 6.49m), New(6.7m, 6.49m, 50, 12.5m)),
        new(3, PseType.Type1, Old(15.4m, 12.95m), New(14.0m, 13.0m, 50, 12.5m)),
        new(4, PseType.Type2, new(PseClause.Clause33, 30m, 25.5m, 50, 12.5m), New(30m, 25.5m, 50, 12.5m)),
        new(5, PseType.Type3, null, New(45m, 40.0m, 50, 6.25m)),
        new(6, PseType.Type3, null, New(60m, 51.0m, 50, 6.25m)),
        new(7, PseType.Type4, null, New(75m, 62.0m, 52, 6.25m)),
        new(8, PseType.Type4, null, New(90m, 71.3m, 52, 6.25m)),
    ];

    /// <summary>The class, 0 to 8.</summary>
    public int Number { get; }

    /// <summary>The first Type of PSE that gives the class all of its power.</summary>
    public PseType LeastType { get; }

    /// <summary>The figures of clause 33, or null where that clause has no such class.</summary>
    public ClassFigures? Clause33 { get; }

    /// <summary>The figures of clause 145, or null where that clause has no such class.</summary>
    public ClassFigures? Clause145 { get; }

    /// <summary>The class of a number.</summary>
    /// <param name="number">0 to 8.</param>
    /// <exception cref="PoeOpsException">There is no such class (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public static PdClass Of(int number) =>
        number >= 0 && number < All.Count
            ? All[number]
            : throw new PoeOpsException(new Problem(
                ProblemId.ClassUnknown,
                $"{number.ToString(CultureInfo.InvariantCulture)} is no PD class; IEEE 802.3 has the classes 0 to 8.",
                "Check how the dialect reads the class."));

    /// <summary>
    /// The figures of the class by the PSE's clause, and where that is unknown or has no such class, by clause 33 for classes 0 to 4 and by clause 145
    /// above. Each says which clause it is of.
    /// </summary>
    /// <param name="clause">The clause by which the PSE works.</param>
    public ClassFigures Figures(PseClause clause = PseClause.Unknown) =>
        clause == PseClause.Clause145 ? Clause145 ?? Clause33! : Clause33 ?? Clause145!;

    /// <summary>What a port of the class is set aside from turn-on, watts at the PSE, by <see cref="Figures"/>.</summary>
    /// <param name="clause">The clause by which the PSE works.</param>
    public decimal FigureWatts(PseClause clause = PseClause.Unknown) => Figures(clause).PseWatts;

    /// <summary>The figure of a port's class; a port whose class was not read counts as class 0.</summary>
    /// <param name="number">0 to 8, or null.</param>
    /// <param name="clause">The clause by which the PSE works.</param>
    /// <exception cref="PoeOpsException">There is no such class (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public static decimal FigureWattsOf(int? number, PseClause clause = PseClause.Unknown) => Of(number ?? 0).FigureWatts(clause);

    private static ClassFigures Old(decimal pse, decimal pd) => new(PseClause.Clause33, pse, pd, 44, 20);

    private static ClassFigures New(decimal pse, decimal pd, decimal volts, decimal ohms) => new(PseClause.Clause145, pse, pd, volts, ohms);
}
