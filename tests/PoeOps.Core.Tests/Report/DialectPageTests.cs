using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using AngleSharp.Dom;
using AngleSharp.Html.Parser;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Dialects;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>The page that shows how a dialect reads captures, read back by a browser's parser.</summary>
public sealed partial class DialectPageTests : IDisposable
{
    private const string Small = """
        {
          "$schema": "../schemas/poeops.dialect.schema.json",
          "name": "small",
          "title": "Small boxes (invented)",
          "console": { "prompts": ["^[a-z0-9-]+ awaits; $"] },
          "blocks": [
            { "name": "edition", "of": "switch", "begins": ["Edition of (?<Host>\\S+): (?<Release>\\S+)"], "oneRecord": true, "required": ["Release"] },
            { "name": "decks", "of": "controller", "begins": ["decks"], "rows": ["(?<Unit>\\d+) +(?<Firmware>\\S+)"], "ends": ["that was all"], "required": ["Unit"] }
          ],
          "ignore": [ { "name": "bell", "pattern": "\\* .*" }, { "name": "book", "pattern": "\\* bell and.*" } ]
        }
        """;

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("module/dialects/kelpline.dialect.json", "examples/captures/kelpline")]
    [InlineData("module/dialects/oakum.dialect.json", "examples/captures/oakum")]
    [InlineData("module/dialects/oakum.dialect.json", "examples/captures/kelpline")]
    [InlineData("tests/captures/brack/brack.dialect.json", "tests/captures/brack")]
    [InlineData("tests/captures/cleat/cleat.dialect.json", "tests/captures/cleat")]
    [InlineData("tests/captures/gimbal/gimbal.dialect.json", "tests/captures/gimbal")]
    [InlineData("tests/captures/thole/thole.dialect.json", "tests/captures/thole")]
    public void Every_line_stands_on_the_page_as_it_was_read(string dialectFile, string folder)
    {
        Dialect dialect = DialectFile.Read(Repository.Path(dialectFile.Split('/'))).Dialect!;
        string[] files = [.. Directory.GetFiles(Repository.Path(folder.Split('/')), "*.txt").Where(file => !file.EndsWith(".expected.txt", StringComparison.Ordinal)).Order(StringComparer.Ordinal)];
        CoverageReading reading = Coverage.Of(dialect, files);
        IDocument page = Parse(DialectPage.Of(dialect, reading));

        string[] shown = [.. page.QuerySelectorAll("main > section[id^=c] tbody tr").Select(Cells)];
        Assert.Equal(reading.Lines.GroupBy(line => line.File).SelectMany(lines => lines.OrderBy(line => line.Line)).Select(Expected), shown);
        Assert.Equal(reading.Lines.Count(line => line.ReadAs == ReadAs.Unread), page.QuerySelectorAll("tr.unread").Length);
        Assert.Equal(
            reading.Problems.Select(problem => $"{problem.Id}|{problem.Sentence}|{problem.Advice}"),
            page.QuerySelectorAll("#problems tbody tr").Select(row => string.Join("|", row.QuerySelectorAll("td").Skip(1).Select(cell => cell.TextContent))));
        Assert.Equal(
            reading.Lines.Where(line => line.ReadAs is ReadAs.Read or ReadAs.Ignored).GroupBy(line => line.Rule).Select(lines => $"{lines.Key} {(lines.First().ReadAs == ReadAs.Read ? "reads" : "ignores")} {lines.Count()}"),
            page.QuerySelectorAll("#rules tbody tr").Select(row => $"{row.Children[0].TextContent} {row.Children[1].TextContent} {row.Children[2].TextContent}"));

        // Whatever a problem says of a line stands beside that line as well, by the problem's number.
        Assert.Equal(
            reading.Problems.Select((problem, at) => (problem, at)).Where(one => reading.Lines.Any(line => line.File == one.problem.File && line.Line == one.problem.Line)).Select(one => $"problem {one.at + 1}: {one.problem.Id}").Order(StringComparer.Ordinal),
            page.QuerySelectorAll("section[id^=c] a[href^='#p']").Select(link => link.TextContent).Order(StringComparer.Ordinal));
        Assert.Equal(
            new[] { reading.Summary.NeverUsed.Count, reading.Summary.NeverFilled.Count, reading.Summary.Overlaps.Count, reading.Summary.SlowPatterns.Count, reading.Summary.UnreadVersions.Count, reading.Summary.UnknownWords.Count }.Select(count => Math.Max(1, count)),
            page.QuerySelectorAll("#figures dt").Select(name => Following(name).Count()));
        Assert.Equal(reading.Summary.NeverUsed.DefaultIfEmpty("none"), Following(page.QuerySelector("#figures dt")!).Select(item => item.TextContent));
    }

    [Fact]
    public void From_the_last_of_some_unread_lines_a_link_leads_to_the_next_in_any_file()
    {
        Dialect dialect = SampleDialect.Read();
        string[] files = [_folder.Write("a.txt", "what\nis\n* bell\nthis\n"), _folder.Write("b.txt", "* bell\n"), _folder.Write("c.txt", "* bell\nthen\n")];
        IDocument page = Parse(DialectPage.Of(dialect, Coverage.Of(dialect, files)));
        Assert.Equal(
            ["c1-2 -> #c1-4 next unread: line 4", "c1-4 -> #c3-2 next unread: c.txt, line 2"],
            page.QuerySelectorAll("tr.unread a").Where(link => link.TextContent.StartsWith("next", StringComparison.Ordinal)).Select(link => $"{link.Closest("tr")!.Id} -> {link.GetAttribute("href")} {link.TextContent}"));
    }

    [Fact]
    public void Captures_of_one_name_of_one_file_and_without_lines_each_have_a_part()
    {
        Dialect dialect = SampleDialect.Read();
        Directory.CreateDirectory(_folder.Path("north"));
        File.WriteAllText(_folder.Path(Path.Combine("north", "a.txt")), "* bell\n");
        string[] files = [_folder.Write("a.txt", "what\n"), _folder.Path(Path.Combine("north", "a.txt")), _folder.Write("b.txt", "* bell\n"), _folder.Path("b.txt"), _folder.Write("none.txt", string.Empty)];
        IDocument page = Parse(DialectPage.Of(dialect, Coverage.Of(dialect, files)));
        Assert.Equal(
            new[] { $"{files[1]}: 1 line, all read", $"{files[0]}: 1 line, 1 unread", "b.txt: 1 line, all read", "b.txt (time 2): 1 line, all read", "none.txt: no lines, see its problem" }.Order(StringComparer.Ordinal),
            page.QuerySelectorAll("nav a").Skip(4).Select(link => link.TextContent).Order(StringComparer.Ordinal));
        string[] places = [.. page.QuerySelectorAll("[id]").Select(element => element.Id!)];
        Assert.Equal(places.Distinct(), places);
    }

    [Fact]
    public void Many_captures_share_the_room_of_one_page()
    {
        LineReading[] lines =
        [
            .. Enumerable.Range(1, 10).SelectMany(file => Enumerable.Range(1, file == 1 ? 3000 : 2500).Select(line => new LineReading($"{file:00}.txt", line, "x", ReadAs.Ignored, "x", string.Empty, string.Empty))),
            new LineReading("short.txt", 1, "x", ReadAs.Unread, string.Empty, string.Empty, string.Empty),
        ];
        IDocument page = Parse(DialectPage.Of(new Dialect(), new CoverageReading(new DialectCoverage { Lines = lines.Length, Captures = 11 }, lines, [])));
        Assert.Equal(19_991, page.QuerySelectorAll("section[id^=c] tbody tr[id]").Length);
        Assert.Equal("Lines 2000 to 3000 are left out here: 1001 lines, none of them unread.", page.QuerySelector("#c1 .gap")!.TextContent);
        Assert.Equal("UNREAD", page.QuerySelector("#c11-1 span")!.TextContent);
    }

    [Fact]
    public void The_figures_are_those_of_the_summary()
    {
        (CoverageReading reading, IDocument page) = Of("Edition of a: 1\nwhat is this\n\n* bell\n");
        Dictionary<string, string> figures = page.QuerySelectorAll("#figures tr").ToDictionary(row => row.Children[0].TextContent, row => row.Children[1].TextContent);
        DialectCoverage summary = reading.Summary;
        Assert.Equal(
            new[] { summary.Lines, summary.Read, summary.Ignored, summary.Blank, summary.Prompts, summary.Unread, summary.Problems, summary.Controllers, summary.Ports, summary.Releases }.Select(number => number.ToString(CultureInfo.InvariantCulture)),
            new[] { "Lines", "Read", "Ignored", "Blank", "Prompts", "Unread", "Problems", "Controllers", "Ports", "Releases" }.Select(name => figures[name]));
        Assert.Equal("75 %", figures["Covered"]);
        Assert.Equal("1 line of 4 is read by no rule, and there is 1 problem.", page.QuerySelector(".verdict")!.TextContent);
    }

    [Fact]
    public void The_page_of_a_small_capture_is_the_approved_one()
    {
        // With a dialect of its own, so that the page is the same whatever other tests need of theirs.
        Dialect dialect = DialectFile.Read(_folder.Write("small.dialect.json", Small)).Dialect!;
        string page = DialectPage.Of(dialect, Coverage.Of(dialect, [_folder.Write("a.txt", "box awaits; recite edition\nEdition of a: 1\nwhat is this\n\n* bell\n* bell and book\n")])).Replace(_folder.Path("a.txt"), "a.txt", StringComparison.Ordinal);
        string approved = Repository.Path("tests", "PoeOps.Core.Tests", "Report", "DialectPage.approved.html");
        if (!File.Exists(approved) || File.ReadAllText(approved).Replace("\r\n", "\n", StringComparison.Ordinal) != page)
        {
            File.WriteAllText(approved.Replace(".approved.", ".received.", StringComparison.Ordinal), page);
        }

        Assert.True(File.Exists(approved), "There is no approved page; what was made stands in the .received.html.");
        Assert.Equal(File.ReadAllText(approved).Replace("\r\n", "\n", StringComparison.Ordinal), page);
    }

    [Theory]
    [InlineData("<script>alert(1)</script><img src=x onerror=y>", "<script>alert(1)</script><img src=x onerror=y>")]
    [InlineData("a\u0001\u0007b\u007fc", "a\u2401\u2407b\u2421c")]
    [InlineData("right\u202eto left\u2066x\u200f", "right⟨U+202E⟩to left⟨U+2066⟩x⟨U+200F⟩")]
    [InlineData("unseen \U000E0041 letters", "unseen ⟨U+E0041⟩ letters")]
    [InlineData("]]> & --> &amp; \ufffe", "]]> & --> &amp; ⟨U+FFFE⟩")]
    public void Whatever_a_line_holds_is_text_on_the_page(string text, string shown)
    {
        LineReading line = new("a.txt", 1, text, ReadAs.Read, text, text, text);
        Problem problem = new(ProblemId.LineUnread, text + ".", text) { File = "a.txt", Line = 1 };
        IDocument page = Parse(DialectPage.Of(new Dialect { Name = text, Title = text }, new CoverageReading(new DialectCoverage { Lines = 1, Captures = 1 }, [line], [problem])));
        Assert.Equal($"1|Read|{shown}|{shown}|{shown}|{shown}", Cells(page.QuerySelector("#c1 tbody tr")!));
        Assert.Equal(problem.Sentence, page.QuerySelectorAll("#problems td")[2].TextContent);
        Assert.Empty(page.QuerySelectorAll("script, img, link, iframe, object"));
    }

    // Lone surrogates do not come through an attribute.
    [Fact]
    public void Half_a_character_is_shown_by_its_number() =>
        Whatever_a_line_holds_is_text_on_the_page("half \ud83d of \ude00 one, and \ud83d\ude00 whole", "half ⟨U+D83D⟩ of ⟨U+DE00⟩ one, and \ud83d\ude00 whole");

    [Fact]
    public void A_long_line_is_cut_and_the_rest_counted()
    {
        (_, IDocument page) = Of(new string('x', 4000) + "\n");
        Assert.Equal(new string('x', 2000) + " … and 2000 more characters", page.QuerySelector("#c1 code")!.TextContent);
    }

    [Fact]
    public void Of_a_long_capture_the_page_says_what_it_leaves_out()
    {
        StringBuilder text = new("Edition of a: 1\n");
        for (int i = 2; i <= 7000; i++)
        {
            text.Append(i is 3000 or 6500 ? "what is this\n" : "* bell\n");
        }

        (_, IDocument page) = Of(text.ToString());
        IElement[] rows = [.. page.QuerySelectorAll("#c1 tbody tr")];
        Assert.Equal(5002, rows.Length);
        Assert.Equal(["3000", "6500"], rows.Where(row => row.ClassList.Contains("unread")).Select(row => row.Children[0].TextContent));
        Assert.Equal(
            ["Lines 4996 to 6497 are left out here: 1502 lines, none of them unread.", "Lines 6503 to 7000 are left out here: 498 lines, none of them unread."],
            rows.Where(row => row.ClassList.Contains("gap")).Select(row => row.TextContent));
        Assert.Equal("next unread: line 6500", page.QuerySelector("#c1-3000 a:not([href^='#p'])")!.TextContent);
    }

    [Fact]
    public void Unread_lines_beyond_any_page_are_counted()
    {
        (_, IDocument page) = Of("Edition of a: 1\n" + string.Concat(Enumerable.Repeat("what is this\n", 6000)));
        Assert.Equal(
            ["Line 1 is left out here.", "Lines 5002 to 6001 are left out here: 1000 lines, 1000 of them unread."], page.QuerySelectorAll("#c1 .gap").Select(row => row.TextContent));
        Assert.Equal(500, page.QuerySelectorAll("#unread li").Length);
        Assert.Equal("And 5500 more lines, which are not listed here.", page.QuerySelector("#unread > p")!.TextContent);
    }

    [Fact]
    public void Each_link_leads_to_one_place_and_each_table_says_what_it_is()
    {
        (_, IDocument page) = Of("Edition of a: 1\nwhat is this\nwhat\n");
        string[] places = [.. page.QuerySelectorAll("[id]").Select(element => element.Id!)];
        Assert.Equal(places.Distinct(), places);
        Assert.All(page.QuerySelectorAll("a"), link => Assert.Contains(link.GetAttribute("href")![1..], places));
        Assert.All(page.QuerySelectorAll("table"), table => Assert.NotEqual("", table.QuerySelector("caption")!.TextContent));
        Assert.All(page.QuerySelectorAll("th"), head => Assert.Matches("^(row|col)$", head.GetAttribute("scope")));
        Assert.All(page.QuerySelectorAll("section"), section => Assert.NotNull(page.GetElementById(section.GetAttribute("aria-labelledby")!)));
        Assert.Equal(("en", 1, 1), (page.DocumentElement.GetAttribute("lang"), page.QuerySelectorAll("main").Length, page.QuerySelectorAll("h1").Length));
    }

    // The relative luminance and the ratio are those of WCAG 2.2, success criterion 1.4.3.
    [Fact]
    public void Every_ink_can_be_read_on_every_ground()
    {
        string sheet = Of("\n").Page.QuerySelector("style")!.TextContent;
        string[] halves = sheet.Split("@media screen and (prefers-color-scheme: dark)");
        Assert.All(
            halves,
            half =>
            {
                string[] inks = [.. Ink().Matches(half).Select(match => match.Groups[1].Value)];
                string[] grounds = [.. Ground().Matches(half).Select(match => match.Groups[1].Value).Where(ground => ground != "#fff")];
                Assert.Equal((2, 10), (inks.Count(ink => ink != "#000"), grounds.Length));
                Assert.All(inks.Where(ink => ink != "#000"), ink => Assert.All(grounds, ground => Assert.True(Contrast(ink, ground) >= 4.5, $"{ink} on {ground}: {Contrast(ink, ground):0.00}")));
            });
    }

    private static double Contrast(string one, string other)
    {
        double[] light = [.. new[] { Luminance(one), Luminance(other) }.OrderDescending()];
        return (light[0] + 0.05) / (light[1] + 0.05);
    }

    private static double Luminance(string colour)
    {
        double[] parts = [.. Enumerable.Range(0, 3).Select(i => Convert.ToInt32(colour.Substring(1 + (2 * i), 2), 16) / 255.0).Select(part => part <= 0.04045 ? part / 12.92 : Math.Pow((part + 0.055) / 1.055, 2.4))];
        return (0.2126 * parts[0]) + (0.7152 * parts[1]) + (0.0722 * parts[2]);
    }

    private static string Expected(LineReading line) =>
        string.Join("|", line.Line, line.ReadAs == ReadAs.Unread ? "UNREAD" : line.ReadAs, line.ReadAs == ReadAs.Prompt && line.Rule.Length > 0 ? $"command: {line.Rule}" : line.Rule, line.Text, line.Fields, line.Record);

    private static string Cells(IElement row) =>
        string.Join("|", row.Children.Select((cell, at) => at == 1 ? cell.FirstChild!.TextContent.Trim() : cell.TextContent));

    private static IEnumerable<IElement> Following(IElement name)
    {
        for (IElement? next = name.NextElementSibling; next?.LocalName == "dd"; next = next.NextElementSibling)
        {
            yield return next;
        }
    }

    private static IDocument Parse(string page) => new HtmlParser(new HtmlParserOptions { IsStrictMode = true }).ParseDocument(page);

    private (CoverageReading Reading, IDocument Page) Of(string capture)
    {
        Dialect dialect = SampleDialect.Read();
        CoverageReading reading = Coverage.Of(dialect, [_folder.Write("a.txt", capture)]);
        return (reading, Parse(DialectPage.Of(dialect, reading)));
    }

    [GeneratedRegex(@"(?<![-a-z])color: (#[0-9a-f]+)")]
    private static partial Regex Ink();

    [GeneratedRegex(@"background: (#[0-9a-f]+)")]
    private static partial Regex Ground();
}
