using System.Runtime.CompilerServices;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Finds prompts in saved text, where the command that was typed stands behind them.</summary>
internal sealed class PromptLines
{
    // A dollar sign at the end of a pattern, and the space before it that an editor may have cut off; not an escaped one. From the right, for from
    // the left every back-slash would be tried with all that stand before it.
    private static readonly Regex LineEnd = new(@"(?<=(?<!\\)(?:\\\\)*)( \??|\\s[*?+]?)?\$$", RegexOptions.CultureInvariant | RegexOptions.RightToLeft, OwnPattern.Longest);

    // A pattern takes longer to compile than many a capture to read.
    private static readonly ConditionalWeakTable<Dialect, PromptLines> Known = new();

    private readonly List<Regex> _patterns = [];
    private readonly Regex _commands;

    private PromptLines(Dialect dialect)
    {
        foreach (Regex prompt in dialect.Console.Prompts.Concat(dialect.Console.ElevatedPrompts))
        {
            _patterns.Add(Behind(prompt));
        }

        _commands = Placeholders.Shape(Commands(dialect));
    }

    /// <summary>The prompts of a dialect, and its commands; what the prompts say of the line's end holds only on a live console.</summary>
    public static PromptLines Of(Dialect dialect) => Known.GetValue(dialect, one => new PromptLines(one));

    /// <summary>A pattern of the console's last line, for saved text: without what it says of the line's end, where the answer that was typed stands.</summary>
    public static Regex Behind(Regex pattern) => new HeadedPattern(LineEnd.Replace(pattern.ToString(), string.Empty), pattern.Options, PatternJson.MatchTimeout);

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

    /// <summary>True where a line is a prompt with one of the dialect's own commands behind it, which no row of a table is.</summary>
    /// <param name="line">The line.</param>
    /// <param name="match">Tries a pattern on it.</param>
    public bool HasCommand(string line, Func<Regex, Match?> match)
    {
        int length = LengthIn(match);
        string command = line.Substring(length).Trim();
        return length > 0 && command.Length > 0 && Placeholders.Fits(_commands, command);
    }

    /// <summary>True where a line is a prompt alone, or one with one of the dialect's own commands behind it.</summary>
    /// <param name="line">The line.</param>
    /// <param name="match">Tries a pattern on it.</param>
    public bool IsPrompt(string line, Func<Regex, Match?> match) =>
        HasCommand(line, match) || (LengthIn(match) is > 0 and int length && line.Substring(length).Trim().Length == 0);

    private static IEnumerable<string> Commands(Dialect dialect) => dialect.Asks.Values.SelectMany(asks => asks).SelectMany(ask => ask.Texts)
        .Concat(dialect.Console.Quiet)
        .Concat(new[] { dialect.Console.Elevate, dialect.Console.GoodBye, dialect.Refresh?.Poll }.Where(command => command is not null).Select(command => command!))
        .Concat(dialect.Refresh?.Commands.Values ?? []);
}
