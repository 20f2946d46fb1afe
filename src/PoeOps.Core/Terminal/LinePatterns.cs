using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>Tries the patterns of a dialect on what a console shows. One that takes too long stops the work instead of hanging it.</summary>
internal static class LinePatterns
{
    /// <summary>True where a pattern fits.</summary>
    /// <exception cref="PoeOpsException">The pattern did not come to an end in its time (<see cref="ProblemId.PatternTooSlow"/>).</exception>
    public static bool Fits(this Regex pattern, string line) => Find(pattern, line).Success;

    /// <summary>True where any of them fits.</summary>
    /// <exception cref="PoeOpsException">A pattern did not come to an end in its time (<see cref="ProblemId.PatternTooSlow"/>).</exception>
    public static bool AnyFits(this IReadOnlyList<Regex> patterns, string line) => patterns.Any(pattern => pattern.Fits(line));

    /// <summary>True for a line that looks like a prompt.</summary>
    /// <exception cref="PoeOpsException">A pattern did not come to an end in its time (<see cref="ProblemId.PatternTooSlow"/>).</exception>
    public static bool IsPrompt(this ConsoleManners console, string line) => line.Length > 0 && (console.Prompts.AnyFits(line) || console.ElevatedPrompts.AnyFits(line));

    /// <summary>Where a pattern fits.</summary>
    /// <exception cref="PoeOpsException">The pattern did not come to an end in its time (<see cref="ProblemId.PatternTooSlow"/>).</exception>
    public static Match Find(this Regex pattern, string line)
    {
        try
        {
            return pattern.Match(line);
        }
        catch (RegexMatchTimeoutException exception)
        {
            throw new PoeOpsException(
                new Problem(
                    ProblemId.PatternTooSlow, $"The pattern '{Excerpt.Of(pattern.ToString())}' of the dialect did not come to an end on the line '{Excerpt.Of(line)}'.",
                    "Write it so that no part can match the same text in many ways, such as (a+)+."),
                exception);
        }
    }
}
