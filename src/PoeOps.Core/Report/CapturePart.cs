using PoeOps.Dialects;

namespace PoeOps.Report;

/// <summary>The part of a page that shows one capture, line by line.</summary>
internal sealed class CapturePart
{
    private readonly ShownLines _shown;
    private readonly HashSet<int> _shownNumbers;

    private CapturePart(string file, string name, string anchor, ShownLines shown)
    {
        File = file;
        Name = name;
        Anchor = anchor;
        _shown = shown;
        _shownNumbers = [.. LinesShown.Select(line => line.Line)];
        Unread = [.. shown.Lines.Where(line => line.ReadAs == ReadAs.Unread)];
    }

    /// <summary>The file, as it was given.</summary>
    public string File { get; }

    /// <summary>What the page calls it: its name without the folder, where no other capture has that name.</summary>
    public string Name { get; }

    /// <summary>Its place on the page.</summary>
    public string Anchor { get; }

    /// <summary>Its lines that nobody reads.</summary>
    public IReadOnlyList<LineReading> Unread { get; }

    /// <summary>Its lines that the page shows.</summary>
    public IEnumerable<LineReading> LinesShown => _shown.Lines.Where((_, at) => _shown.Shown[at]);

    /// <summary>How it was read, in a few words.</summary>
    public string InWords =>
        _shown.Lines.Count == 0 ? "no lines, see its problem"
        : $"{DialectPage.Count(_shown.Lines.Count, "line")}, {(Unread.Count == 0 ? "all read" : $"{DialectPage.Number(Unread.Count)} unread")}";

    /// <summary>Makes the parts of all captures in the order of their lines; behind them those that gave none, which a problem tells of.</summary>
    /// <param name="reading">What was read.</param>
    /// <param name="dialectFile">The file of the dialect, which problems name as well and which is no capture.</param>
    public static IReadOnlyList<CapturePart> Of(CoverageReading reading, string dialectFile)
    {
        ILookup<string?, int> problems = reading.Problems.Where(problem => problem.Line is not null).ToLookup(problem => problem.File, problem => problem.Line!.Value);
        List<(string File, int Time, IReadOnlyList<LineReading> Lines)> captures = [.. Captures(reading.Lines)];
        HashSet<string> known = new(captures.Select(capture => capture.File).Append(dialectFile), StringComparer.Ordinal);
        captures.AddRange(reading.Problems.Select(problem => problem.File).OfType<string>().Where(known.Add).Select(file => (file, 1, (IReadOnlyList<LineReading>)[])));
        int most = PageRoom.Of([.. captures.Select(capture => capture.Lines.Count)]);
        ILookup<string, string> folders = known.ToLookup(file => Path.GetFileName(file), StringComparer.Ordinal);
        return
        [
            .. captures.Select((capture, at) => new CapturePart(
                capture.File,
                (folders[Path.GetFileName(capture.File)].Skip(1).Any() ? capture.File : Path.GetFileName(capture.File)) + (capture.Time > 1 ? $" (time {DialectPage.Number(capture.Time)})" : string.Empty),
                FormattableString.Invariant($"c{at + 1}"),
                ShownLines.Of(capture.Lines, new HashSet<int>(problems[capture.File]), most))),
        ];
    }

    // A file that was given twice was read twice, and each time has a part of its own.
    private static IEnumerable<(string File, int Time, IReadOnlyList<LineReading> Lines)> Captures(IReadOnlyList<LineReading> lines)
    {
        foreach (IGrouping<string, LineReading> file in lines.GroupBy(line => line.File))
        {
            Dictionary<int, int> times = [];
            ILookup<int, LineReading> byTime = file.ToLookup(line => times[line.Line] = times.TryGetValue(line.Line, out int before) ? before + 1 : 1);
            foreach (IGrouping<int, LineReading> once in byTime)
            {
                yield return (file.Key, once.Key, [.. once.OrderBy(line => line.Line)]);
            }
        }
    }

    /// <summary>Writes a link to a line, or to the capture where the page does not show that line.</summary>
    public void WriteLink(PageWriter page, int line) => page.Link(_shownNumbers.Contains(line) ? AnchorOf(line) : Anchor, $"{Name}, line {DialectPage.Number(line)}");

    /// <summary>Writes the part.</summary>
    public void Write(PageWriter page, RuleTints rules, PageSigns signs)
    {
        DialectPage.Section(page, Anchor, Name);
        page.Element("p", $"{InWords}. The file: {File}");
        if (_shown.Lines.Count > 0)
        {
            WriteLines(page, rules, signs);
        }

        page.Close();
        page.Line();
    }

    /// <summary>The place of a line on the page.</summary>
    public string AnchorOf(int line) => $"{Anchor}-{DialectPage.Number(line)}";

    private void WriteLines(PageWriter page, RuleTints rules, PageSigns signs)
    {
        DialectPage.OpenTable(page, $"Lines of {Name}", "Line", "Read as", "By the rule", "What stands there", "Fills", "Of");
        int left = 0;
        for (int i = 0; i < _shown.Lines.Count; i++)
        {
            if (!_shown.Shown[i])
            {
                left++;
                continue;
            }

            WriteGap(page, i - left, left);
            left = 0;
            WriteLine(page, _shown.Lines[i], rules, signs);
        }

        WriteGap(page, _shown.Lines.Count - left, left);
        DialectPage.CloseTable(page);
    }

    private void WriteLine(PageWriter page, LineReading line, RuleTints rules, PageSigns signs)
    {
        bool unread = line.ReadAs == ReadAs.Unread;
        string style = unread ? "unread" : rules.Of(line);
        page.Open("tr", style.Length > 0 ? [("id", AnchorOf(line.Line)), ("class", style)] : [("id", AnchorOf(line.Line))]);
        page.Element("th", DialectPage.Number(line.Line), ("scope", "row"));
        page.Open("td");
        page.Element("span", unread ? "UNREAD" : line.ReadAs.ToString());
        signs.Write(page, this, line);
        page.Close();
        page.Element("td", line.ReadAs == ReadAs.Prompt && line.Rule.Length > 0 ? $"command: {line.Rule}" : line.Rule);
        page.Open("td", ("class", "line"));
        page.Element("code", line.Text);
        page.Close();
        page.Element("td", line.Fields, ("class", "fills"));
        page.Element("td", line.Record);
        page.Close();
        page.Line();
    }

    private void WriteGap(PageWriter page, int from, int count)
    {
        if (count == 0)
        {
            return;
        }

        int unread = Enumerable.Range(from, count).Count(at => _shown.Lines[at].ReadAs == ReadAs.Unread);
        string first = DialectPage.Number(_shown.Lines[from].Line);
        string last = DialectPage.Number(_shown.Lines[from + count - 1].Line);
        string what = count == 1
            ? $"Line {first} is left out here{(unread == 1 ? ", which is unread" : string.Empty)}."
            : $"Lines {first} to {last} are left out here: {DialectPage.Number(count)} lines, {(unread == 0 ? "none" : DialectPage.Number(unread))} of them unread.";
        page.Open("tr", ("class", "gap"));
        page.Element("td", what, ("colspan", "6"));
        page.Close();
        page.Line();
    }
}
