using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>Joins lines that a device broke and marks where they go on, before anything else is made of them.</summary>
internal static class ContinuedLines
{
    /// <summary>Joins lines.</summary>
    /// <param name="marks">What the rest of a line begins with.</param>
    /// <param name="lines">All lines.</param>
    /// <returns>The lines; one that was joined knows its parts.</returns>
    public static IReadOnlyList<CaptureLine> Join(IReadOnlyList<Regex> marks, IReadOnlyList<CaptureLine> lines)
    {
        if (marks.Count == 0)
        {
            return lines;
        }

        var tries = new PatternTries();
        List<CaptureLine> joined = new(lines.Count);
        foreach (CaptureLine line in lines)
        {
            CaptureLine? before = joined.Count == 0 ? null : joined[joined.Count - 1];
            if (before is { Kind: CaptureLineKind.Text } && Rest(marks, line, tries) is { } rest && before.Text.Length + rest.Length <= CaptureLines.LongestLine)
            {
                IReadOnlyList<LinePart> parts = before.Parts.Count == 0 ? [new LinePart(before, null)] : before.Parts;
                joined[joined.Count - 1] = before with { Text = before.Text + rest, Parts = [.. parts, new LinePart(line, null)], Cut = line.Cut };
            }
            else
            {
                joined.Add(line);
            }
        }

        return joined;
    }

    private static string? Rest(IReadOnlyList<Regex> marks, CaptureLine line, PatternTries tries)
    {
        if (line.Kind != CaptureLineKind.Text)
        {
            return null;
        }

        foreach (Regex mark in marks)
        {
            if (tries.Try(mark, line.Text, out _) is { Index: 0, Length: > 0 } match)
            {
                return line.Text.Substring(match.Length);
            }
        }

        return null;
    }
}
