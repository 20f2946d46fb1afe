using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>
/// The characters that a match of a pattern can begin with, so that most lines need not be tried. It may hold more than there are, and never less:
/// what is not understood counts as any character.
/// </summary>
internal sealed class FirstCharacters
{
    private const int Ascii = 128;

    private readonly bool[] _ascii;
    private readonly bool _others;

    private FirstCharacters(CharacterSet set)
    {
        _ascii = [.. Enumerable.Range(0, Ascii).Select(c => set.Holds((char)c))];
        _others = set.Others;
    }

    /// <summary>Finds them.</summary>
    /// <param name="pattern">The pattern.</param>
    /// <param name="options">Its options.</param>
    /// <returns>The characters; null where a match may be empty, may begin anywhere in the text, or with any character.</returns>
    public static FirstCharacters? Of(string pattern, RegexOptions options)
    {
        if ((options & ~(RegexOptions.CultureInvariant | RegexOptions.Compiled)) != 0 || !IsAnchored(pattern))
        {
            return null;
        }

        var reader = new PatternHead(pattern);
        return reader.Read() is { CanBeEmpty: false, IsAll: false } set ? new FirstCharacters(set) : null;
    }

    // An anchor with a count behind it may be none.
    private static bool IsAnchored(string pattern) => pattern is ['^', not ('*' or '?' or '+' or '{'), ..];

    /// <summary>False where no match can begin at the start of a text.</summary>
    public bool MayBegin(string text) => text.Length > 0 && (text[0] < Ascii ? _ascii[text[0]] : _others);
}
