using PoeOps.Dialects;

namespace PoeOps.Report;

/// <summary>The part of a page that shows one capture, line by line.</summary>
internal sealed class CapturePart
{
    private readonly ShownLines _shown;

    private CapturePart(string file, string anchor, ShownLines shown)
    {
        File = file;
        Anchor = anchor;
        _shown = shown;
        Unread = [.. shown.Lines.Where(line => line.ReadAs == ReadAs.Unread)];
    }

    /// <summary>The file, as it was given.</summary>
    public string File { get; }

    /// <summary>Its name without the folder.</summary>
    public string Name => Path.GetFileName(File);

    /// <summary>Its place on the page.</summary>
    public string Anchor { get; }

    /// <summary>Its lines that nobody reads.</summary>
    public IReadOnlyList<LineReading> Unread { get; }

    /// <summary>How it was read, in a few words.</summary>
    public string InWords => $"{DialectPage.Count(_shown.Lines.Count, "line")}, {(Unread.Count == 0 ? "all read" : $"{DialectPage.Number(Unread.Count)} unread")}";

    /// <summary>Makes the parts of all captures that have lines, in their order.</summary>
    /// <param name="reading">What was read.</param>
    /// <param name="most">How many lines of each are shown.</param>
    public static IReadOnlyList<CapturePart> Of(CoverageReading reading, int most)
    {
        ILookup<string?, int> problems = reading.Problems.Where(problem => problem.Line is not null).ToLookup(problem => problem.File, problem => problem.Line!.Value);
        return
        [
            .. reading.Lines.GroupBy(line => line.File).Select((lines, at) => new CapturePart(
                lines.Key, FormattableString.Invariant($"c{at + 1}"), ShownLines.Of([.. lines.OrderBy(line => line.Line)], new HashSet<int>(problems[lines.Key]), most))),
        ];
    }

    /// <summary>Writes a link to a line, or its name alone where the page does not show it.</summary>
    public void WriteLink(PageWriter page, int line)
    {
        string name = $"{Name}, line {DialectPage.Number(line)}";
        if (IsShown(line))
        {
            page.Link(AnchorOf(line), name);
        }
        else
        {
            page.Text(name);
        }
    }

    /// <summary>Writes the part.</summary>
    public void Write(PageWriter page, RuleTints rules)
    {
        DialectPage.Section(page, Anchor, Name);
        page.Element("p", $"{InWords}. The file: {File}");
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
            WriteLine(page, _shown.Lines[i], rules);
        }

        WriteGap(page, _shown.Lines.Count - left, left);
        DialectPage.CloseTable(page);
        page.Close();
        page.Line();
    }

    private void WriteLine(PageWriter page, LineReading line, RuleTints rules)
    {
        bool unread = line.ReadAs == ReadAs.Unread;
        string style = unread ? "unread" : rules.Of(line);
        page.Open("tr", style.Length > 0 ? [("id", AnchorOf(line.Line)), ("class", style)] : [("id", AnchorOf(line.Line))]);
        page.Element("th", DialectPage.Number(line.Line), ("scope", "row"));
        page.Open("td");
        page.Text(unread ? "UNREAD" : line.ReadAs.ToString());
        if (unread && Unread.SkipWhile(one => one.Line <= line.Line).FirstOrDefault(one => IsShown(one.Line)) is { } next)
        {
            page.Text(" ");
            page.Link(AnchorOf(next.Line), $"next: {DialectPage.Number(next.Line)}");
        }

        page.Close();
        page.Element("td", line.ReadAs == ReadAs.Prompt && line.Rule.Length > 0 ? $"command: {line.Rule}" : line.Rule);
        page.Open("td", ("class", "line"));
        page.Element("code", line.Text);
        page.Close();
        page.Element("td", line.Fields);
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

    private string AnchorOf(int line) => $"{Anchor}-{DialectPage.Number(line)}";

    private bool IsShown(int line)
    {
        // The lines of a file are numbered from 1, but those of a cut one may not be all there.
        int at = Math.Min(line, _shown.Lines.Count) - 1;
        while (at >= 0 && _shown.Lines[at].Line > line)
        {
            at--;
        }

        return at >= 0 && _shown.Lines[at].Line == line && _shown.Shown[at];
    }
}
