using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Takes lines apart into columns.</summary>
internal static class DraftCells
{
    private static readonly Regex RulerLine = new(@"^ *(?=.*([-=_~+*])\1\1)[-=_~+*| ]+$", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex Word = new(@"^[A-Za-z][A-Za-z0-9 ./()%#_\[\]-]{0,29}$", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex Runs = new(@"\S+", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex Apart = new(@"\S+(?: \S+)*", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>True for a line of signs beneath a header.</summary>
    public static bool IsRuler(string text) => RulerLine.IsMatch(text);

    /// <summary>The columns of a header: at least two, each a word or some; empty where it is none.</summary>
    /// <param name="text">The line.</param>
    /// <param name="ruler">The ruler beneath it, or null.</param>
    /// <param name="single">True where one blank parts two columns.</param>
    public static IReadOnlyList<DraftCell> Columns(string text, string? ruler, bool single)
    {
        DraftCell[] columns = text.IndexOf('|') >= 0 ? [.. Piped(text)]
            : ruler is not null && Runs.Matches(ruler).Count > 1 ? [.. UnderRuler(text, ruler)]
            : [.. Of(single ? Runs : Apart, text)];
        return columns.Length > 1 && columns.All(column => Word.IsMatch(column.Text) && (!single || column.Text.Length > 1)) && (ruler is not null || !text.Any(char.IsDigit)) ? columns : [];
    }

    /// <summary>The cells of a row, one for each column; null where the line is not aligned with them.</summary>
    public static DraftRow? Row(DraftLine line, IReadOnlyList<DraftCell> columns, bool piped)
    {
        DraftCell[]? cells = piped ? [.. Piped(line.Text)] : Aligned(line.Text, columns);
        return cells is null || cells.Length != columns.Count || line.Text.IndexOf('\t') >= 0 || cells.Count(cell => cell.Text.Length > 0) * 2 < columns.Count ? null : new DraftRow(line, cells);
    }

    // Each piece of the line stands over or under one column; one that stands in a gap belongs to the piece that one blank parts it from.
    private static DraftCell[]? Aligned(string text, IReadOnlyList<DraftCell> columns)
    {
        var cells = new DraftCell[columns.Count];
        int last = -1;
        foreach (DraftCell piece in Of(Runs, text))
        {
            int at = ColumnOf(piece, columns);
            bool follows = last >= 0 && piece.Start - cells[last].End == 1;
            if (at == -1 && follows && (last + 1 == columns.Count || piece.End < columns[last + 1].Start))
            {
                at = last;
            }

            if (at < 0 || at < last || (at == last && !follows))
            {
                return null;
            }

            int start = at == last ? cells[at].Start : piece.Start;
            cells[at] = new DraftCell(text.Substring(start, piece.End - start), start, piece.End);
            last = at;
        }

        return [.. cells.Select(cell => cell.Text is null ? new DraftCell(string.Empty, 0, 0) : cell)];
    }

    // -1 for none, -2 for two.
    private static int ColumnOf(DraftCell piece, IReadOnlyList<DraftCell> columns)
    {
        int found = -1;
        for (int i = 0; i < columns.Count; i++)
        {
            if (piece.Start < columns[i].End && piece.End > columns[i].Start)
            {
                if (found >= 0)
                {
                    return -2;
                }

                found = i;
            }
        }

        return found;
    }

    private static IEnumerable<DraftCell> Of(Regex pieces, string text)
    {
        foreach (Match match in pieces.Matches(text))
        {
            yield return new DraftCell(match.Value, match.Index, match.Index + match.Length);
        }
    }

    private static IEnumerable<DraftCell> UnderRuler(string text, string ruler)
    {
        DraftCell[] runs = [.. Of(Runs, ruler)];
        for (int i = 0; i < runs.Length; i++)
        {
            int start = Math.Min(runs[i].Start, text.Length);
            int end = i + 1 == runs.Length ? text.Length : Math.Min(runs[i + 1].Start, text.Length);
            yield return new DraftCell(text.Substring(start, end - start).Trim(), runs[i].Start, runs[i].End);
        }
    }

    private static IEnumerable<DraftCell> Piped(string text)
    {
        int start = 0;
        string[] parts = text.Split('|');
        for (int i = 0; i < parts.Length; i++)
        {
            bool outer = (i == 0 || i == parts.Length - 1) && parts[i].Trim().Length == 0;
            if (!outer)
            {
                yield return new DraftCell(parts[i].Trim(), start, start + parts[i].Length);
            }

            start += parts[i].Length + 1;
        }
    }
}
