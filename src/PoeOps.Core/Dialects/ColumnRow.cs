using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>
/// Cuts a line at the columns of its header. Each value must begin or end exactly where its header does, with a space between it and the next, so
/// that a line that was shifted, or holds a value too wide for its column, is never cut in the wrong place.
/// </summary>
internal sealed class ColumnRow
{
    private readonly ColumnLayout _layout;
    private readonly string _text;
    private readonly List<string> _cells = [];

    private ColumnRow(ColumnLayout layout, string text)
    {
        _layout = layout;
        _text = text;
    }

    /// <summary>Cuts a line.</summary>
    /// <param name="layout">Where the columns stand.</param>
    /// <param name="text">The line.</param>
    /// <param name="wrong">Why it cannot be cut, as a whole sentence; else null.</param>
    /// <returns>The cells in the order of the layout, each without the spaces around it; or null.</returns>
    public static IReadOnlyList<string>? Cut(ColumnLayout layout, string text, out string? wrong)
    {
        var row = new ColumnRow(layout, text);
        wrong = text.IndexOf('\t') >= 0 ? "The line holds a tab, so that nobody can tell in which column its values stand." : row.Cut();
        return wrong is null ? row._cells : null;
    }

    private string? Cut()
    {
        IReadOnlyList<PlacedColumn> columns = _layout.Columns;
        int start = columns[0].IsRight ? 0 : columns[0].Start;
        if (FirstIn(0, start) is >= 0 and int before)
        {
            return $"'{WordAt(before)}' stands before the first column, '{columns[0].Column.Header}'.";
        }

        for (int i = 0; i < columns.Count; i++)
        {
            int end, next;
            if (i == columns.Count - 1)
            {
                end = columns[i].IsRight ? columns[i].End : Math.Max(_text.Length, start);
                next = Math.Max(_text.Length, end);
            }
            else if (Boundary(columns[i], columns[i + 1], start, out end, out next) is { } unclear)
            {
                return unclear;
            }

            if (Take(columns, i, start, end, next) is { } wrong)
            {
                return wrong;
            }

            start = next;
        }

        return null;
    }

    private string? Take(IReadOnlyList<PlacedColumn> columns, int i, int start, int end, int next)
    {
        PlacedColumn column = columns[i];
        if (FirstIn(end, next) is >= 0 and int between)
        {
            return i == columns.Count - 1
                ? $"'{WordAt(between)}' stands behind the last column, '{column.Column.Header}'."
                : $"'{WordAt(between)}' stands across the columns '{column.Column.Header}' and '{columns[i + 1].Column.Header}'.";
        }

        string cell = Part(start, end);
        if (cell.Length > 0 && !IsFilled(column.IsRight ? end - 1 : start))
        {
            string place = (column.IsRight ? end : start + 1).ToString(CultureInfo.InvariantCulture);
            return $"'{Excerpt.Of(cell)}' does not {(column.IsRight ? "end" : "begin")} where the column '{column.Column.Header}' does, at character {place}.";
        }

        _cells.Add(cell);
        return null;
    }

    // Where a column ends and the next begins; between the two there must be nothing.
    private string? Boundary(PlacedColumn one, PlacedColumn other, int start, out int end, out int next)
    {
        (end, next) = (one.IsRight, other.IsRight) switch
        {
            (true, false) => (one.End, other.Start),
            (true, true) => (one.End, one.End + 1),
            _ => (other.Start - 1, other.Start),
        };
        if (one.IsRight || !other.IsRight)
        {
            return null;
        }

        if (!IsFilled(start))
        {
            (end, next) = (one.End, one.End + 1);
            return null;
        }

        return IsFilled(other.End - 1) ? Between(one, other, start, ref end, ref next) : null;
    }

    // Both grow into the space between their headers: the one gap between them must be there, or be the only one that is wider than a single space.
    private string? Between(PlacedColumn one, PlacedColumn other, int start, ref int end, ref int next)
    {
        List<(int From, int To)> gaps = [];
        for (int at = start + 1; at < other.End; at++)
        {
            if (!IsFilled(at))
            {
                int from = at;
                at += Enumerable.Range(at, other.End - at).TakeWhile(place => !IsFilled(place)).Count();
                gaps.Add((from, at));
            }
        }

        (int From, int To)[] clear = gaps.Count == 1 ? [gaps[0]] : [.. gaps.Where(gap => gap.To - gap.From > 1)];
        if (clear.Length != 1 || clear[0].From >= other.Start || clear[0].To <= one.End)
        {
            return $"'{Excerpt.Of(Part(start, other.End))}' stands across the columns '{one.Column.Header}' and '{other.Column.Header}'.";
        }

        (end, next) = clear[0];
        return null;
    }

    private bool IsFilled(int at) => at >= 0 && at < _text.Length && _text[at] != ' ';

    private int FirstIn(int from, int to)
    {
        for (int at = from; at < to; at++)
        {
            if (IsFilled(at))
            {
                return at;
            }
        }

        return -1;
    }

    private string Part(int from, int to) => from >= _text.Length ? string.Empty : _text.Substring(from, Math.Min(to, _text.Length) - from).Trim(' ');

    private string WordAt(int at)
    {
        int from = _text.LastIndexOf(' ', at) + 1;
        int to = _text.IndexOf(' ', at);
        return Excerpt.Of(_text.Substring(from, (to < 0 ? _text.Length : to) - from));
    }
}
