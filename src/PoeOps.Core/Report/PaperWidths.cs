namespace PoeOps.Report;

/// <summary>
/// How wide the columns of a table are on paper: each as wide as its longest word, and what is left goes to those with long texts. In parts of the table's
/// width, so that a table never leaves the sheet, and words are broken only where they do not fit beside each other.
/// </summary>
internal static class PaperWidths
{
    /// <summary>Widths are told in parts of so many.</summary>
    public const int Parts = 200;

    // A4 less its margins, 182 mm upright and 273 mm across, in pixels of 1/96 inch; a letter is 7 points high.
    private const double Upright = 688;
    private const double Across = 1032;
    private const double Em = 7 * 96 / 72.0;

    // What stands beside a word in its cell, and what is lost where a width is cut to whole parts.
    private const double Padding = 6.4 + 4;
    private const double Bold = 1.2;
    private const double Sign = 1.4;
    private const double Digest = 14 * Em;
    private const double Least = 5 * Em;
    private const double MostWanted = 45 * Em;
    private const int Looked = 400;

    /// <summary>True for a table that is printed across.</summary>
    public static bool IsBroad(int columns) => columns > 12;

    /// <summary>The class of a width.</summary>
    public static string ClassOf(int parts) => FormattableString.Invariant($"w{parts}");

    /// <summary>The rules of all widths.</summary>
    public static string Rules => string.Concat(Enumerable.Range(1, Parts).Select(parts => FormattableString.Invariant($"\n  .w{parts} {{ width: {parts * 100.0 / Parts}%; }}")));

    /// <summary>The widths of columns, in parts.</summary>
    public static IReadOnlyList<int> Of(IReadOnlyList<ReportColumn> columns, IReadOnlyList<IReadOnlyList<string>> rows)
    {
        double page = IsBroad(columns.Count) ? Across : Upright;
        double[] needed = new double[columns.Count];
        double[] wanted = new double[columns.Count];
        for (int i = 0; i < columns.Count; i++)
        {
            needed[i] = Word(columns[i].Name) * Bold;
            wanted[i] = needed[i];
            foreach (IReadOnlyList<string> row in rows.Take(Looked))
            {
                needed[i] = Math.Max(needed[i], Needed(row[i]));
                wanted[i] = Math.Max(wanted[i], Math.Min(MostWanted, Width(row[i])));
            }

            needed[i] += Padding;
            wanted[i] = Math.Max(needed[i], wanted[i] + Padding);
        }

        Shrink(needed, page);
        double left = page - needed.Sum();
        double more = Math.Max(1, wanted.Sum() - needed.Sum());
        double[] widths = [.. needed.Select((width, at) => width + (left * (wanted[at] - width) / more))];
        double all = Math.Max(1, widths.Sum());
        return [.. widths.Select(width => Math.Max(1, Math.Min(Parts, (int)Math.Floor(width / all * Parts))))];
    }

    // The longest words give way, one column after the other, until all fit.
    private static void Shrink(double[] needed, double page)
    {
        while (needed.Sum() > page && needed.Max() > Least + Padding)
        {
            int widest = Array.IndexOf(needed, needed.Max());
            needed[widest] = Math.Max(Least + Padding, needed[widest] - Math.Max(1, needed.Sum() - page));
        }
    }

    private static double Needed(string text) => TableWriter.IsDigest(text) ? Digest : TableWriter.IsBad(text) ? (Word(text) * Bold) + (Sign * Em) : Word(text);

    private static double Word(string text) => text.Split(' ').Max(Width);

    private static double Width(string text) => text.Sum(Letter) * Em;

    // Parts of the height, of a broad face with serifs.
    private static double Letter(char c) => c switch
    {
        >= '0' and <= '9' => 0.64,
        'i' or 'j' or 'l' or '.' or ',' or ':' or ';' or '|' or '!' or '/' or '(' or ')' or '-' or ' ' or '\'' => 0.4,
        'm' or 'w' or 'W' or 'M' or '@' or '%' => 1.05,
        >= 'a' and <= 'z' => 0.62,
        >= 'A' and <= 'Z' => 0.8,
        < '\u007f' => 0.66,
        _ => 1.05,
    };
}
