using System.Globalization;

namespace PoeOps.Dialects;

/// <summary>Two rules of a dialect that would take the same lines.</summary>
/// <param name="Takes">The rule that takes them.</param>
/// <param name="WouldTake">The rule that would, if it were tried sooner.</param>
/// <param name="Lines">How many lines.</param>
/// <param name="File">The file of the first of them.</param>
/// <param name="Line">The number of the first of them.</param>
public sealed record RuleOverlap(string Takes, string WouldTake, int Lines, string File, int Line)
{
    /// <summary>The same in words.</summary>
    public override string ToString() =>
        FormattableString.Invariant($"'{Takes}' takes {Lines} that '{WouldTake}' would, the first at {Path.GetFileName(File)}:{Line}");
}

/// <summary>A pattern of a dialect that takes long on a line.</summary>
/// <param name="Rule">The rule that it is of.</param>
/// <param name="Milliseconds">The longest that it took, milliseconds.</param>
/// <param name="File">The file of that line.</param>
/// <param name="Line">The number of that line.</param>
/// <param name="Pattern">The pattern.</param>
public sealed record SlowPattern(string Rule, double Milliseconds, string File, int Line, string Pattern)
{
    /// <summary>The same in words.</summary>
    public override string ToString() =>
        $"'{Rule}' takes {Milliseconds.ToString("0.#", CultureInfo.InvariantCulture)} ms at {Path.GetFileName(File)}:{Line.ToString(CultureInfo.InvariantCulture)}";
}
