
namespace PoeOps.Dialects;

/// <summary>
/// Guesses a dialect from captures, and tries it on them before anybody sees it: a block that reads a row otherwise than its columns stand is left
/// in comments, and an end that does not come everywhere is taken away.
/// </summary>
internal sealed class DraftPlan
{
    private const int MostBlocks = 60;
    private const int MostListed = 200;

    private readonly IReadOnlyList<CaptureText> _captures;

    private DraftPlan(string name, string? schema, string encoding, IReadOnlyList<CaptureText> captures)
    {
        Name = name;
        Schema = schema;
        Encoding = encoding;
        _captures = captures;
        List<DraftLine> lines = DraftLine.Of(captures);
        Prompts = DraftPrompts.Find(lines);
        Pagers = DraftPagers.Find(lines);
        Blocks = [.. DraftTableBlocks.Of(DraftTables.Find(lines)).Take(MostBlocks)];
        Blocks = [.. Blocks.Concat(DraftPairBlocks.Of(lines)).Take(MostBlocks)];
        Values = DraftValues.Settle(Blocks);
        for (int i = 0; i < Blocks.Count; i++)
        {
            Blocks[i].Name = FormattableString.Invariant($"{(Blocks[i].Kind ?? RecordKind.Controller).ToString().ToLowerInvariant()} {i + 1}");
        }
    }

    /// <summary>The family.</summary>
    public string Name { get; }

    /// <summary>Where the schema is, or null.</summary>
    public string? Schema { get; }

    /// <summary>The encoding of the captures.</summary>
    public string Encoding { get; }

    /// <summary>How many captures there are.</summary>
    public int Captures => _captures.Count;

    /// <summary>Prompts.</summary>
    public IReadOnlyList<DraftPatternGuess> Prompts { get; }

    /// <summary>Pagers.</summary>
    public IReadOnlyList<DraftPatternGuess> Pagers { get; }

    /// <summary>Blocks.</summary>
    public IReadOnlyList<DraftBlock> Blocks { get; }

    /// <summary>How values are written.</summary>
    public DraftValues Values { get; }

    /// <summary>Makes the draft.</summary>
    public static DialectDraft Make(string name, string? schema, string encoding, IReadOnlyList<CaptureText> captures)
    {
        DraftPlan plan = new(name, schema, encoding, captures);
        Reading[] readings = plan.Read();
        while (plan.Mend(readings))
        {
            readings = plan.Read();
        }

        LineReading[] seen = [.. readings.SelectMany(reading => reading.Lines).Where(line => line.ReadAs != ReadAs.Blank)];
        LineReading[] unread = [.. seen.Where(line => line.ReadAs == ReadAs.Unread)];
        DraftText text = new();
        text.Write(plan, [.. unread.Take(MostListed).Select(line => new DraftLine(line.File, line.Line, line.Text))], unread.Length);
        return new DialectDraft
        {
            Name = name, Captures = captures.Count, Guesses = text.Guesses, Lines = seen.Length, LinesCovered = seen.Length - unread.Length, LinesNotCovered = unread.Length, Text = text.Text,
        };
    }

    private Reading[] Read()
    {
        DraftText text = new();
        text.Write(this, [], 0);
        DialectResult result = DialectFile.Parse(text.Text, Name);
        Dialect dialect = result.Dialect ?? throw new InvalidOperationException($"A draft is no dialect: {result.Problems[0]}");
        return [.. _captures.Select(capture => CaptureReader.Read(dialect, capture, new ReadingContext { Source = capture.Source, KeepLines = true }))];
    }

    // True where something was taken away, and the captures have to be read again. Each time there is less, so that it comes to an end.
    private bool Mend(Reading[] readings)
    {
        Dictionary<(string, int), LineReading> lines = [];
        foreach (LineReading line in readings.SelectMany(reading => reading.Lines))
        {
            lines[(line.File, line.Line)] = line;
        }

        bool mended = false;
        Problem[] ends = [.. readings.SelectMany(reading => reading.Problems).Where(problem => problem.Id is ProblemId.BlockNotEnded or ProblemId.RowsMissing)];
        foreach (DraftBlock block in Blocks.Where(block => block.WhyNot is null))
        {
            if (block.Ends.Count > 0 && ends.Any(problem => problem.Sentence.Contains($"'{block.Name}'")))
            {
                block.Ends.RemoveAt(0);
                mended = true;
            }
            else if (block.Expected.FirstOrDefault(row => !IsRead(lines, block, row.Line, row.Fields())) is { Line: { } wrong })
            {
                block.WhyNot = $"it would read {wrong.Where} otherwise than its columns stand";
                mended = true;
            }
        }

        return mended;
    }

    private static bool IsRead(Dictionary<(string, int), LineReading> lines, DraftBlock block, DraftLine line, string fields) =>
        lines.TryGetValue((line.File, line.Number), out LineReading? read) && read.ReadAs == ReadAs.Read && read.Rule.StartsWith(block.Name + ",", StringComparison.Ordinal) && read.Fields == fields;
}
