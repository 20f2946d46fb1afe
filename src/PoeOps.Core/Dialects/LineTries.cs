using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>
/// Tries patterns on one line after the other, and tells those that come to no end. A line on which one did not is for no other pattern: it might be
/// read as what it is not.
/// </summary>
internal sealed class LineTries
{
    private readonly PatternTries _tries;
    private readonly LineProblems _problems;
    private readonly LineAccount _account;

    /// <summary>Prepares to try.</summary>
    /// <param name="tries">Knows which patterns were given up.</param>
    /// <param name="problems">Where one that comes to no end is told.</param>
    /// <param name="account">Where it is counted.</param>
    public LineTries(PatternTries tries, LineProblems problems, LineAccount account)
    {
        _tries = tries;
        _problems = problems;
        _account = account;
    }

    /// <summary>True where a pattern came to no end on the line.</summary>
    public bool Undecided { get; private set; }

    /// <summary>Goes on to a new line.</summary>
    public void Begin() => Undecided = false;

    /// <summary>Tries a pattern on the line.</summary>
    /// <param name="pattern">The pattern.</param>
    /// <param name="line">The line.</param>
    /// <param name="open">The block that it stands in, for the problem's unit; or null.</param>
    /// <returns>The match, or null where there is none or nobody knows.</returns>
    public Match? Match(Regex pattern, CaptureLine line, OpenBlock? open)
    {
        if (Undecided)
        {
            return null;
        }

        Match? match = _tries.Try(pattern, line.Text, out PatternEnd end);
        Undecided = end != PatternEnd.Reached;
        _account.Tally.Slow |= Undecided;
        if (end == PatternEnd.OutOfTime)
        {
            _problems.TooSlow(pattern, line, open);
        }
        else if (Undecided)
        {
            _problems.GivenUp(pattern, line);
        }

        return match;
    }

    /// <summary>The name of the first rule that ignores the line, or null.</summary>
    public string? Ignoring(IReadOnlyList<IgnoreRule> rules, CaptureLine line, OpenBlock? open)
    {
        for (int i = 0; i < rules.Count; i++)
        {
            if (Match(rules[i].Pattern, line, open) is not null)
            {
                return rules[i].Name;
            }
        }

        return null;
    }
}
