using System.Text.RegularExpressions;
using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>Knows the commands of a refresh again in a log.</summary>
internal sealed class ReplayCommands
{
    private readonly Regex _starts;
    private readonly Regex? _poll;
    private readonly PromptLines _prompts;

    /// <summary>Takes the commands of a dialect.</summary>
    public ReplayCommands(Dialect dialect, RefreshManners manners)
    {
        _starts = Placeholders.Shape(manners.Commands.Values);
        _poll = manners.Poll is { } poll ? Placeholders.Shape([poll]) : null;
        _prompts = PromptLines.Of(dialect);
    }

    /// <summary>True for the command that starts a refresh.</summary>
    public bool Starts(string text) => _starts.Fits(text.Trim());

    /// <summary>True for a command that asks how far it is.</summary>
    public bool Polls(string text) => _poll?.Fits(text.Trim()) == true;

    /// <summary>The length of the prompt with which a line begins; 0 where it begins with none.</summary>
    public int PromptIn(string line) => _prompts.LengthIn(pattern => pattern.Find(line)) is > 0 and { } length ? WithBlank(line, length) : 0;

    /// <summary>Where a text ends that is followed by what was typed: behind its blank, which saved text may lack.</summary>
    public static int WithBlank(string line, int end) => end > 0 && line[end - 1] != ' ' && end < line.Length && line[end] == ' ' ? end + 1 : end;

    /// <summary>True for a line on which a refresh is started, behind a prompt or alone.</summary>
    public bool StartsIn(string line) => Starts(line) || (PromptIn(line) is > 0 and { } length && Starts(line.Substring(length)));
}
