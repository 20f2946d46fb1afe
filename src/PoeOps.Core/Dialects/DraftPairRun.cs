namespace PoeOps.Dialects;

/// <summary>Lines of names and values, one beneath the other, with what stands before and behind them.</summary>
internal sealed class DraftPairRun
{
    /// <summary>The lines.</summary>
    public List<(DraftLine Line, DraftPair Pair)> Pairs { get; } = [];

    /// <summary>The line before them that belongs to no other guess, or null.</summary>
    public DraftLine? Before { get; private set; }

    /// <summary>The line behind them, likewise.</summary>
    public DraftLine? After { get; private set; }

    /// <summary>Runs of at least two, in order.</summary>
    public static List<DraftPairRun> Find(IReadOnlyList<DraftLine> lines)
    {
        List<DraftPairRun> runs = [];
        for (int i = 0; i < lines.Count; i++)
        {
            if (At(lines, i) is { } run)
            {
                runs.Add(run);
                i += run.Pairs.Count - 1;
            }
        }

        // What begins another is no end of this one.
        HashSet<DraftLine> beginnings = [.. runs.Select(run => run.Before).OfType<DraftLine>()];
        foreach (DraftPairRun run in runs.Where(run => run.After is { } after && beginnings.Contains(after)))
        {
            run.After = null;
        }

        return runs;
    }

    private static DraftPairRun? At(IReadOnlyList<DraftLine> lines, int start)
    {
        DraftPairRun run = new();
        int i = start;
        for (; i < lines.Count && IsFree(lines[i]) && DraftPair.Of(lines[i].Text) is { } pair; i++)
        {
            if (run.Pairs.Count > 0 && (run.Pairs[0].Pair.Indent != pair.Indent || run.Pairs[0].Pair.Sign != pair.Sign))
            {
                break;
            }

            run.Pairs.Add((lines[i], pair));
        }

        if (run.Pairs.Count < 2)
        {
            return null;
        }

        int indent = run.Pairs[0].Pair.Indent;
        run.Before = start > 0 && IsFrame(lines[start - 1], indent) ? lines[start - 1] : null;
        run.After = i < lines.Count && IsFrame(lines[i], indent) ? lines[i] : null;
        return run;
    }

    // What stands further in belongs to a line before it.
    private static bool IsFrame(DraftLine line, int indent) => IsFree(line) && line.Text.Length - line.Text.TrimStart(' ').Length <= indent;

    private static bool IsFree(DraftLine line) => !line.Blank && !line.Apart && !line.Used;
}
