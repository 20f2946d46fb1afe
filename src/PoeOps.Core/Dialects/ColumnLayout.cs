using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Where the columns of a table stand, as found from the header that was just printed.</summary>
internal sealed class ColumnLayout
{
    private readonly List<PlacedColumn> _columns;

    private ColumnLayout(List<PlacedColumn> columns) => _columns = columns;

    /// <summary>The columns from left to right.</summary>
    public IReadOnlyList<PlacedColumn> Columns => _columns;

    /// <summary>Finds the columns in a header.</summary>
    /// <param name="columns">The columns of the block.</param>
    /// <param name="header">The header's text.</param>
    /// <param name="wrong">Why they cannot be told, as the end of a sentence about the header; else null.</param>
    /// <param name="missing">True where a column is not there.</param>
    /// <returns>The layout, or null.</returns>
    public static ColumnLayout? Find(IReadOnlyList<Column> columns, string header, out string? wrong, out bool missing)
    {
        List<PlacedColumn> placed = [];
        missing = false;

        // The longest first: 'Power' stands within 'Power limit' as well.
        foreach (Column column in columns.OrderByDescending(column => column.Header.Length))
        {
            List<int> places = Places(column.Header, header, placed);
            if (places.Count != 1)
            {
                missing = places.Count == 0;
                wrong = missing ? $"has no column '{Excerpt.Of(column.Header)}'" : $"has the column '{Excerpt.Of(column.Header)}' more than once";
                return null;
            }

            placed.Add(new PlacedColumn(column, places[0], places[0] + column.Header.Length));
        }

        placed.Sort((one, other) => one.Start.CompareTo(other.Start));
        wrong = Leftover(header, placed) is { } word ? $"holds '{Excerpt.Of(word)}', which is none of its columns" : null;
        return wrong is null ? new ColumnLayout(placed) : null;
    }

    // Where the words stand by themselves, outside of those that have been found.
    private static List<int> Places(string words, string header, List<PlacedColumn> taken)
    {
        List<int> places = [];
        for (int at = header.IndexOf(words, StringComparison.Ordinal); at >= 0; at = header.IndexOf(words, at + 1, StringComparison.Ordinal))
        {
            int end = at + words.Length;
            bool alone = (at == 0 || header[at - 1] == ' ') && (end == header.Length || header[end] == ' ');
            if (alone && taken.TrueForAll(other => end <= other.Start || at >= other.End))
            {
                places.Add(at);
            }
        }

        return places;
    }

    private static string? Leftover(string header, List<PlacedColumn> placed)
    {
        char[] rest = header.ToCharArray();
        foreach (PlacedColumn column in placed)
        {
            for (int i = column.Start; i < column.End; i++)
            {
                rest[i] = ' ';
            }
        }

        string left = new string(rest).Trim(' ');
        int end = left.IndexOf("  ", StringComparison.Ordinal);
        return left.Length == 0 ? null : end < 0 ? left : left.Substring(0, end);
    }
}

/// <summary>A column and where the words of its header stand.</summary>
/// <param name="Column">The column.</param>
/// <param name="Start">The place of the first character; the first of a line is 0.</param>
/// <param name="End">The place behind the last.</param>
internal sealed record PlacedColumn(Column Column, int Start, int End)
{
    /// <summary>True where values end with the header.</summary>
    public bool IsRight => Column.Align == ColumnAlign.Right;
}
