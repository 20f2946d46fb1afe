using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>
/// Goes through the lines of a text once. At any line it is outside every block or inside one, and the block decides what the line can be: its
/// end, a line that it ignores, its beginning again, one of its rows; else the beginning of another block, a prompt, or unread.
/// </summary>
internal sealed partial class LineWalk
{
    private readonly Dialect _dialect;
    private readonly bool _keepLines;
    private readonly PromptLines _prompts;
    private readonly LineProblems _problems;
    private readonly List<LineReading> _lines = [];
    private readonly PatternTries _tries = new();
    private readonly RowReader _rows;
    private OpenBlock? _open;
    private bool _undecided;

    /// <summary>Prepares to read.</summary>
    public LineWalk(Dialect dialect, bool keepLines)
    {
        _dialect = dialect;
        _keepLines = keepLines;
        _prompts = new PromptLines(dialect);
        _problems = new LineProblems(dialect.Name);
        _rows = new RowReader(dialect, Records, _problems.All, _tries);
    }

    /// <summary>What was read.</summary>
    public RecordSet Records { get; } = new();

    /// <summary>What could not be.</summary>
    public IReadOnlyList<Problem> Problems => _problems.AsRead;

    /// <summary>What every line was read as, where asked for.</summary>
    public IReadOnlyList<LineReading> Lines => _lines;

    /// <summary>How many lines a block read.</summary>
    public int ReadLines { get; private set; }

    /// <summary>How many lines a rule ignores, or are prompts.</summary>
    public int KnownLines { get; private set; }

    /// <summary>The files or answers in which a block read something.</summary>
    public ISet<string> SourcesRead { get; } = new HashSet<string>(StringComparer.Ordinal);

    /// <summary>How many lines nobody read.</summary>
    public int UnreadLines => _problems.UnreadLines;

    /// <summary>Reads all lines.</summary>
    public void Run(IReadOnlyList<CaptureLine> lines)
    {
        for (int i = 0; i < lines.Count; i++)
        {
            CaptureLine line = lines[i];
            if (line.Kind == CaptureLineKind.Text)
            {
                i = TakeFrom(lines, i);
            }
            else if (line.Kind == CaptureLineKind.Spoilt)
            {
                Note(line, ReadAs.Unread, string.Empty);
            }
            else
            {
                CloseBlock(ended: false);
            }
        }

        CloseBlock(ended: false);
        _problems.CountTheRest();
    }

    private void Take(CaptureLine line)
    {
        _undecided = false;
        if (string.IsNullOrWhiteSpace(line.Text))
        {
            // An empty line between a header and its first row ends nothing.
            if (_open is { Block.Ends.Count: 0, HasRows: true })
            {
                CloseBlock(ended: true);
            }

            Note(line, ReadAs.Blank, string.Empty);
        }
        else if (Ignored(line, _dialect.Ignore) is { } rule)
        {
            Note(line, ReadAs.Ignored, rule);
        }
        else if (!TakeStop(line) && !TakeInBlock(line) && !TakeBeginning(line) && !TakePrompt(line))
        {
            TellUnread(line);
            Note(line, ReadAs.Unread, string.Empty);
        }
    }

    // What is left of a row that lost its end is no line that the dialect lacks a rule for.
    private void TellUnread(CaptureLine line)
    {
        if (line.Cut && _open is { } open && (open.Block.Ends.Count > 0 || line.Parts.Count > 0))
        {
            _problems.Cut(open, line);
        }
        else if (_open is { Misfit: { } misfit } table)
        {
            _problems.Misfit(table, line, misfit);
        }
        else
        {
            _problems.Unread(line, _open);
        }
    }

    // A block that does not say how it ends stops where another begins, or where a command of the dialect was typed, whatever its rows would make
    // of that line.
    private bool TakeStop(CaptureLine line) =>
        _open is { Block.Ends.Count: 0 } && (TakeBeginning(line) || (_prompts.HasCommand(line.Text, pattern => Match(pattern, line)) && TakePrompt(line)));

    private bool TakeInBlock(CaptureLine line)
    {
        if (_open is not { } open)
        {
            return false;
        }

        foreach (Regex end in open.Block.Ends)
        {
            if (Match(end, line) is { } match)
            {
                open.Texts.Take(end, match, line);
                Read(line, $"{open.Block.Name}, end", end, match, string.Empty);
                CloseBlock(ended: true);
                return true;
            }
        }

        if (TakeHeader(open, line))
        {
            return true;
        }

        // Before the rows: a ruler of hyphens fits many a row of words.
        if (Ignored(line, open.Block.Ignore) is { } rule)
        {
            Note(line, ReadAs.Ignored, $"{open.Block.Name}, {rule}");
            return true;
        }

        return TakeBeginning(open.Block, line) || (open.Block.Columns.Count > 0 ? TakeCells(open, line) : TakeRow(open, line));
    }

    private bool TakeRow(OpenBlock open, CaptureLine line)
    {
        if (open.Row is { } row)
        {
            Regex next = row.Next;
            if (Match(next, line) is { } match)
            {
                row.Take(match, line);
                FinishLine(open, row, line, next, match);
                return true;
            }

            Abandon(open, row, line.Cut);
        }

        foreach (RowPattern pattern in open.Block.Rows)
        {
            if (Match(pattern.Lines[0], line) is { } match)
            {
                var begun = new OpenRow(pattern, line);
                begun.Take(match, line);
                FinishLine(open, begun, line, pattern.Lines[0], match);
                return true;
            }
        }

        return false;
    }

    private void FinishLine(OpenBlock open, OpenRow row, CaptureLine line, Regex pattern, Match match)
    {
        open.HasRows = true;
        open.Row = row.IsWhole ? null : row;
        Read(line, row.Pattern.Name, pattern, match, row.IsWhole ? FinishRow(open, row, line) : string.Empty);
    }

    // Gives the record that the row filled, for a report.
    private string FinishRow(OpenBlock open, OpenRow row, CaptureLine line)
    {
        // A record of several lines that was cut is left out with its block.
        if (line.Cut && (open.Block.Ends.Count == 0 || !open.Block.OneRecord))
        {
            _problems.Cut(open, line);
        }
        else if (open.Block.OneRecord)
        {
            open.Texts.Take(row.Texts, line);
        }
        else
        {
            ReadRecord? filled = _rows.Add(open, open.Texts.HandedDownTo(row.Texts), line);
            return _keepLines ? filled?.Label ?? string.Empty : string.Empty;
        }

        return string.Empty;
    }

    // A row whose next line did not come is another one of the block that is whole with the lines that did, such as one whose note is not always
    // there; else it is reported.
    private void Abandon(OpenBlock open, OpenRow row, bool cut)
    {
        OpenRow? instead = open.Block.Rows.Where(one => one.Lines.Count == row.Taken).Select(one => row.Instead(one, _tries)).FirstOrDefault(one => one is not null);
        if (instead is null)
        {
            _problems.Incomplete(open, row);
            open.IsCutTold |= cut;
            return;
        }

        open.Row = null;
        string record = FinishRow(open, instead, row.Lines[row.Taken - 1]);
        if (_keepLines)
        {
            Rename(row, instead.Pattern.Name, record);
        }
    }

    // The lines of the row have been noted under the name of the row that they only began.
    private void Rename(OpenRow row, string rule, string record)
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

    private bool TakeBeginning(CaptureLine line)
    {
        foreach (Block block in _dialect.Blocks)
        {
            if (TakeBeginning(block, line))
            {
                return true;
            }
        }

        return false;
    }

    private bool TakeBeginning(Block block, CaptureLine line)
    {
        foreach (Regex begin in block.Begins)
        {
            if (Match(begin, line) is { } match)
            {
                if (!Repeats(block, begin, match))
                {
                    CloseBlock(ended: false);
                    _open = new OpenBlock(block, line);
                    _open.Texts.Take(begin, match, line);
                }

                Read(line, $"{block.Name}, beginning", begin, match, string.Empty);
                if (block.Columns.Count > 0 && block.Header.Count == 0)
                {
                    Place(_open!, line);
                }

                return true;
            }
        }

        return false;
    }

    // The header that a table prints again on its next page goes on with the block; it is tried before the rows, many of which it would fit.
    private bool Repeats(Block block, Regex begin, Match match) =>
        _open is { } open && ReferenceEquals(open.Block, block) && block.Ends.Count > 0 && !block.OneRecord
        && GroupNames.Of(begin).All(name => !match.Groups[name].Success || open.Texts[name] == match.Groups[name].Value);

    private bool TakePrompt(CaptureLine line)
    {
        int length = _prompts.LengthIn(pattern => Match(pattern, line));
        if (length > 0)
        {
            CloseBlock(ended: false);
            Note(line, ReadAs.Prompt, line.Text.Substring(length).Trim());
        }

        return length > 0;
    }

    // A block without an end of its own is whole at any place where it stops; one with an end was cut where its end is missing.
    private void CloseBlock(bool ended)
    {
        if (_open is not { } open)
        {
            return;
        }

        if (open.Row is { } row)
        {
            Abandon(open, row, cut: !ended);
        }

        bool cut = !ended && open.Block.Ends.Count > 0;
        if (cut && !open.IsCutTold)
        {
            _problems.NotEnded(open);
        }

        if (open.Block.OneRecord && !cut && !open.Torn)
        {
            _rows.Add(open, open.Texts, open.Begun);
        }

        _open = null;
    }

    private string? Ignored(CaptureLine line, IReadOnlyList<IgnoreRule> rules)
    {
        foreach (IgnoreRule rule in rules)
        {
            if (Match(rule.Pattern, line) is not null)
            {
                return rule.Name;
            }
        }

        return null;
    }

    // A line on which a pattern came to no end is for no other pattern: it might be read as what it is not.
    private Match? Match(Regex pattern, CaptureLine line)
    {
        if (_undecided)
        {
            return null;
        }

        Match? match = _tries.Try(pattern, line.Text, out PatternEnd end);
        _undecided = end != PatternEnd.Reached;
        if (end == PatternEnd.OutOfTime)
        {
            _problems.TooSlow(pattern, line, _open);
        }

        return match;
    }

    private void Read(CaptureLine line, string rule, Regex pattern, Match match, string record) =>
        Read(line, rule, _keepLines ? RowReader.Fields(pattern, match) : string.Empty, record);

    private void Note(CaptureLine line, ReadAs readAs, string rule)
    {
        KnownLines += readAs is ReadAs.Ignored or ReadAs.Prompt ? 1 : 0;
        Keep(line, readAs, rule, string.Empty, string.Empty);
    }
}
