using System.Globalization;

namespace PoeOps.Power;

/// <summary>The clause of IEEE 802.3 by which a PSE works.</summary>
public enum PseClause
{
    /// <summary>Nobody says.</summary>
    Unknown = 0,
    /// <summary>Clause 33: Types 1 and 2, two pairs, classes 0 to 4.</summary>
    Clause33 = 33,
    /// <summary>Clause 145: Types 3 and 4, classes 1 to 8.</summary>
    Clause145 = 145,
}

/// <summary>
/// A class of a single-signature PD (IEEE 802.3, clauses 33 and 145): what the PSE has to have ready at its port, and what may arrive at the PD
/// over the worst channel. The two are never added: one is measured before the cable, the other behind it.
/// </summary>
public sealed record PdClass
{
    private PdClass(int number, decimal? clause33, decimal? clause145, decimal pd)
    {
        Number = number;
        Clause33Watts = clause33;
        Clause145Watts = clause145;
        PdWatts = pd;
    }

    /// <summary>The nine classes, 0 to 8, each at its number.</summary>
    public static IReadOnlyList<PdClass> All { get; } =
    [
        new(0, 15.4m, null, 12.95m),
        new(1, 4.0m, 4.0m, 3.84m),
        new(2, 7.0m, 6.7m, 6.49m),
        new(3, 15.4m, 14.0m, 12.95m),
        new(4, 30m, 30m, 25.5m),
        new(5, null, 45m, 40.0m),
        new(6, null, 60m, 51.0m),
        new(7, null, 75m, 62.0m),
        new(8, null, 90m, 71.3m),
    ];

    /// <summary>The class, 0 to 8.</summary>
    public int Number { get; }

    /// <summary>Watts at the port of a PSE by clause 33, or null where that clause has no such class.</summary>
    public decimal? Clause33Watts { get; }

    /// <summary>Watts at the port of a PSE by clause 145, or null where that clause has no such class.</summary>
    public decimal? Clause145Watts { get; }

    /// <summary>Watts at the PD, at the most.</summary>
    public decimal PdWatts { get; }

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
    /// What a port of the class is set aside from turn-on: the figure of the PSE's clause, and where that is unknown or has no such class, clause 33
    /// for classes 0 to 4 and clause 145 above.
    /// </summary>
    /// <param name="clause">The clause by which the PSE works.</param>
    /// <returns>Watts at the port.</returns>
    public decimal FigureWatts(PseClause clause = PseClause.Unknown) =>
        clause == PseClause.Clause145 ? Clause145Watts ?? Clause33Watts!.Value : Clause33Watts ?? Clause145Watts!.Value;

    /// <summary>The figure of a port's class; a port whose class was not read counts as class 0.</summary>
    /// <param name="number">0 to 8, or null.</param>
    /// <param name="clause">The clause by which the PSE works.</param>
    /// <exception cref="PoeOpsException">There is no such class (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public static decimal FigureWattsOf(int? number, PseClause clause = PseClause.Unknown) => Of(number ?? 0).FigureWatts(clause);
}
