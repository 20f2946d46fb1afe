using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>Finds prompts in saved text, where the command that was typed stands behind them.</summary>
internal sealed class PromptLines
{
    // A dollar sign at the end of a pattern, and the space before it that an editor may have cut off; not an escaped one.
    private static readonly Regex LineEnd = new(@"(?<=(?<!\\)(?:\\\\)*)( \??|\\s[*?+]?)?\$$", RegexOptions.CultureInvariant, PatternJson.MatchTimeout);

    private readonly List<Regex> _patterns = [];

    /// <summary>Takes the prompts of a dialect; what they say of the line's end holds only on a live console.</summary>
    public PromptLines(ConsoleManners console)
    {
        foreach (Regex prompt in console.Prompts.Concat(console.ElevatedPrompts))
        {
            _patterns.Add(new Regex(LineEnd.Replace(prompt.ToString(), string.Empty), prompt.Options, PatternJson.MatchTimeout));
        }
    }

    /// <summary>The length of the prompt with which a line begins, 0 where it begins with none.</summary>
    /// <param name="match">Tries a pattern on the line.</param>
    public int LengthIn(Func<Regex, Match?> match)
    {
        foreach (Regex pattern in _patterns)
        {
            if (match(pattern) is { Index: 0, Length: > 0 } found)
            {
                return found.Length;
            }
        }

        return 0;
    }
}
