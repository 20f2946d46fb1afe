using System.Globalization;

namespace PoeOps.Dialects;

/// <summary>Finds tables with a header in captures.</summary>
internal sealed class DraftTables
{
    private readonly IReadOnlyList<DraftLine> _lines;

    private DraftTables(IReadOnlyList<DraftLine> lines) => _lines = lines;

    /// <summary>The tables, in order.</summary>
    public static IEnumerable<DraftTable> Find(IReadOnlyList<DraftLine> lines)
    {
        DraftTables tables = new(lines);
        for (int i = 0; i < lines.Count; i++)
        {
            if (tables.At(i) is { } table)
            {
                for (; i < table.End; i++)
                {
                    lines[i].Used = true;
                }

                i--;
                yield return table;
            }
        }
    }

    private DraftTable? At(int header)
    {
        DraftLine line = _lines[header];
        bool above = header + 2 < _lines.Count && DraftCells.IsRuler(_lines[header + 2].Text);
        if (line.Blank || line.Apart || above || header + 1 == _lines.Count || DraftCells.IsRuler(line.Text))
        {
            return null;
        }

        DraftLine? ruler = DraftCells.IsRuler(_lines[header + 1].Text) ? _lines[header + 1] : null;
        return Take(header, ruler, single: false) ?? (ruler is null ? Take(header, null, single: true) : null);
    }

    private DraftTable? Take(int header, DraftLine? ruler, bool single)
    {
        DraftLine line = _lines[header];
        IReadOnlyList<DraftCell> columns = DraftCells.Columns(line.Text, ruler?.Text, single);
        if (columns.Count == 0)
        {
            return null;
        }

        var table = new DraftTable(line, columns, line.Text.IndexOf('|') >= 0) { Ruler = ruler, Title = header > 0 && _lines[header - 1] is { Blank: false, Apart: false, Used: false } title ? title : null };
        int i = header + (ruler is null ? 1 : 2);
        for (; i < _lines.Count && !_lines[i].Ends; i++)
        {
            if (_lines[i].Pager || _lines[i].Text == line.Text || DraftCells.IsRuler(_lines[i].Text))
            {
                continue;
            }

            if (DraftCells.Row(_lines[i], columns, table.Piped) is not { } row)
            {
                break;
            }

            table.Rows.Add(row);
        }

        table.End = i;
        TakeFooter(table, i);
        return table.Rows.Count >= (ruler is null && !table.Piped ? 2 : 1) ? table : null;
    }

    // The line that stops the rows, with nothing behind it; or a last row that is none, since it counts the others and begins otherwise than they do.
    private void TakeFooter(DraftTable table, int stop)
    {
        if (!_lines[stop].Ends)
        {
            table.Footer = stop + 1 == _lines.Count || _lines[stop + 1].Ends ? _lines[stop] : null;
            table.End = table.Footer is null ? stop : stop + 1;
            return;
        }

        int before = table.Rows.Count - 1;
        if (before > 0 && Counts(table.Rows[before].Line, before) && table.Rows.Take(before).All(row => Shape(row) != Shape(table.Rows[before])))
        {
            table.Footer = table.Rows[before].Line;
            table.Rows.RemoveAt(before);
        }
    }

    private static bool Counts(DraftLine line, int rows) => line.Text.Split(' ').Contains(rows.ToString(CultureInfo.InvariantCulture));

    private static string Shape(DraftRow row) =>
        string.Concat(row.Cells[0].Text.Select(c => char.IsLetter(c) ? 'a' : char.IsDigit(c) ? '0' : c).Aggregate(string.Empty, (shape, c) => shape.Length > 0 && shape[shape.Length - 1] == c ? shape : shape + c));
}
