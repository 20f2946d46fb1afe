using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>Takes the time stamp off a line.</summary>
internal static class LineStamp
{
    /// <summary>The line without its stamp.</summary>
    /// <param name="rule">How stamps look; null where there are none.</param>
    /// <param name="line">The line.</param>
    /// <param name="time">The time as it stands there, or null where the line does not begin with one.</param>
    /// <exception cref="PoeOpsException">The pattern did not come to an end in its time (<see cref="ProblemId.PatternTooSlow"/>).</exception>
    public static string Off(TimeStampRule? rule, string line, out string? time)
    {
        time = null;
        if (rule is null || rule.Pattern.Find(line) is not { Success: true, Index: 0 } match)
        {
            return line;
        }

        time = match.Groups[TimeStampRule.Group].Value;
        return line.Substring(match.Length);
    }
}
