using System.Text;

namespace PoeOps.Files;

/// <summary>Takes comma-separated text apart (RFC 4180): fields in double quotes may hold commas, line ends and doubled quotes; lines end with LF or CR LF.</summary>
internal static class CsvText
{
    /// <summary>The rows, each with the line on which it begins; lines with nothing in them are left out.</summary>
    /// <param name="text">The whole text.</param>
    /// <param name="wrong">The line and the reason where the text is no CSV, else null; rows before it are returned.</param>
    public static IReadOnlyList<CsvRow> Rows(string text, out (int Line, string Reason)? wrong)
    {
        List<CsvRow> rows = [];
        int at = 0, line = 1;
        wrong = null;
        while (at < text.Length && wrong is null)
        {
            int first = line;
            List<string> fields = [];
            do
            {
                wrong = Field(text, ref at, ref line, out string field) is { } reason ? (line, reason) : null;
                fields.Add(field);
            }
            while (wrong is null && at < text.Length && text[at++] == ',');

            line++;
            if (wrong is null && (fields.Count > 1 || fields[0].Length > 0))
            {
                rows.Add(new CsvRow(first, fields));
            }
        }

        return rows;
    }

    // Ends on the comma or LF behind the field, or at the end of the text.
    private static string? Field(string text, ref int at, ref int line, out string field)
    {
        field = string.Empty;
        if (at < text.Length && text[at] == '"')
        {
            return Quoted(text, ref at, ref line, out field);
        }

        int end = at;
        while (end < text.Length && text[end] is not (',' or '\n'))
        {
            if (text[end] == '"')
            {
                return "a double quote stands inside a field that does not begin with one";
            }

            end++;
        }

        field = text.Substring(at, end - at).TrimEnd('\r');
        at = end;
        return null;
    }

    private static string? Quoted(string text, ref int at, ref int line, out string field)
    {
        var taken = new StringBuilder();
        field = string.Empty;
        for (at++; at < text.Length; at++)
        {
            if (text[at] == '"' && (at + 1 == text.Length || text[at + 1] != '"'))
            {
                at += at + 1 < text.Length && text[at + 1] == '\r' ? 2 : 1;
                field = taken.ToString();
                return at == text.Length || text[at] is ',' or '\n' ? null : "something stands between the closing double quote of a field and the next comma";
            }

            at += text[at] == '"' ? 1 : 0;
            line += text[at] == '\n' ? 1 : 0;
            taken.Append(text[at]);
        }

        return "a field that begins with a double quote has no closing one";
    }
}

/// <summary>One row of comma-separated text.</summary>
/// <param name="Line">The line on which it begins; the first is 1.</param>
/// <param name="Fields">The fields as they stand, without quotes.</param>
internal sealed record CsvRow(int Line, IReadOnlyList<string> Fields);
