using System.Globalization;
using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>Finds the lines that a device broke at the width of its screen, where a block says that it does so.</summary>
internal sealed class LineJoins
{
    // Beyond these a header is none: every line that is as wide as a screen is tried as the first of one.
    private const int MostHeaderLines = 8;

    private readonly Dialect _dialect;
    private readonly PromptLines _prompts;
    private readonly LineTries _tries;
    private readonly int[] _widths;
    private int? _said;

    /// <summary>Prepares to join.</summary>
    public LineJoins(Dialect dialect, PromptLines prompts, LineTries tries)
    {
        _dialect = dialect;
        _prompts = prompts;
        _tries = tries;
        _widths = [.. dialect.Blocks.Where(block => block.Wrap is not null).Select(block => block.Wrap!.Value).Distinct()];
    }

    /// <summary>True where lines of the console say how wide its screen is.</summary>
    public bool Listens => _dialect.Console.Width.Count > 0;

    /// <summary>Takes note of a line that says how wide the screen is.</summary>
    public void Hear(CaptureLine line, OpenBlock? open)
    {
        foreach (Regex pattern in _dialect.Console.Width)
        {
            if (_tries.Match(pattern, line, open) is { } match)
            {
                bool known = int.TryParse(match.Groups[GroupNames.Width].Value, NumberStyles.None, CultureInfo.InvariantCulture, out int width);
                _said = known && width is >= BlockJson.LeastWidth and <= BlockJson.MostWidth ? width : null;
            }
        }
    }

    /// <summary>Another text begins, of which nobody knows how wide the screen was.</summary>
    public void Forget() => _said = null;

    /// <summary>False where a line does not go on, for it is not as wide as any screen that is known.</summary>
    public bool MayGoOn(CaptureLine line) => line.Text.Length == _said || Array.IndexOf(_widths, line.Text.Length) >= 0;

    /// <summary>A line, with those that it goes on in.</summary>
    /// <param name="lines">All lines.</param>
    /// <param name="at">The line.</param>
    /// <param name="open">The block that it stands in, or null.</param>
    /// <param name="last">The last line that belongs to it.</param>
    /// <returns>The whole line, or the line itself where it does not go on.</returns>
    public CaptureLine From(IReadOnlyList<CaptureLine> lines, int at, OpenBlock? open, out int last)
    {
        CaptureLine line = lines[at];
        last = at;
        bool within = open is not null && WidthOf(open.Block) == line.Text.Length;
        if (_tries.Ignoring(_dialect.Ignore, line, open) is not null || (within ? StandsAlone(open!, line) : open is { Block.Ends.Count: > 0 }))
        {
            return line;
        }

        CaptureLine whole = WrappedLines.Join(
            lines, at, within ? int.MaxValue : MostHeaderLines, one => StopsRow(open, one), one => _tries.Ignoring(_dialect.Ignore, one, open), out int end);
        if (!within && !BeginsBlock(line.Text.Length, whole, open))
        {
            return line;
        }

        last = end;
        return whole;
    }

    private int? WidthOf(Block block) => block.WrapsAtScreen ? _said : block.Wrap;

    private bool StandsAlone(OpenBlock open, CaptureLine line) =>
        _tries.Ignoring(open.Block.Ignore, line, open) is not null || StopsRow(open, line) || BeginsOther(open, line);

    private bool BeginsBlock(int width, CaptureLine whole, OpenBlock? open) =>
        _dialect.Blocks.Any(block => WidthOf(block) == width && Fits(block.Begins, whole, open));

    // A line that is no rest of a row, however wide the one before it was.
    private bool StopsRow(OpenBlock? open, CaptureLine line) =>
        (open?.Block is { } block && (Fits(block.Ends, line, open) || Fits(block.Begins, line, open))) || _prompts.HasCommand(line.Text, pattern => _tries.Match(pattern, line, open));

    private bool BeginsOther(OpenBlock open, CaptureLine line) =>
        open.Block.Ends.Count == 0 && _dialect.Blocks.Any(block => !ReferenceEquals(block, open.Block) && Fits(block.Begins, line, open));

    private bool Fits(IReadOnlyList<Regex> patterns, CaptureLine line, OpenBlock? open) => patterns.Any(pattern => _tries.Match(pattern, line, open) is not null);
}
