using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>The time stamp with which every line of a log begins.</summary>
/// <param name="Pattern">Fits at the line's start; its group <c>Time</c> is the time.</param>
/// <param name="Formats">How the time is written, as custom .NET date and time formats; the first that fits counts.</param>
public sealed record TimeStampRule(Regex Pattern, IReadOnlyList<string> Formats)
{
    /// <summary>The name of the group that holds the time.</summary>
    public const string Group = "Time";

    /// <summary>The formats that are tried where none are given.</summary>
    public static IReadOnlyList<string> UsualFormats { get; } =
        ["yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK", "yyyy-MM-dd HH:mm:ss.FFFFFFF", "yyyy-MM-dd HH:mm:ss,FFF", "HH:mm:ss.FFFFFFF", "HH:mm:ss,FFF"];

    /// <summary>Makes a rule of what a user writes.</summary>
    /// <param name="pattern">A .NET regular expression with a group <c>Time</c>.</param>
    /// <param name="formats">Custom date and time formats; empty for the usual ones.</param>
    /// <param name="problem">What is wrong, or null: <see cref="ProblemId.PatternInvalid"/>, <see cref="ProblemId.PropertyUnknown"/>.</param>
    /// <returns>The rule, or null.</returns>
    public static TimeStampRule? Parse(string pattern, IReadOnlyList<string> formats, out Problem? problem)
    {
        problem = null;
        try
        {
            Regex compiled = new(pattern, RegexOptions.CultureInvariant | RegexOptions.Compiled, PatternJson.MatchTimeout);
            if (compiled.GroupNumberFromName(Group) >= 0)
            {
                return new TimeStampRule(compiled, formats.Count == 0 ? UsualFormats : formats);
            }

            problem = new Problem(ProblemId.PropertyUnknown, $"The pattern '{Excerpt.Of(pattern)}' has no group '{Group}'.", "Write the time as (?<Time>...).");
        }
        catch (ArgumentException exception)
        {
            problem = new Problem(
                ProblemId.PatternInvalid, $"The pattern '{Excerpt.Of(pattern)}' is no regular expression: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Write a .NET regular expression.");
        }

        return null;
    }

    /// <summary>Reads a time as it stands in a log. One without a date is of the first day there is; one that names no zone is taken as it stands.</summary>
    /// <param name="text">What the group holds.</param>
    /// <returns>The time, or null where no format fits.</returns>
    public DateTime? Read(string text) =>
        DateTime.TryParseExact(text.Trim(), [.. Formats], CultureInfo.InvariantCulture, DateTimeStyles.NoCurrentDateDefault | DateTimeStyles.AdjustToUniversal, out DateTime time)
            ? time
            : null;
}
