namespace PoeOps.Report;

/// <summary>Writes the tables of a page.</summary>
internal static class TableWriter
{
    private const int MostRows = 5000;

    // More of a text than this is a screenful of one cell.
    private const int MostOfAText = 300;

    // From here on a browser draws the rows when they come near the screen.
    private const int Long = 100;

    private static readonly HashSet<string> BadStates = new(StringComparer.Ordinal)
    {
        "STILL DARK", "NOT KNOWN", "NO", "Not planned", ReportText.Of(UnitState.Failed), ReportText.Of(UnitState.Uncertain), ReportText.Of(UnitState.Degraded), ReportText.Of(UnitState.Refused), ReportText.Of(UnitState.Open), ReportText.Of(UnitState.Detached),
    };

    /// <summary>Writes a table with what stands over it.</summary>
    public static void Table(PageWriter page, ReportTable table, int most = MostRows)
    {
        Open(page, table);
        Rows(page, table, most);
        page.Close();
        page.Line();
    }

    /// <summary>Opens the section of a table.</summary>
    public static void Open(PageWriter page, ReportTable table)
    {
        page.Open("section", ("id", table.Anchor), ("aria-labelledby", table.Anchor + "-name"), ("class", PaperWidths.IsBroad(table.Columns.Count) ? "broad" : "slim"));
        page.Element("h2", table.Title, ("id", table.Anchor + "-name"));
    }

    /// <summary>Writes the rows, as many as may be, and says how many more there are.</summary>
    public static void Rows(PageWriter page, ReportTable table, int most = MostRows)
    {
        if (table.Rows.Count == 0)
        {
            page.Element("p", table.Empty);
            return;
        }

        int cut = table.Rows.Take(most).Sum(row => row.Count(cell => cell.Length > MostOfAText));
        Bare(page, table.Caption, table.Columns, [.. table.Rows.Take(most).Select(row => (IReadOnlyList<string>)[.. row.Select(cell => ReportText.ClipWords(cell, MostOfAText))])]);
        if (cut > 0)
        {
            page.Element("p", $"{ReportText.Count(cut, "text")} longer than {ReportText.Number(MostOfAText)} characters {(cut == 1 ? "is" : "are")} cut here; the report as Markdown or Json has all of {(cut == 1 ? "it" : "them")}.");
        }

        if (table.Rows.Count > most)
        {
            page.Element("p", $"{ReportText.Count(table.Rows.Count - most, "row")} more {(table.Rows.Count - most == 1 ? "is" : "are")} not listed here; the report as Markdown or Json has all.");
        }
    }

    /// <summary>Writes a table in a region of its own, which scrolls by itself where it is wider than the screen.</summary>
    public static void Bare(PageWriter page, string caption, IReadOnlyList<ReportColumn> columns, IReadOnlyList<IReadOnlyList<string>> rows)
    {
        page.Open("div", ("class", rows.Count > Long ? "wide long" : "wide"), ("tabindex", "0"), ("role", "region"), ("aria-label", caption));
        page.Open("table");
        page.Element("caption", caption);
        page.Open("thead");
        page.Open("tr");
        IReadOnlyList<int> widths = PaperWidths.Of(columns, rows);
        for (int i = 0; i < columns.Count; i++)
        {
            string style = (columns[i].IsNumber ? "n " : string.Empty) + PaperWidths.ClassOf(widths[i]);
            page.Element("th", columns[i].Name, [("scope", "col"), ("class", style)]);
        }

        page.Close();
        page.Close();
        page.Line();
        page.Open("tbody");
        foreach (IReadOnlyList<string> row in rows)
        {
            page.Open("tr");
            for (int i = 0; i < row.Count; i++)
            {
                Cell(page, columns[i], row[i], isFirst: i == 0);
            }

            page.Close();
            page.Line();
        }

        DialectPage.CloseTable(page);
    }

    /// <summary>True for a state that somebody must see.</summary>
    public static bool IsBad(string text) => BadStates.Contains(text);

    /// <summary>True for a digest.</summary>
    public static bool IsDigest(string text) => text.Length == 64 && text.All(Uri.IsHexDigit);

    private static void Cell(PageWriter page, ReportColumn column, string text, bool isFirst)
    {
        bool digest = !isFirst && IsDigest(text);
        string style = IsBad(text) ? "bad" : digest ? "digest" : column.IsNumber ? "n" : column.IsProse ? "prose" : string.Empty;
        List<(string, string)> attributes = isFirst ? [("scope", "row")] : [];
        if (style.Length > 0)
        {
            attributes.Add(("class", style));
        }

        page.Open(isFirst ? "th" : "td", [.. attributes]);
        if (digest)
        {
            page.Element("code", text);
        }
        else
        {
            page.Text(text);
        }

        page.Close();
    }
}
