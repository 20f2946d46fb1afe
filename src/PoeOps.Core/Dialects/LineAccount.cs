using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>What became of each line: counted for each file, and line by line where asked for.</summary>
internal sealed class LineAccount
{
    private readonly bool _keepLines;
    private readonly List<LineReading> _lines = [];
    private readonly List<SourceTally> _tallies = [];

    /// <summary>Opens an account.</summary>
    /// <param name="keepLines">True to keep every line.</param>
    public LineAccount(bool keepLines) => _keepLines = keepLines;

    /// <summary>What every line was read as, where asked for.</summary>
    public IReadOnlyList<LineReading> Lines => _lines;

    /// <summary>The counts of each file or answer that has lines, in order.</summary>
    public IReadOnlyList<SourceTally> Tallies => _tallies;

    /// <summary>The counts of the file or answer that is being read.</summary>
    public SourceTally Tally { get; private set; } = new(string.Empty);

    /// <summary>Counts a line of text before it is read.</summary>
    public void Begin(CaptureLine line)
    {
        // The lines of a file come one after another, and nearly all of them are of the same as the one before.
        if (!ReferenceEquals(line.Source, Tally.Source))
        {
            Tally = _tallies.Find(one => one.Source == line.Source) ?? new SourceTally(line.Source);
            if (Tally.Lines == 0)
            {
                _tallies.Add(Tally);
            }
        }

        Tally.Lines += Math.Max(1, line.Parts.Count);
        Tally.Overwritten += line.Overwritten ? 1 : 0;
    }

    /// <summary>A rule of a block read it.</summary>
    public void Read(CaptureLine line, string rule, Regex pattern, Match match, string record) =>
        Read(line, rule, _keepLines ? RowReader.Fields(pattern, match) : string.Empty, record);

    /// <summary>A rule of a block read it.</summary>
    public void Read(CaptureLine line, string rule, string fields, string record)
    {
        Tally.Read += line.Parts.Count == 0 ? 1 : line.Parts.Count(part => part.Ignored is null);
        Keep(line, ReadAs.Read, rule, fields, record);
    }

    /// <summary>It is none that a block reads.</summary>
    public void Note(CaptureLine line, ReadAs readAs, string rule)
    {
        Tally.Known += readAs is ReadAs.Ignored or ReadAs.Prompt ? 1 : 0;
        Keep(line, readAs, rule, string.Empty, string.Empty);
    }

    /// <summary>The lines of a row have been noted under the name of the row that they only began.</summary>
    public void Rename(OpenRow row, string rule, string record)
    {
        foreach (CaptureLine line in row.Lines)
        {
            foreach (CaptureLine printed in line.Parts.Count == 0 ? [line] : line.Parts.Where(part => part.Ignored is null).Select(part => part.Line))
            {
                int note = _lines.FindLastIndex(one => one.Line == printed.Number && one.File == printed.Source);
                _lines[note] = _lines[note] with { Rule = rule, Record = line == row.Lines[row.Taken - 1] && printed.Number == line.Number ? record : string.Empty };
            }
        }
    }

    // Of a line that was broken, the first part says what the whole gave.
    private void Keep(CaptureLine line, ReadAs readAs, string rule, string fields, string record)
    {
        if (!_keepLines)
        {
            return;
        }

        if (line.Parts.Count == 0)
        {
            _lines.Add(new LineReading(line.Source, line.Number, line.Text, readAs, rule, fields, record));
            return;
        }

        foreach (LinePart part in line.Parts)
        {
            bool first = ReferenceEquals(part, line.Parts[0]);
            _lines.Add(part.Ignored is { } other
                ? new LineReading(part.Line.Source, part.Line.Number, part.Line.Text, ReadAs.Ignored, other, string.Empty, string.Empty)
                : new LineReading(part.Line.Source, part.Line.Number, part.Line.Text, readAs, rule, first ? fields : string.Empty, first ? record : string.Empty));
        }
    }
}
