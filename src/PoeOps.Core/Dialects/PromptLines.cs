using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>Finds prompts in saved text, where the command that was typed stands behind them.</summary>
internal sealed class PromptLines
{
    private readonly List<Regex> _patterns = [];

    /// <summary>Takes the prompts of a dialect; what they say of the line's end holds only on a live console.</summary>
    public PromptLines(ConsoleManners console)
    {
        foreach (Regex prompt in console.Prompts.Concat(console.ElevatedPrompts))
        {
            string pattern = Regex.Replace(prompt.ToString(), @"( \??|\\s[*?+]?)?\$$", string.Empty, RegexOptions.None, PatternJson.MatchTimeout);
            _patterns.Add(new Regex(@"\A(?:" + pattern + ")", prompt.Options, PatternJson.MatchTimeout));
        }
    }

    /// <summary>True where a line begins with a prompt.</summary>
    public bool Fits(string line, out string command, out Regex? tooSlow)
    {
        command = string.Empty;
        tooSlow = null;
        foreach (Regex pattern in _patterns)
        {
            Match? match = CaptureReader.Try(pattern, line, out bool slow);
            tooSlow ??= slow ? pattern : null;
            if (match is not null && match.Length > 0)
            {
                command = line.Substring(match.Length).Trim();
                return true;
            }
        }

        return false;
    }
}
