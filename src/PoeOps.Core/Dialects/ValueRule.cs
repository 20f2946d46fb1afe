using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>How the values of one property are written.</summary>
public sealed record ValueRule
{
    /// <summary>The unit of a number that does not name its own: <c>W</c>, <c>mW</c>, <c>dW</c> (tenths) or <c>kW</c>; null where each value must name it.</summary>
    public string? Unit { get; init; }

    /// <summary>The decimal marks that occur: a full stop, a comma, or both.</summary>
    public string DecimalMarks { get; init; } = ".";

    /// <summary>Words and what they mean, the first that fits the whole value.</summary>
    public IReadOnlyList<WordRule> Words { get; init; } = [];
}

/// <summary>A word of a device and its meaning.</summary>
/// <param name="Pattern">Fits the whole value, without regard to case.</param>
/// <param name="Means">The value it stands for; empty for none.</param>
public sealed record WordRule(Regex Pattern, string Means);
