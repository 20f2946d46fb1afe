using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>A line that begins or ends a block, with the words in it that differ from block to block.</summary>
internal sealed class DraftPhrase
{
    private static readonly char[] Points = [',', ':', ';', '.'];
    private static readonly Regex Names = new(@"^([A-Za-z]|.*\d.*)$", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private readonly string[] _words;
    private readonly bool[] _differs;

    /// <summary>Takes a line apart: a word differs where it holds a digit, is one letter, or stands behind a word for a unit or a port.</summary>
    public DraftPhrase(string text)
    {
        _words = text.Split([' '], StringSplitOptions.RemoveEmptyEntries);
        _differs = [.. _words.Select((word, i) => i > 0 && (Names.IsMatch(Core(word)) || (i == _words.Length - 1 && IsKey(_words[i - 1]))))];
    }

    /// <summary>The words that do not differ: phrases with the same are of one kind.</summary>
    public string Shape => string.Join(" ", _words.Select((word, i) => _differs[i] ? "\u0001" + word.Substring(Core(word).Length) : word));

    /// <summary>What stands before each word that differs, and the word.</summary>
    public IReadOnlyList<(string Before, string Word)> Keys => [.. Enumerable.Range(0, _words.Length).Where(i => _differs[i]).Select(i => (Core(_words[i - 1]), Core(_words[i])))];

    /// <summary>The pattern of the line.</summary>
    /// <param name="properties">What each word that differs fills, or null.</param>
    public string Pattern(IReadOnlyList<string?> properties)
    {
        int key = 0;
        return " *" + string.Join(" +", _words.Select((word, i) => _differs[i] ? DraftPattern.Group(properties[key++], Core(word).Length < word.Length ? @"\S+?" : @"\S+") + DraftPattern.Exact(word.Substring(Core(word).Length)) : DraftPattern.Exact(word)));
    }

    private static string Core(string word) => word.TrimEnd(Points) is { Length: > 0 } core ? core : word;

    private static bool IsKey(string word) => DraftWords.Property(RecordKind.Port, Core(word)) is "Unit" or "Port";
}
