using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// Holds the version in a name of a file, or in a header, against the version that a baseline says, where no dialect is at hand. Numbers decide, in
/// their order: <c>3.10.2</c>, <c>kl_3_10_2</c> and <c>R3-B10p2</c> are the same ones. What cannot be read so says nothing, and is no disagreement.
/// </summary>
/// <param name="Text">The version as it stands in the name; null where none can be read.</param>
/// <param name="Agrees">Whether it is the wanted one; null where one of the two cannot be read.</param>
public sealed record NamedVersion(string? Text, bool? Agrees)
{
    // What stands behind the last full stop and is no number: img, bin, tar.gz.
    private static readonly Regex Extensions = new(@"(?:\.[A-Za-z][A-Za-z0-9]{0,4})+\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>Looks for a version in the name of a file.</summary>
    /// <param name="file">The name, with its extension.</param>
    /// <param name="wanted">The version of the baseline, in whatever spelling.</param>
    public static NamedVersion InName(string file, string wanted)
    {
        Match match = Extensions.Match(file);
        // Of 3.10.b4 the last part may belong to the version: where a digit stands in what looks like extensions, only the last goes.
        string name = match is { Success: true, Index: > 0 } ? file.Substring(0, match.Value.Any(char.IsDigit) ? file.LastIndexOf('.') : match.Index) : file;
        return In(name, wanted);
    }

    /// <summary>Looks for a version in a text.</summary>
    /// <param name="text">The text.</param>
    /// <param name="wanted">The version of the baseline, in whatever spelling.</param>
    public static NamedVersion In(string text, string wanted)
    {
        IReadOnlyList<NumberChain> found = NumberChain.Of(text);
        if (Longest(NumberChain.Of(wanted), 1) is not { } version)
        {
            int at = text.IndexOf(wanted, StringComparison.OrdinalIgnoreCase);
            return at < 0 || wanted.Length == 0 ? new NamedVersion(null, null) : new NamedVersion(text.Substring(at, wanted.Length), true);
        }

        // Letter by letter at the end, whatever numbers come before: that of a model may stand as near as a part of the version.
        int start = text.Length - wanted.Length;
        if (start >= 0 && text.EndsWith(wanted, StringComparison.OrdinalIgnoreCase) && (start == 0 || text[start - 1] is '-' or '_' or ' '))
        {
            return new NamedVersion(text.Substring(start), true);
        }

        foreach (NumberChain chain in found)
        {
            if (chain.Holds(version) is { } stretch)
            {
                return new NamedVersion(stretch, true);
            }
        }

        // One number alone may be anything, such as a model's, unless the version is one number as well.
        return Longest(found, Math.Min(2, version.Count)) is { } other ? new NamedVersion(other.Version, false) : new NamedVersion(null, null);
    }

    private static NumberChain? Longest(IReadOnlyList<NumberChain> chains, int least) =>
        chains.Where(chain => chain.Count >= least && !chain.IsOfAName).OrderByDescending(chain => chain.Count).FirstOrDefault();
}
