namespace PoeOps.Dialects;

/// <summary>Takes the lines of a block that is a table: its header, which gives the places of the columns, and the rows that stand beneath it.</summary>
internal sealed class ColumnWalk
{
    private readonly PromptLines _prompts;
    private readonly LineTries _tries;
    private readonly LineProblems _problems;
    private readonly LineAccount _account;
    private readonly RowWalk _rows;

    /// <summary>Prepares to take rows.</summary>
    public ColumnWalk(PromptLines prompts, LineTries tries, LineProblems problems, LineAccount account, RowWalk rows)
    {
        _prompts = prompts;
        _tries = tries;
        _problems = problems;
        _account = account;
        _rows = rows;
    }

    /// <summary>Takes a line that is the header of the block's table.</summary>
    /// <returns>False where it is none.</returns>
    public bool TakeHeader(OpenBlock open, CaptureLine line)
    {
        if (!open.Block.Header.Any(header => _tries.Match(header, line, open) is not null))
        {
            return false;
        }

        _account.Read(line, $"{open.Block.Name}, header", string.Empty, string.Empty);
        Place(open, line);
        return true;
    }

    /// <summary>Finds the columns in the header.</summary>
    public void Place(OpenBlock open, CaptureLine header)
    {
        open.Layout = ColumnLayout.Find(open.Block.Columns, header.Text, out string? wrong, out bool missing);
        if (wrong is not null)
        {
            _problems.Header(open, header, wrong, missing);
        }
    }

    /// <summary>
    /// Takes a line that stands in the columns. One that does not may still be another block's first or a prompt; what is wrong with it is told when it
    /// is neither.
    /// </summary>
    /// <returns>False where it does not.</returns>
    public bool Take(OpenBlock open, CaptureLine line)
    {
        open.Misfit = null;
        if (_prompts.IsPrompt(line.Text, pattern => _tries.Match(pattern, line, open)))
        {
            return false;
        }

        if (open.Layout is not { } layout)
        {
            open.Misfit = $"No header gives the places of the columns for '{Files.Excerpt.Of(line.Text)}'.";
            return false;
        }

        IReadOnlyList<string>? cells = ColumnRow.Cut(layout, line.Text, out string? wrong);
        open.Misfit = wrong;
        if (cells is null)
        {
            return false;
        }

        var row = new OpenRow(new RowPattern($"{open.Block.Name}, row", []), line);
        string fields = Fill(row, layout, cells, line);
        open.HasRows = true;
        _account.Read(line, row.Pattern.Name, fields, _rows.Finish(open, row, line));
        return true;
    }

    // Gives what it filled, for a report.
    private static string Fill(OpenRow row, ColumnLayout layout, IReadOnlyList<string> cells, CaptureLine line)
    {
        List<string> fields = [];
        for (int i = 0; i < cells.Count; i++)
        {
            if (layout.Columns[i].Column.Property is { } property)
            {
                row.Texts.Put(property, cells[i], line);
                if (cells[i].Length > 0)
                {
                    fields.Add($"{property}={cells[i]}");
                }
            }
        }

        return string.Join("; ", fields);
    }
}
