namespace PoeOps.Dialects;

/// <summary>A table as it stands in a capture: a line of words, perhaps a ruler, rows that are aligned with the words, perhaps a last line.</summary>
internal sealed class DraftTable
{
    /// <summary>Begins one.</summary>
    public DraftTable(DraftLine header, IReadOnlyList<DraftCell> columns, bool piped) => (Header, Columns, Piped) = (header, columns, piped);

    /// <summary>The line of words.</summary>
    public DraftLine Header { get; }

    /// <summary>The words and where they stand; of a ruler its runs.</summary>
    public IReadOnlyList<DraftCell> Columns { get; }

    /// <summary>True where signs stand between the columns.</summary>
    public bool Piped { get; }

    /// <summary>The ruler, or null.</summary>
    public DraftLine? Ruler { get; set; }

    /// <summary>The line right before the header, or null.</summary>
    public DraftLine? Title { get; set; }

    /// <summary>The rows.</summary>
    public List<DraftRow> Rows { get; } = [];

    /// <summary>The line that ends it, or null.</summary>
    public DraftLine? Footer { get; set; }

    /// <summary>Where in the lines it is over.</summary>
    public int End { get; set; }

    /// <summary>The words, one behind the other: tables with the same are of one kind.</summary>
    public string Words => string.Join("\n", Columns.Select(column => column.Text));
}

/// <summary>A piece of a line.</summary>
/// <param name="Text">What stands there; empty for a blank cell.</param>
/// <param name="Start">Its first character.</param>
/// <param name="End">The character behind its last.</param>
internal readonly record struct DraftCell(string Text, int Start, int End);

/// <summary>A row of a table.</summary>
/// <param name="Line">The line.</param>
/// <param name="Cells">A cell for each column.</param>
internal sealed record DraftRow(DraftLine Line, IReadOnlyList<DraftCell> Cells)
{
    /// <summary>How many columns hold something.</summary>
    public int Filled => Cells.Count(cell => cell.Text.Length > 0);

    /// <summary>The least number of blanks between two of its cells.</summary>
    public int LeastGap
    {
        get
        {
            DraftCell[] filled = [.. Cells.Where(cell => cell.Text.Length > 0)];
            return filled.Length < 2 ? int.MaxValue : Enumerable.Range(1, filled.Length - 1).Min(i => filled[i].Start - filled[i - 1].End);
        }
    }
}
