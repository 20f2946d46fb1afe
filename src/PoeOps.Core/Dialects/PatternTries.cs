using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>
/// Tries patterns on lines. One that does not come to an end within its time is given up after a few lines: thousands of lines would
/// otherwise take that time each.
/// </summary>
internal sealed class PatternTries
{
    /// <summary>On how many lines a pattern may run out of time before it is given up.</summary>
    public const int MostSlowLines = 3;

    private readonly Dictionary<Regex, int> _slow = [];

    /// <summary>Tries a pattern.</summary>
    /// <param name="pattern">The pattern.</param>
    /// <param name="text">The line or value.</param>
    /// <param name="slow">Whether it came to an end.</param>
    /// <returns>The match, or null where there is none or the pattern came to no end.</returns>
    public Match? Try(Regex pattern, string text, out PatternEnd slow)
    {
        slow = PatternEnd.Reached;
        if (pattern is HeadedPattern headed && !headed.MayFit(text))
        {
            return null;
        }

        int times = 0;
        if (_slow.Count > 0 && _slow.TryGetValue(pattern, out times) && times >= MostSlowLines)
        {
            slow = PatternEnd.GivenUp;
            return null;
        }

        // A busy machine can hold up any pattern for its whole time, so that one that runs out of time is tried once more.
        if ((Match(pattern, text) ?? Match(pattern, text)) is { } match)
        {
            return match.Success ? match : null;
        }

        _slow[pattern] = times + 1;
        slow = PatternEnd.OutOfTime;
        return null;
    }

    private static Match? Match(Regex pattern, string text)
    {
        try
        {
            return pattern.Match(text);
        }
        catch (RegexMatchTimeoutException)
        {
            return null;
        }
    }
}

/// <summary>Whether a pattern came to an end.</summary>
internal enum PatternEnd
{
    /// <summary>It did.</summary>
    Reached,
    /// <summary>It ran out of time.</summary>
    OutOfTime,
    /// <summary>It ran out of time on earlier lines and was not tried.</summary>
    GivenUp,
}
