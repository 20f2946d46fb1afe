using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the columns of a block of a dialect file: the words of the header, and what each of them fills.</summary>
internal static class ColumnsJson
{
    private const string Unwanted = "a property, null for a column that nobody wants, or an object with 'property' and 'align'";

    /// <summary>Reads the object <c>columns</c>; none where it is not there.</summary>
    public static IReadOnlyList<Column> Read(JsonObjectReader block, RecordKind kind)
    {
        List<Column> columns = [];
        if (block.Object("columns") is not { } given)
        {
            return columns;
        }

        foreach (string words in given.Keys)
        {
            Column column = given.Item(words) is { } item ? One(item, words, kind) : new Column(words, null, ColumnAlign.Left);
            Check(given, columns, column);
            columns.Add(column);
        }

        if (columns.All(column => column.Property is null))
        {
            block.Report(ProblemId.JsonBadValue, "columns", "No column fills a property.", "Give at least one column the name of a property.");
        }

        return columns;
    }

    // An empty text is as good as null, which a dialect that extends another takes for 'take away what was there'.
    private static Column One(JsonItem item, string words, RecordKind kind)
    {
        if (item.Text is { } name)
        {
            return new Column(words, name.Length == 0 ? null : Property(item, name, kind), ColumnAlign.Left);
        }

        if (item.Object is not { } given)
        {
            item.ReportKind(Unwanted);
            return new Column(words, null, ColumnAlign.Left);
        }

        string? property = given.Item("property") is { } named ? Property(named, given.Text("property"), kind) : null;
        var column = new Column(words, property, Align(given));
        given.Close();
        return column;
    }

    private static string? Property(JsonItem item, string? name, RecordKind kind)
    {
        if (name is not null)
        {
            BlockJson.CheckProperty(item, name, kind);
        }

        return name;
    }

    private static ColumnAlign Align(JsonObjectReader given)
    {
        string word = given.Text("align") ?? "left";
        if (word is not "left" and not "right")
        {
            given.Report(ProblemId.JsonBadValue, "align", $"Values stand left or right beneath their header, and '{Excerpt.Of(word)}' is neither.", "Write left or right.");
        }

        return word == "right" ? ColumnAlign.Right : ColumnAlign.Left;
    }

    private static void Check(JsonObjectReader given, List<Column> before, Column column)
    {
        if (column.Header.Trim().Length == 0 || column.Header.Trim() != column.Header)
        {
            given.Report(ProblemId.JsonBadValue, column.Header, $"'{Excerpt.Of(column.Header)}' cannot be the words of a column, for spaces stand around them.", "Write the words as the header prints them, without the spaces around.");
        }

        if (column.Property is not null && before.Any(other => other.Property == column.Property))
        {
            given.Report(ProblemId.JsonBadValue, column.Header, $"Two columns fill {Excerpt.Of(column.Property)}.", "Let one column fill it, and give the other null.");
        }
    }
}
