using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>A line of a capture that a draft is made of.</summary>
/// <param name="File">The file.</param>
/// <param name="Number">Its number there.</param>
/// <param name="Text">What a reader sees; empty for a line that is too long to guess from, and where a file ends.</param>
internal sealed record DraftLine(string File, int Number, string Text)
{
    // Guesses rest on lines as consoles print them.
    private const int Longest = 300;

    /// <summary>Where it is, for a comment.</summary>
    public string Where => FormattableString.Invariant($"line {Number} of {Path.GetFileName(File)}");

    /// <summary>True for a prompt or a pager, which are no part of an answer.</summary>
    public bool Apart { get; set; }

    /// <summary>True for a pager.</summary>
    public bool Pager { get; set; }

    /// <summary>True once a guess covers it.</summary>
    public bool Used { get; set; }

    /// <summary>True where nothing stands.</summary>
    public bool Blank { get; } = string.IsNullOrWhiteSpace(Text);

    /// <summary>True where an answer may be over.</summary>
    public bool Ends => Blank || (Apart && !Pager);

    /// <summary>The lines of captures in order, with an empty one behind each file.</summary>
    public static List<DraftLine> Of(IEnumerable<CaptureText> captures)
    {
        List<DraftLine> lines = [];
        foreach (CaptureText capture in captures)
        {
            foreach (CaptureLine line in capture.Lines)
            {
                lines.Add(new DraftLine(line.Source, line.Number, line.Kind == CaptureLineKind.Text && line.Text.Length <= Longest ? line.Text : string.Empty));
            }

            lines.Add(new DraftLine(capture.Source, 0, string.Empty));
        }

        return lines;
    }
}

/// <summary>Pieces of patterns for a draft.</summary>
internal static class DraftPattern
{
    private static readonly Regex Spaces = new(" +", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>A text as it stands; blanks stay as they are.</summary>
    public static string Exact(string text) => Regex.Escape(text).Replace("\\ ", " ");

    /// <summary>A text with any number of blanks wherever it has some, and before it.</summary>
    public static string Loose(string text) => " *" + Spaces.Replace(Exact(text.Trim()), " +");

    /// <summary>A group that fills a property, or none.</summary>
    public static string Group(string? property, string inner) => property is null ? $"(?:{inner})" : $"(?<{property}>{inner})";
}
