using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>
/// Takes the lines of a block together to rows, one line or several, and gives each row that is whole to be read. A row that stops before its last
/// line is another row of the block that is whole without it, or is reported.
/// </summary>
internal sealed class RowWalk
{
    private readonly bool _keepLines;
    private readonly LineTries _lines;
    private readonly PatternTries _tries;
    private readonly LineProblems _problems;
    private readonly LineAccount _account;
    private readonly RowReader _rows;

    // A row of one line is done with before the next begins, and most rows have one.
    private readonly OpenRow _oneLine = new(new RowPattern(string.Empty, []), CaptureLine.AnswerEnd(string.Empty));

    /// <summary>Prepares to take rows.</summary>
    public RowWalk(bool keepLines, LineTries lines, PatternTries tries, LineProblems problems, LineAccount account, RowReader rows)
    {
        _keepLines = keepLines;
        _lines = lines;
        _tries = tries;
        _problems = problems;
        _account = account;
        _rows = rows;
    }

    /// <summary>Takes a line as the next one of the open row, or as the first of another.</summary>
    /// <returns>False where it is neither; the open row is left open then, for nobody knows yet whether something else reads the line.</returns>
    public bool Take(OpenBlock open, CaptureLine line)
    {
        if (open.Row is { } row && _lines.Match(row.Next, line, open) is { } next)
        {
            Regex pattern = row.Next;
            row.Take(next, line);
            FinishLine(open, row, line, pattern, next);
            return true;
        }

        IReadOnlyList<RowPattern> rows = open.Block.Rows;
        for (int i = 0; i < rows.Count; i++)
        {
            RowPattern pattern = rows[i];
            if (_lines.Match(pattern.Lines[0], line, open) is { } match)
            {
                Leave(open, line.Cut);
                OpenRow begun = pattern.Lines.Count == 1 ? _oneLine.Anew(pattern, line) : new OpenRow(pattern, line);
                begun.Take(match, line);
                FinishLine(open, begun, line, pattern.Lines[0], match);
                return true;
            }
        }

        return false;
    }

    /// <summary>
    /// The next line of the open row did not come, for something else was read in its place. The row is another one of the block that is whole with
    /// the lines that did, such as one whose note is not always there; else it is reported.
    /// </summary>
    /// <param name="open">The block.</param>
    /// <param name="cut">True where the text stops.</param>
    public void Leave(OpenBlock open, bool cut)
    {
        if (open.Row is not { } row)
        {
            return;
        }

        if (Instead(open, row) is not { } instead)
        {
            _problems.Incomplete(open, row, cut);
            return;
        }

        open.Row = null;
        string record = Finish(open, instead, row.Lines[row.Taken - 1]);
        if (_keepLines)
        {
            _account.Rename(row, instead.Pattern.Name, record);
        }
    }

    private OpenRow? Instead(OpenBlock open, OpenRow row) =>
        open.Block.Rows.Where(one => one.Lines.Count == row.Taken).Select(one => row.Instead(one, _tries)).FirstOrDefault(one => one is not null);

    /// <summary>A line that nobody can read may have been the next one of the open row: the row is not known to be whole without it.</summary>
    public void Lose(OpenBlock? open, CaptureLine line)
    {
        if (open is { Row: { } row })
        {
            _problems.Incomplete(open, row, line.Cut);
        }
    }

    /// <summary>A row is whole: it becomes a record, or a part of the one record of its block.</summary>
    /// <returns>The record that it filled, for a report; empty where none is wanted or it is left out.</returns>
    public string Finish(OpenBlock open, OpenRow row, CaptureLine line)
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

    private void FinishLine(OpenBlock open, OpenRow row, CaptureLine line, Regex pattern, Match match)
    {
        open.HasRows = true;
        open.Row = row.IsWhole ? null : row;
        _account.Read(line, row.Pattern.Name, pattern, match, row.IsWhole ? Finish(open, row, line) : string.Empty);
    }
}
