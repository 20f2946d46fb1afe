using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>
/// Goes through the lines of a text once. At any line it is outside every block or inside one, and the block decides what the line can be: its
/// end, a line that it ignores, its beginning again, one of its rows; else the beginning of another block, a prompt, or unread.
/// </summary>
internal sealed class LineWalk
{
    private readonly Dialect _dialect;
    private readonly PromptLines _prompts;
    private readonly LineProblems _problems;
    private readonly LineTries _tries;
    private readonly RowReader _records;
    private readonly RowWalk _rows;
    private readonly ColumnWalk _columns;
    private readonly LineJoins _joins;
    private readonly JsonWalk _json;
    private readonly LineAccount _account;
    private OpenBlock? _open;

    /// <summary>Prepares to read.</summary>
    public LineWalk(Dialect dialect, bool keepLines)
    {
        _dialect = dialect;
        Records = new RecordSet(dialect);
        _account = new LineAccount(keepLines);
        _prompts = PromptLines.Of(dialect);
        _problems = new LineProblems(dialect.Name);
        PatternTries tries = new();
        _tries = new LineTries(tries, _problems, _account);
        _records = new RowReader(dialect, Records, _problems.All, tries);
        _rows = new RowWalk(keepLines, _tries, tries, _problems, _account, _records);
        _columns = new ColumnWalk(_prompts, _tries, _problems, _account, _rows);
        _joins = new LineJoins(dialect, _prompts, _tries);
        _json = new JsonWalk(dialect, keepLines, _prompts, _tries, _problems, _account, _records);
    }

    /// <summary>What was read.</summary>
    public RecordSet Records { get; }

    /// <summary>What could not be.</summary>
    public IReadOnlyList<Problem> Problems => _problems.AsRead;

    /// <summary>Those that say that the text stops.</summary>
    public IReadOnlyList<Problem> Cuts => _problems.Cuts;

    /// <summary>What every line was read as, where asked for.</summary>
    public IReadOnlyList<LineReading> Lines => _account.Lines;

    /// <summary>What became of the lines of each file or answer that has some, in order.</summary>
    public IReadOnlyList<SourceTally> Tallies => _account.Tallies;

    /// <summary>Reads all lines.</summary>
    public void Run(IReadOnlyList<CaptureLine> printed)
    {
        IReadOnlyList<CaptureLine> lines = ContinuedLines.Join(_dialect.Console.Continued, printed);
        for (int i = 0; i < lines.Count; i++)
        {
            CaptureLine line = lines[i];
            if (line.Kind == CaptureLineKind.Text)
            {
                _account.Begin(line);
                i = TakeFrom(lines, i);
            }
            else if (line.Kind == CaptureLineKind.Command)
            {
                BeginAtCommand(line);
            }
            else if (line.Kind == CaptureLineKind.Spoilt)
            {
                _rows.Lose(_open, line);
                _account.Note(line, ReadAs.Unread, string.Empty);
            }
            else
            {
                CloseBlock(ended: false);
                _joins.Forget();
            }
        }

        CloseBlock(ended: false);
        _problems.CountTheRest();
    }

    // A saved text has the command in a line, and a block may begin at it; of a live answer it is none of the lines, and is not accounted for.
    private void BeginAtCommand(CaptureLine line)
    {
        _tries.Begin();
        foreach (Block block in _dialect.Blocks)
        {
            foreach (Regex begin in block.Begins)
            {
                if (_open is null && Match(begin, line) is { } match)
                {
                    _open = OpenBlock.At(block, begin, match, line);
                }
            }
        }
    }

    // Takes a line, with those that it goes on in. Gives the last of them.
    private int TakeFrom(IReadOnlyList<CaptureLine> lines, int at)
    {
        _tries.Begin();
        if (_joins.Listens)
        {
            _joins.Hear(lines[at], _open);
        }

        if (_json.IsUsed && _json.Begins(lines[at], _open))
        {
            CloseBlock(ended: false);
            return _json.Take(lines, at);
        }

        if (!_joins.MayGoOn(lines[at]))
        {
            Take(lines[at]);
            return at;
        }

        Take(_joins.From(lines, at, _open, out int last));
        for (int joined = at + 1; joined <= last; joined++)
        {
            _account.Begin(lines[joined]);
        }

        return last;
    }

    private void Take(CaptureLine line)
    {
        _tries.Begin();
        if (string.IsNullOrWhiteSpace(line.Text))
        {
            // Blanks without a line end are the indent of a line that never came.
            if (line.Cut && _open is { Block.Ends.Count: 0 } stopped)
            {
                _problems.Cut(stopped, line);
            }

            // An empty line between a header and its first row ends nothing.
            if (_open is { Block.Ends.Count: 0, HasRows: true })
            {
                CloseBlock(ended: true);
            }

            _account.Note(line, ReadAs.Blank, string.Empty);
        }
        else if (TakeEnd(line))
        {
            return;
        }
        else if (Ignored(line, _dialect.Ignore) is { } rule)
        {
            _account.Note(line, ReadAs.Ignored, rule);
        }
        else if (!TakeStop(line) && !TakeInBlock(line) && !TakeBeginning(line) && !TakePrompt(line))
        {
            _rows.Lose(_open, line);
            TellUnread(line);
            _account.Note(line, ReadAs.Unread, string.Empty);
        }
    }

    // What is left of a row that lost its end is no line that the dialect lacks a rule for; and of one on which a pattern came to no end, nobody
    // knows whether it does.
    private void TellUnread(CaptureLine line)
    {
        _account.Tally.Unread++;
        if (_tries.Undecided)
        {
            return;
        }

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

    // Before the lines that are ignored anywhere: what ends one answer may stand behind another that has no block.
    private bool TakeEnd(CaptureLine line)
    {
        for (int i = 0; _open is { } open && i < open.Block.Ends.Count; i++)
        {
            Regex end = open.Block.Ends[i];
            if (Match(end, line) is { } match)
            {
                open.Take(end, match, line);
                _account.Read(line, $"{open.Block.Name}, end", end, match, string.Empty);
                if (line.Cut && open.Block.OneRecord && GroupNames.In(end).Length > 0)
                {
                    _problems.Cut(open, line);
                }

                CloseBlock(ended: true);
                return true;
            }
        }

        return false;
    }

    private bool TakeInBlock(CaptureLine line)
    {
        if (_open is not { } open)
        {
            return false;
        }

        if (open.Block.Header.Count > 0 && _columns.TakeHeader(open, line))
        {
            return true;
        }

        // Before the rows: a ruler of hyphens fits many a row of words.
        if (Ignored(line, open.Block.Ignore) is { } rule)
        {
            _account.Note(line, ReadAs.Ignored, $"{open.Block.Name}, {rule}");
            return true;
        }

        return TakeBeginning(open.Block, line) || (open.Block.Columns.Count > 0 ? _columns.Take(open, line) : _rows.Take(open, line));
    }

    private bool TakeBeginning(CaptureLine line)
    {
        for (int i = 0; i < _dialect.Blocks.Count; i++)
        {
            if (TakeBeginning(_dialect.Blocks[i], line))
            {
                return true;
            }
        }

        return false;
    }

    private bool TakeBeginning(Block block, CaptureLine line)
    {
        for (int i = 0; i < block.Begins.Count; i++)
        {
            Regex begin = block.Begins[i];
            if (Match(begin, line) is { } match)
            {
                if (!Repeats(block, begin, match))
                {
                    CloseBlock(ended: false);
                    _open = OpenBlock.At(block, begin, match, line);
                }

                _account.Read(line, $"{block.Name}, beginning", begin, match, string.Empty);
                if (line.Cut && _open is { Block: { OneRecord: true, Ends.Count: 0 } } open)
                {
                    _problems.Cut(open, line);
                }

                if (block.Columns.Count > 0 && block.Header.Count == 0)
                {
                    _columns.Place(_open!, line);
                }

                return true;
            }
        }

        return false;
    }

    // The header that a table prints again on its next page goes on with the block; it is tried before the rows, many of which it would fit.
    private bool Repeats(Block block, Regex begin, Match match) =>
        _open is { } open && ReferenceEquals(open.Block, block) && block.Ends.Count > 0 && !block.OneRecord && open.BeganWith(begin, match);

    private bool TakePrompt(CaptureLine line)
    {
        int length = _prompts.LengthIn(pattern => Match(pattern, line));
        if (length > 0)
        {
            CloseBlock(ended: false);
            _account.Note(line, ReadAs.Prompt, line.Text.Substring(length).Trim());
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

        _rows.Leave(open, cut: !ended);
        bool cut = !ended && open.Block.Ends.Count > 0;
        if (cut && !open.IsCutTold)
        {
            _problems.NotEnded(open);
        }

        if (!cut && !open.IsCutTold)
        {
            foreach (GatheredText told in open.Told)
            {
                _problems.CheckCount(open, told);
            }
        }

        if (open.Block.OneRecord && !cut && !open.Torn)
        {
            _records.Add(open, open.Texts, open.Begun);
        }

        _open = null;
    }

    private Match? Match(Regex pattern, CaptureLine line) => _tries.Match(pattern, line, _open);

    private string? Ignored(CaptureLine line, IReadOnlyList<IgnoreRule> rules) => _tries.Ignoring(rules, line, _open);
}
