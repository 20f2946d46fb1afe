using System.Management.Automation;
using System.Management.Automation.Language;

namespace PoeOps.Cmdlets.Completion;

/// <summary>The word that somebody is writing: what it begins with, and how a name is put in its place.</summary>
internal sealed class LineWord
{
    // PowerShell takes the typographic quotes for the plain ones.
    private const string SingleQuotes = "'\u2018\u2019\u201a\u201b";
    private const string DoubleQuotes = "\"\u201c\u201d\u201e";

    private readonly char? _quote;

    /// <summary>Takes the word as it stands on the line, with its opening quote where it has one.</summary>
    public LineWord(string? word)
    {
        string text = word ?? string.Empty;
        char first = text.Length > 0 ? text[0] : ' ';
        _quote = SingleQuotes.IndexOf(first) >= 0 ? '\'' : DoubleQuotes.IndexOf(first) >= 0 ? '"' : null;
        Text = _quote is null ? text : Inside(text.Substring(1), _quote == '\'' ? SingleQuotes : DoubleQuotes);
    }

    /// <summary>The word itself, without quotes.</summary>
    public string Text { get; }

    /// <summary>True where a name begins with the word, without regard to case, or fits it as a pattern with whatever behind it.</summary>
    public bool Fits(string name) =>
        name.StartsWith(Text, StringComparison.OrdinalIgnoreCase) || name.StartsWith(WildcardPattern.Unescape(Text), StringComparison.OrdinalIgnoreCase) || FitsPattern(name);

    /// <summary>A name as it is written on the line: with quotes where it needs them, or where the word has some.</summary>
    public string Written(string name) => _quote switch
    {
        '"' => '"' + string.Concat(name.Select(c => c is '`' or '$' || DoubleQuotes.IndexOf(c) >= 0 ? "`" + c : c.ToString())) + '"',
        null when IsBare(name) => name,
        _ => "'" + CodeGeneration.EscapeSingleQuotedStringContent(name) + "'",
    };

    // What stands in the quotes, one that ends the word left out and a doubled one taken for one.
    private static string Inside(string text, string quotes)
    {
        bool isClosed = text.Length > 0 && quotes.IndexOf(text[text.Length - 1]) >= 0;
        string inside = isClosed ? text.Substring(0, text.Length - 1) : text;
        return inside.Replace(new string(quotes[0], 2), quotes.Substring(0, 1));
    }

    private bool FitsPattern(string name)
    {
        if (Text.IndexOfAny(['*', '?', '[']) < 0)
        {
            return false;
        }

        try
        {
            return WildcardPattern.Get(Text + "*", WildcardOptions.IgnoreCase).IsMatch(name);
        }
        catch (WildcardPatternException)
        {
            // A bracket that is not closed yet: the word is no pattern.
            return false;
        }
    }

    // A digit in front would make a number of some words.
    private static bool IsBare(string name) => (char.IsLetter(name[0]) || name[0] == '_') && name.All(c => char.IsLetterOrDigit(c) || "_-./:\\".IndexOf(c) >= 0);
}
