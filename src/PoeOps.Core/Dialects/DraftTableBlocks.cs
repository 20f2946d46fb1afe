using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Makes a block of the tables that have the same header.</summary>
internal static class DraftTableBlocks
{
    private static readonly Regex Number = new(@"(?<![\w.])\d+(?![\w.])", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>The blocks, in the order of their first tables.</summary>
    public static IEnumerable<DraftBlock> Of(IEnumerable<DraftTable> tables)
    {
        foreach (IGrouping<string, DraftTable> alike in tables.GroupBy(table => table.Words, StringComparer.Ordinal).ToList())
        {
            List<DraftTable> all = [.. alike];
            if (Shape(all, exact: false) is { } shape)
            {
                yield return Make(all, shape, exact: false);
                continue;
            }

            // Where cells are blank, only their places tell them apart, and these hold for one spacing of the header.
            foreach (IGrouping<string, DraftTable> same in all.GroupBy(table => table.Header.Text.TrimEnd(), StringComparer.Ordinal))
            {
                List<DraftTable> spaced = [.. same];
                if (Shape(spaced, exact: true) is { } places)
                {
                    yield return Make(spaced, places, exact: true);
                }
                else
                {
                    Free(spaced);
                }
            }
        }
    }

    // Columns that cannot be told apart are no table; something else may make sense of the lines.
    private static void Free(List<DraftTable> tables)
    {
        foreach (DraftLine line in tables.SelectMany(table => table.Rows.Select(row => row.Line).Concat([table.Header, table.Ruler ?? table.Header, table.Footer ?? table.Header])))
        {
            line.Used = false;
        }
    }

    private static DraftBlock Make(List<DraftTable> tables, (string[] Cells, string Between) shape, bool exact)
    {
        DraftTable first = tables[0];
        string[] names = [.. first.Columns.Select(column => column.Text)];
        RecordKind? kind = DraftWords.KindOf(names);
        DraftBlock block = new() { Kind = kind, Ruler = Ruler(tables) };
        block.Fields.AddRange(names.Select(name => new DraftField(name, kind is { } known ? DraftWords.Property(known, name) : null)));
        int rows = tables.Sum(table => table.Rows.Count);
        block.Why = FormattableString.Invariant($"a table of {rows} rows, found {tables.Count} times under this header, first in {first.Header.Where}");
        string open = first.Piped && first.Header.Text.TrimStart()[0] == '|' ? @" *\|" : exact || first.Piped ? string.Empty : " *";
        string close = first.Piped && first.Header.Text.TrimEnd().EndsWith("|", StringComparison.Ordinal) ? @"\|" : string.Empty;
        string words = string.Join(first.Piped ? @" *\| *" : shape.Between, names.Select(name => DraftPattern.Loose(name).Substring(2)));
        block.Begins = () => exact ? DraftPattern.Exact(first.Header.Text.TrimEnd()) : $"{open}{(first.Piped ? " *" : string.Empty)}{words}{(first.Piped ? " *" : string.Empty)}{close}";
        DraftField[] columns = [.. block.Fields];
        block.Rows = () => [open + string.Join(shape.Between, columns.Select((field, i) => DraftPattern.Group(field.Property, shape.Cells[i]))) + close];
        foreach (DraftRow row in tables.SelectMany(table => table.Rows))
        {
            Take(block, row);
        }

        TakeTitle(block, tables);

        TakeEnds(block, tables);
        return block;
    }

    private static void Take(DraftBlock block, DraftRow row)
    {
        for (int i = 0; i < row.Cells.Count; i++)
        {
            block.Fields[i].See(row.Cells[i].Text);
        }

        DraftField[] columns = [.. block.Fields];
        block.Expected.Add((row.Line, () => string.Join("; ", columns.Select((field, i) => (field.Property, row.Cells[i].Text)).Where(one => one.Property is not null).Select(one => $"{one.Property}={one.Text}"))));
    }

    // A line before the header that names the unit hands it down to rows that do not.
    private static void TakeTitle(DraftBlock block, List<DraftTable> tables)
    {
        DraftPhrase[] titles = [.. tables.Select(table => table.Title).OfType<DraftLine>().Select(title => new DraftPhrase(title.Text))];
        bool alike = titles.Length == tables.Count && titles.Select(title => title.Shape).Distinct(StringComparer.Ordinal).Count() == 1 && titles[0].Keys.Count == 1;
        if (!alike || block.Kind != RecordKind.Port || block.Fields.Exists(field => field.Property == "Unit") || DraftWords.Property(RecordKind.Port, titles[0].Keys[0].Before) != "Unit")
        {
            return;
        }

        DraftField unit = new(titles[0].Keys[0].Before, "Unit") { Reason = "by the word before it in the line above the header" };
        foreach (DraftPhrase title in titles)
        {
            unit.See(title.Keys[0].Word);
        }

        foreach (DraftTable table in tables)
        {
            table.Title!.Used = true;
        }

        block.Header = block.Begins();
        block.Begins = () => titles[0].Pattern([unit.Property]);
        block.Fields.Insert(0, unit);
    }

    // What each cell is, and what stands between two; null where the tables have no such pattern in common.
    private static (string[] Cells, string Between)? Shape(List<DraftTable> tables, bool exact)
    {
        if (tables[0].Piped)
        {
            return exact ? null : ([.. tables[0].Columns.Select(_ => "[^|]*")], @"\|");
        }

        List<DraftRow> rows = [.. tables.SelectMany(table => table.Rows)];
        if (exact)
        {
            return Places(tables[0].Columns, rows);
        }

        if (rows.Exists(row => row.Filled < row.Cells.Count))
        {
            return null;
        }

        bool wide = rows.TrueForAll(row => row.LeastGap > 1);
        bool[] spaced = [.. tables[0].Columns.Select((_, i) => rows.Exists(row => row.Cells[i].Text.IndexOf(' ') >= 0))];
        return spaced.Contains(true) && !wide ? null : ([.. spaced.Select(one => one ? @"\S+(?: \S+)*" : @"\S+")], wide ? "  +" : " +");
    }

    // A place ends in a blank, and is taken whole or not at all: a value that is too wide is not cut.
    private static (string[] Cells, string Between)? Places(IReadOnlyList<DraftCell> columns, List<DraftRow> rows)
    {
        int[] starts = [.. columns.Select((column, i) => Math.Min(column.Start, rows.Where(row => row.Cells[i].Text.Length > 0).Select(row => row.Cells[i].Start).DefaultIfEmpty(column.Start).Min()))];
        int[] ends = [.. columns.Select((column, i) => Math.Max(column.End, rows.Select(row => row.Cells[i].End).Max()))];
        for (int i = 1; i < starts.Length; i++)
        {
            if (ends[i - 1] >= starts[i])
            {
                return null;
            }
        }

        starts[0] = 0;
        return ([.. starts.Select((start, i) => i + 1 == starts.Length ? ".*" : FormattableString.Invariant($"(?>.{{0,{starts[i + 1] - start - 1}}})"))], "(?: |$)");
    }

    private static string? Ruler(List<DraftTable> tables)
    {
        string? ruler = tables.Select(table => table.Ruler?.Text.Trim()).FirstOrDefault(text => text is not null);
        if (ruler is null)
        {
            return null;
        }

        string signs = string.Concat(ruler.Where(c => c != ' ').Distinct().OrderBy(c => c == '-' ? 1 : 0));
        return $"(?=.*[{signs}]{{3}})[ {signs}]+";
    }

    private static void TakeEnds(DraftBlock block, List<DraftTable> tables)
    {
        List<DraftTable> ended = [.. tables.Where(table => table.Footer is not null)];
        if (ended.Count == 0)
        {
            return;
        }

        bool counted = ended.TrueForAll(table => Counted(table) is not null);
        string plain = " *" + Number.Replace(DraftPattern.Exact(ended[0].Footer!.Text.Trim()), @"\d+");
        block.Ends.AddRange((counted ? new[] { Counted(ended[0])!, plain } : [plain]).Where(end => !FitsRow(end, tables)));
        block.EndsWhy = FormattableString.Invariant($"behind {ended.Count} of {tables.Count} stands such a line{(counted ? ", which says how many rows there were" : string.Empty)}, first in {ended[0].Footer!.Where}");
    }

    // An end that would pass for a row is none.
    private static bool FitsRow(string end, List<DraftTable> tables)
    {
        Regex pattern = new($@"^(?:{end})\s*$", RegexOptions.CultureInvariant, OwnPattern.Longest);
        return tables.SelectMany(table => table.Rows).Any(row => pattern.IsMatch(row.Line.Text));
    }

    // The number of rows in the last line, and the word behind it in singular and plural.
    private static string? Counted(DraftTable table)
    {
        string text = DraftPattern.Exact(table.Footer!.Text.Trim());
        Match? number = Number.Matches(text).Cast<Match>().FirstOrDefault(match => match.Value == table.Rows.Count.ToString(CultureInfo.InvariantCulture));
        if (number is null)
        {
            return null;
        }

        string behind = Regex.Replace(text.Substring(number.Index + number.Length), @"^( [A-Za-z]+?)s?(?![A-Za-z])", "$1s?", RegexOptions.CultureInvariant, OwnPattern.Longest);
        return " *" + text.Substring(0, number.Index) + @"(?<Count>\d+)" + behind;
    }
}
