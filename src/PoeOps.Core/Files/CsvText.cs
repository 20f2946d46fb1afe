using System.Text;

namespace PoeOps.Files;

/// <summary>
/// Takes comma-separated text apart (RFC 4180): fields in double quotes may hold commas, line ends and doubled quotes; lines end with LF or CR LF. Spreadsheets
/// write semicolons in countries where the comma stands in numbers, and tabs: whichever its first line has most of stands between the fields.
/// </summary>
internal static class CsvText
{
    private const string TypeLine = "#TYPE ";

    private static readonly (char Mark, string Name)[] Separators = [(',', "comma"), (';', "semicolon"), ('\t', "tab")];

    /// <summary>What stands between the fields: of comma, semicolon and tab the one that the first line with content has most of outside double quotes, the first of equals.</summary>
    /// <param name="text">The whole text.</param>
    public static char SeparatorOf(string text)
    {
        string header = text.Split('\n').FirstOrDefault(line => line.Trim().Length > 0 && !IsTypeLine(line)) ?? string.Empty;
        string outside = string.Concat(header.Split('"').Where((_, part) => part % 2 == 0));
        return Separators.OrderByDescending(separator => outside.Count(c => c == separator.Mark)).First().Mark;
    }

    /// <summary>What a separator is called.</summary>
    /// <param name="separator">Comma, semicolon or tab.</param>
    public static string NameOf(char separator) => Separators.First(one => one.Mark == separator).Name;

    /// <summary>The rows, each with the line on which it begins; lines with nothing in them are left out, and so are rows all of whose fields are blank, and the line of a type that Export-Csv writes first.</summary>
    /// <param name="text">The whole text.</param>
    /// <param name="separator">What stands between the fields.</param>
    /// <param name="wrong">The line and the reason where the text is no CSV, else null; rows before it are returned.</param>
    public static IReadOnlyList<CsvRow> Rows(string text, char separator, out (int Line, string Reason)? wrong)
    {
        List<CsvRow> rows = [];
        int line = IsTypeLine(text) ? 2 : 1;
        int at = line == 1 ? 0 : text.IndexOf('\n') + 1;
        at = line == 2 && at == 0 ? text.Length : at;
        wrong = null;
        while (at < text.Length && wrong is null)
        {
            int first = line;
            List<string> fields = [];
            do
            {
                wrong = Field(text, separator, ref at, ref line, out string field) is { } reason ? (line, reason) : null;
                fields.Add(field);
            }
            while (wrong is null && at < text.Length && text[at++] == separator);

            line++;
            if (wrong is null && fields.Exists(field => !string.IsNullOrWhiteSpace(field)))
            {
                rows.Add(new CsvRow(first, fields));
            }
        }

        return rows;
    }

    // Ends on the separator or LF behind the field, or at the end of the text.
    private static string? Field(string text, char separator, ref int at, ref int line, out string field)
    {
        field = string.Empty;
        if (at < text.Length && text[at] == '"')
        {
            return Quoted(text, separator, ref at, ref line, out field);
        }

        int end = at;
        while (end < text.Length && text[end] != separator && text[end] != '\n')
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

    private static string? Quoted(string text, char separator, ref int at, ref int line, out string field)
    {
        var taken = new StringBuilder();
        field = string.Empty;
        for (at++; at < text.Length; at++)
        {
            if (text[at] == '"' && (at + 1 == text.Length || text[at + 1] != '"'))
            {
                at += at + 1 < text.Length && text[at + 1] == '\r' ? 2 : 1;
                field = taken.ToString();
                return at == text.Length || text[at] == separator || text[at] == '\n' ? null : $"something stands between the closing double quote of a field and the next {NameOf(separator)}";
            }

            at += text[at] == '"' ? 1 : 0;
            line += text[at] == '\n' ? 1 : 0;
            taken.Append(text[at]);
        }

        return "a field that begins with a double quote has no closing one";
    }

    private static bool IsTypeLine(string text) => text.StartsWith(TypeLine, StringComparison.Ordinal);
}

/// <summary>One row of comma-separated text.</summary>
/// <param name="Line">The line on which it begins; the first is 1.</param>
/// <param name="Fields">The fields as they stand, without quotes.</param>
internal sealed record CsvRow(int Line, IReadOnlyList<string> Fields);
