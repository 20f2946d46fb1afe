using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Holds the first row of a list of switches against the columns that such a list has.</summary>
/// <param name="rows">All rows, the header first.</param>
/// <param name="report">Reports a mistake of the header: the sentence and the advice.</param>
/// <param name="remarks">Where columns are told that are not read.</param>
internal sealed class EstateCsvHeader(IReadOnlyList<CsvRow> rows, Action<string, string> report, List<string> remarks)
{
    private static readonly string[] Required = ["Site", "Zone", "Switch", "Address", "Link", "Dialect"];
    private static readonly string[] Columns = ["Site", "Zone", "Switch", "Address", "Port", "Link", "Dialect", "Credential", "ClearText"];

    private readonly string[] _names = [.. rows[0].Fields.Select(field => field.Trim())];

    /// <summary>Reports what is wrong with the header, and remarks on what it has beside the columns that are read; false where anything is wrong.</summary>
    public bool Fits()
    {
        string[] unknown = [.. _names.Where(name => name.Length > 0 && !Has(Columns, name))];
        string[] mistyped = [.. unknown.Where(name => Nearest.HintIfNear(name, Missing(Columns)).Length > 0)];
        string[] taken = [.. mistyped.Select(name => Nearest.To(name, Missing(Columns))!)];
        string[] missing = [.. Missing(Required).Where(name => !Has(taken, name))];
        string[] others = [.. unknown.Where(name => !mistyped.Contains(name))];
        string[] twice = [.. _names.Where(name => name.Length > 0).GroupBy(name => name, StringComparer.OrdinalIgnoreCase).Where(group => group.Count() > 1).Select(group => group.Key)];
        if (missing.Length > 0)
        {
            string there = others.Length == 0 ? string.Empty : $"; not known are {Listed(others)}";
            report($"{Named(missing)} missing{there}.", $"Let the first row name the columns {string.Join(", ", Required)}, and where wanted Port, Credential and ClearText; Get-Help about_PoeOps_Estate shows how to give the columns of a list other names.");
        }

        foreach (string name in mistyped)
        {
            report($"The column '{Excerpt.Of(name)}' is not known here{Nearest.HintIfNear(name, Missing(Columns))}.", $"The columns known here are {string.Join(", ", Columns)}.");
        }

        foreach (string name in twice)
        {
            report($"The column '{Excerpt.Of(name)}' stands twice.", "Keep one of them.");
        }

        Remark(others);
        return missing.Length + mistyped.Length + twice.Length == 0;
    }

    private void Remark(string[] others)
    {
        if (others.Length > 0)
        {
            remarks.Add($"{Named(others)} not known in a list of switches and {(others.Length == 1 ? "was" : "were")} not read.");
        }

        int[] nameless = [.. Enumerable.Range(0, _names.Length).Where(column => _names[column].Length == 0 && rows.Skip(1).Any(row => row.Fields.Count > column && !string.IsNullOrWhiteSpace(row.Fields[column])))];
        foreach (int column in nameless)
        {
            remarks.Add($"Column {(column + 1).ToString(CultureInfo.InvariantCulture)} has no name and was not read.");
        }
    }

    private IEnumerable<string> Missing(IEnumerable<string> columns) => columns.Where(column => !Has(_names, column));

    private static string Named(string[] names) => names.Length == 1 ? $"The column {Listed(names)} is" : $"The columns {Listed(names)} are";

    private static string Listed(string[] names)
    {
        string[] quoted = [.. names.Select(name => $"'{Excerpt.Of(name)}'")];
        return quoted.Length == 1 ? quoted[0] : $"{string.Join(", ", quoted.Take(quoted.Length - 1))} and {quoted[quoted.Length - 1]}";
    }

    private static bool Has(IEnumerable<string> columns, string column) => columns.Contains(column, StringComparer.OrdinalIgnoreCase);
}
