using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>How the values of one property are written.</summary>
public sealed record ValueRule
{
    /// <summary>The unit of a number that does not name its own: <c>W</c>, <c>mW</c>, <c>dW</c> (tenths), <c>kW</c> or <c>%</c>; null where each value must name it.</summary>
    public string? Unit { get; init; }

    /// <summary>The decimal marks that occur: a full stop, a comma, or both; empty where only the unit is one.</summary>
    public string DecimalMarks { get; init; } = ".";

    /// <summary>True where the unit may stand in the place of the decimal mark, as in 12W4 for 12.4 W.</summary>
    public bool UnitIsDecimalMark { get; init; }

    /// <summary>The property that percentages are of; null where there are none. <c>BudgetWatts</c> is the unit's, of a port as well; others are of the same record.</summary>
    public string? PercentOf { get; init; }

    /// <summary>Words and what they mean, the first that fits the whole value.</summary>
    public IReadOnlyList<WordRule> Words { get; init; } = [];
}

/// <summary>A word of a device and its meaning.</summary>
/// <param name="Pattern">Fits the whole value, without regard to case.</param>
/// <param name="Means">The value it stands for; empty for none.</param>
public sealed record WordRule(Regex Pattern, string Means);
