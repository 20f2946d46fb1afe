namespace PoeOps.Dialects;

/// <summary>Joins a line that the device broke at the width of its screen.</summary>
internal static class WrappedLines
{
    /// <summary>Joins a line with those that it goes on in.</summary>
    /// <param name="lines">All lines.</param>
    /// <param name="at">The first line, which is as wide as the screen.</param>
    /// <param name="most">The most lines that may be joined.</param>
    /// <param name="stops">True for a line that is none of the same row, such as the end of the block.</param>
    /// <param name="ignored">The rule that ignores a line in between, or null.</param>
    /// <param name="last">The last line that was taken.</param>
    /// <returns>The whole line, which is said to be cut where the text stops behind a line as wide as the screen.</returns>
    public static CaptureLine Join(IReadOnlyList<CaptureLine> lines, int at, int most, Func<CaptureLine, bool> stops, Func<CaptureLine, string?> ignored, out int last)
    {
        last = at;
        List<LinePart> parts = [.. PartsOf(lines[at])];
        List<LinePart> between = [];
        string text = lines[at].Text;
        bool goesOn = true, ends = false;
        for (int next = at + 1; goesOn && !ends; next++)
        {
            ends = next >= lines.Count || lines[next].Kind != CaptureLineKind.Text || parts.Count == most || text.Length + lines[next].Text.Length > CaptureLines.LongestLine;
            if (ends || string.IsNullOrWhiteSpace(lines[next].Text))
            {
                break;
            }

            if (ignored(lines[next]) is { } rule)
            {
                between.Add(new LinePart(lines[next], rule));
            }
            else if (stops(lines[next]))
            {
                break;
            }
            else
            {
                parts.AddRange(between);
                parts.AddRange(PartsOf(lines[next]));
                between.Clear();
                text += lines[next].Text;
                last = next;
                goesOn = lines[next].Text.Length == lines[at].Text.Length;
            }
        }

        return lines[at] with { Text = text, Parts = parts, Cut = lines[last].Cut || (goesOn && ends) };
    }

    private static IReadOnlyList<LinePart> PartsOf(CaptureLine line) => line.Parts.Count == 0 ? [new LinePart(line, null)] : line.Parts;
}

/// <summary>A line as it was printed, of which a longer one is made.</summary>
/// <param name="Line">The line.</param>
/// <param name="Ignored">The rule that ignores it, where it only stands in between; else null.</param>
internal sealed record LinePart(CaptureLine Line, string? Ignored);
