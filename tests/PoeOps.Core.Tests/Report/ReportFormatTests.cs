using System.Globalization;
using AngleSharp.Dom;
using AngleSharp.Html.Parser;
using CsvHelper;
using CsvHelper.Configuration;
using Newtonsoft.Json.Linq;
using PoeOps.Core.Tests.Files;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>Each format of a report, read back by a library of others: AngleSharp, Newtonsoft.Json, CsvHelper; of Markdown see <see cref="ReportMarkdownTests"/>.</summary>
public sealed class ReportFormatTests : IDisposable
{
    internal static readonly string[] Hostile =
    [
        "<script>alert(1)</script>", "=cmd|'/c calc'!A1", "+1", "-2+3", "@SUM(A1)", "a|b", "*not bold* _nor this_ `code` [x](http://example.org) ![y](z) <b>", "# no heading", "1. no list", "http://example.org www.example.org", "\"quoted\", and so on", "\\ &amp; ~~x~~",
    ];

    private readonly SampleNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void The_page_has_every_figure_of_the_summary()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        IDocument page = Html(ReportHtml.Of(summary));
        Assert.Equal(
            new[] { summary.StillDark, summary.LifeSafety, summary.ByHand }.Select(answer => $"{answer.Question}|{answer.Verdict}|{string.Join("|", answer.Items)}"),
            page.QuerySelectorAll(".answer").Select(answer => $"{answer.QuerySelector("h3")!.TextContent}|{answer.QuerySelector(".verdict")!.TextContent}|{string.Join("|", answer.QuerySelectorAll("li").Select(item => item.TextContent))}"));
        Assert.Equal(
            summary.Units.Select(unit => $"{unit.UnitId}|{unit.Order}|{Words(unit.State)}|{unit.FirmwareBefore}|{unit.ToFirmware}|{Dash(unit.FirmwareNow)}|{unit.Loads}|{Dash(unit.LoadsBack)}|{unit.LifeSafetyLoads}|{unit.Reason}"),
            Rows(page, "done").Select(row => string.Join("|", new[] { 0, 1, 4, 5, 6, 7, 9, 10, 11, 12 }.Select(at => row[at]))));
        Assert.Equal(
            summary.Loads.Select(load => $"{load.Load}|{load.UnitId}|{load.Port}|{Time(load.PlannedDarkFromUtc)}|{Time(load.PlannedDarkUntilUtc)}|{Dash(load.PlannedDarkSecondsTypical)}|{Dash(load.PlannedDarkSecondsWorst)}|{Time(load.RealDarkFromUtc)}|{Time(load.RealDarkUntilUtc)}|{Dash(load.RealDarkSeconds)}"),
            Rows(page, "loads").Select(row => string.Join("|", row.Take(3).Concat(row.Skip(6)))));
        Assert.Equal(
            summary.Units.Select(unit => string.Join("|", unit.Stages.Skip(1).Select(stage => $"{Dash(stage.TypicalSeconds)} ({Dash(stage.WorstSeconds)})|{Dash(stage.RealSeconds)}"))),
            Rows(page, "stages").Select(row => string.Join("|", row.Skip(2).Take(12))));
        Assert.Equal(summary.Curves.SelectMany(curve => curve.Planned).Select(step => $"{step.Port}|{Dash(step.Watts)}|{Dash(step.Seconds)}|{Dash(step.SumWatts)}"), page.QuerySelectorAll("figure tbody tr").Select(row => string.Join("|", row.Children.Take(4).Select(cell => cell.TextContent))));
        Assert.Equal(["desk, left|quay-1/2|3|STILL DARK|2026-12-01 22:01:31", "Priority of quay-1/2/2 is Low and was High|quay-1/2|–|not as it was|–"], Rows(page, "not-back").Select(row => $"{row[0]}|{row[1]}|{row[2]}|{row[5]}|{row[6]}"));
        Assert.Equal(["help point|quay-1/2|240.5|yes|the harbour master", "help point|quay-1/3|125|no|the harbour master"], Rows(page, "life-safety").Select(row => $"{row[0]}|{row[1]}|{row[7]}|{row[8]}|{row[9]}"));
        Assert.Equal(summary.Journals[0].Sha256, Rows(page, "journals")[0][3]);
        Assert.Equal("rock-1/A|Not planned|It is too long.|Lengthen a window.", string.Join("|", Rows(page, "by-hand")[2]));
    }

    [Fact]
    public void The_page_stands_for_itself_and_says_what_everything_is()
    {
        IDocument page = Html(ReportHtml.Of(_night.WholeNight().Summary(SampleNight.Plan)));
        Assert.Empty(page.QuerySelectorAll("script, link, img, iframe, object, embed, base, form, [src], [style], [onload], [onclick]"));
        Assert.DoesNotContain("url(", page.QuerySelector("style")!.TextContent, StringComparison.Ordinal);
        Assert.Equal("default-src 'none'; style-src 'unsafe-inline'", page.QuerySelector("meta[http-equiv]")!.GetAttribute("content"));
        string[] places = [.. page.QuerySelectorAll("[id]").Select(element => element.Id!)];
        Assert.Equal(places.Distinct(), places);
        Assert.All(page.QuerySelectorAll("a"), link => Assert.Contains(link.GetAttribute("href")![1..], places));
        Assert.All(page.QuerySelectorAll("table"), table => Assert.NotEqual("", table.QuerySelector("caption")!.TextContent));
        Assert.All(page.QuerySelectorAll("th"), head => Assert.Matches("^(row|col)$", head.GetAttribute("scope")));
        Assert.All(page.QuerySelectorAll("svg"), svg => Assert.All(svg.GetAttribute("aria-labelledby")!.Split(' '), id => Assert.NotEqual("", page.GetElementById(id)!.TextContent)));
        Assert.Equal(("en", 1, 1, "#short"), (page.DocumentElement.GetAttribute("lang"), page.QuerySelectorAll("main").Length, page.QuerySelectorAll("h1").Length, page.QuerySelector("body > a")!.GetAttribute("href")));
        Assert.Equal(page.QuerySelectorAll(".wide").Length, page.QuerySelectorAll(".wide").Select(region => region.GetAttribute("aria-label")).Distinct().Count());
    }

    [Fact]
    public void What_is_wrong_with_a_journal_stands_before_the_answers()
    {
        _night.WholeNight().Write();
        File.WriteAllText(_night.Path, File.ReadAllText(_night.Path).Replace("Transfer", "Erase", StringComparison.Ordinal));
        IDocument page = Html(ReportHtml.Of(RunSummary.Of(SampleNight.Plan, [JournalSource.Read(_night.Path)])));
        IElement alert = page.QuerySelector("#short .alert")!;
        Assert.StartsWith("Not everything can be relied on. Line 4 was changed after it was written: its digest does not fit it. And ", alert.TextContent, StringComparison.Ordinal);
        Assert.True(alert.CompareDocumentPosition(page.QuerySelector(".answers")!).HasFlag(DocumentPositions.Following));
        Assert.Equal("JournalChainBroken", Rows(page, "problems")[0][0]);
    }

    // Sixty units by hand, each with a long reason; and a load with a name of 4,000 letters.
    [Fact]
    public void The_first_screen_names_every_unit_by_hand_and_no_port_is_lost_behind_a_long_name()
    {
        const string Reason = "The unit is listed without a controller, and nobody knows what it runs, so that it must be looked at on site before anything else.";
        Obstacle[] obstacles = [.. Enumerable.Range(1, 60).Select(unit => new Obstacle { Site = "rock", Switch = "rock-1", Unit = $"{unit}", ProblemId = ProblemId.NoWindowFits, Reason = Reason })];
        string name = new('B', 4000);
        Plan plan = SampleNight.Plan with { Obstacles = obstacles, Units = [.. SampleNight.Plan.Units.Select(unit => unit with { DarkLoads = [.. unit.DarkLoads.Select(load => load with { Load = name })] })] };
        RunSummary night = RunSummary.Of(plan, [_night.WholeNight().Write()]);
        IDocument page = Html(ReportHtml.Of(night));
        Assert.Equal(["quay-1/2", "islet-1/1", .. obstacles.Take(58).Select(obstacle => obstacle.UnitId.ToString())], page.QuerySelector("#answer-by-hand .ids")!.ChildNodes[0].TextContent.TrimEnd().Split(", "));
        Assert.Equal("and 2 more", page.QuerySelector("#answer-by-hand .ids a")!.TextContent);
        Assert.Equal("rock-1/1: not planned. The unit is listed without a controller, and nobody knows what it runs, so that it must …", page.QuerySelectorAll("#answer-by-hand li")[2].TextContent);
        Assert.Equal($"{new string('B', 32)}… on quay-1/2/1: 240.5 s, planned 231 s at worst", page.QuerySelector("#answer-life-safety li")!.TextContent);
        Assert.Equal(name, night.Loads[0].Load);
    }

    // A reason of 4,000 characters; 300 is as much of a text as a cell shows.
    [Fact]
    public void A_long_reason_is_cut_at_a_word_and_said_to_be()
    {
        RunSummary night = _night.WholeNight().Summary(SampleNight.Plan);
        string reason = string.Concat(Enumerable.Repeat("word ", 800)).TrimEnd();
        RunSummary summary = night with { Units = [.. night.Units.Select(unit => unit.UnitId == "islet-1/1" ? unit with { Reason = reason } : unit)] };
        IDocument page = Html(ReportHtml.Of(summary));
        Assert.Equal(string.Concat(Enumerable.Repeat("word ", 60)) + "…", Rows(page, "done")[2][12]);
        Assert.Equal("1 text longer than 300 characters is cut here; the report as Markdown or Json has all of it.", page.QuerySelector("#done > p")!.TextContent);
        Assert.Null(page.QuerySelector("#loads > p"));
        Assert.Contains(reason, ReportMarkdown.Of(summary), StringComparison.Ordinal);
        Assert.Contains(reason, ReportJson.Of(summary), StringComparison.Ordinal);
    }

    // Where the name of a row stands, from 10 above its line to 2 below it, no upright line of an hour or of the window's edge is.
    [Fact]
    public void No_line_goes_through_the_names_of_a_timeline()
    {
        IElement picture = Html(ReportHtml.Of(_night.WholeNight().Summary(SampleNight.Plan))).QuerySelector("svg.timeline")!;
        double[] names = [.. picture.QuerySelectorAll("text").Where(text => text.TextContent.Contains(": ", StringComparison.Ordinal)).Select(text => double.Parse(text.GetAttribute("y")!, CultureInfo.InvariantCulture))];
        Assert.Equal(2, names.Length);
        IElement[] lines = [.. picture.QuerySelectorAll("path.axis, path.edge")];
        Assert.True(lines.Length > 3);
        Assert.Empty(picture.QuerySelectorAll("line.axis, line.edge"));
        foreach (IElement line in lines)
        {
            (double From, double To)[] parts = [.. line.GetAttribute("d")!.Split('M', StringSplitOptions.RemoveEmptyEntries).Select(part => part.Split(' ', 'V')).Select(part => (double.Parse(part[1], CultureInfo.InvariantCulture), double.Parse(part[2], CultureInfo.InvariantCulture)))];
            Assert.Equal(3, parts.Length);
            Assert.All(names, name => Assert.DoesNotContain(parts, part => part.From < name + 2 && part.To > name - 10));
        }
    }

    [Fact]
    public void Json_has_every_value_as_what_it_is()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        var json = JObject.Parse(ReportJson.Of(summary));
        Assert.Equal(summary.Units.Select(unit => (unit.UnitId, unit.RealDarkSeconds, unit.LoadsBack)), json["units"]!.Select(unit => ((string)unit["unitId"]!, (double?)unit["realDarkSeconds"], (int?)unit["loadsBack"])));
        Assert.Equal(summary.Loads.Select(load => (load.Port, load.DrawWatts, load.RealDarkSeconds, load.LongerThanWorst)), json["loads"]!.Select(load => ((string)load["port"]!, (decimal?)load["drawWatts"], (double?)load["realDarkSeconds"], (bool?)load["longerThanWorst"])));
        Assert.Equal(summary.Curves[0].Real.Select(step => (step.Seconds, step.SumWatts)), json["curves"]![0]!["real"]!.Select(step => ((double)step["seconds"]!, (decimal)step["sumWatts"]!)));

        // Every property of the model is there, by its name in camel case; the two that are said elsewhere left out.
        Assert.Equal(Names(typeof(RunSummary)), json.Properties().Select(property => property.Name).Order(StringComparer.Ordinal));
        Assert.Equal(Names(typeof(UnitSummary)), ((JObject)json["units"]![0]!).Properties().Select(property => property.Name).Order(StringComparer.Ordinal));
        Assert.Equal(Names(typeof(LoadSummary)).Except(["portId"]), ((JObject)json["loads"]![0]!).Properties().Select(property => property.Name).Order(StringComparer.Ordinal));
        Assert.Equal(Names(typeof(RestartCurve)).Except(["plannedWatts"]), ((JObject)json["curves"]![0]!).Properties().Select(property => property.Name).Order(StringComparer.Ordinal));
        Assert.Equal(Names(typeof(JournalSummary)), ((JObject)json["journals"]![0]!).Properties().Select(property => property.Name).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Csv_is_one_table_in_which_numbers_are_numbers()
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        IReadOnlyList<IDictionary<string, object>> rows = Csv(ReportCsv.Of(summary));
        Assert.Equal(summary.Loads.Select(load => $"{load.UnitId}|{load.Port}|{load.State}|{load.PlannedDarkSecondsWorst?.ToString(CultureInfo.InvariantCulture)}|{load.RealDarkSeconds?.ToString(CultureInfo.InvariantCulture)}|6.5"), Of(rows, "Load", "UnitId", "Port", "State", "WorstSeconds", "RealSeconds", "DrawWatts"));
        Assert.Equal(summary.Units.Select(unit => $"{unit.UnitId}|{unit.State}|{unit.Loads}|{unit.LoadsBack}"), Of(rows, "Unit", "UnitId", "State", "Loads", "LoadsBack"));
        Assert.Equal(["What is still dark?|1 load", "Was a life-safety load dark longer than planned?|Yes, 1 of 2", "Which units must be done by hand?|3 units"], Of(rows, "Answer", "Name", "State"));
        Assert.Equal(28, rows.Count(row => (string)row["Record"] == "Stage"));
        Assert.All(ReportCsv.Of(summary).TrimStart('\ufeff').Split("\r\n")[..^1], line => Assert.DoesNotContain('\n', line));
    }

    // What a spreadsheet takes for a formula, by OWASP's page on CSV injection; a negative number is one and stays one.
    [Theory]
    [InlineData("=1+1", "'=1+1")]
    [InlineData("+1", "'+1")]
    [InlineData("-1", "'-1")]
    [InlineData("@A1", "'@A1")]
    [InlineData("\t=1", "'\\t=1")]
    [InlineData("\r=1", "'\\r=1")]
    [InlineData("\n=1", "'\\n=1")]
    [InlineData(" =1", "' =1")]
    [InlineData("\u00a0 +1", "'\u00a0 +1")]
    [InlineData("\u3000-1", "'\u3000-1")]
    [InlineData("\u200d@A1", "'\u200d@A1")]
    [InlineData("\u200b\u2060=1", "'\\u200b\\u2060=1")]
    [InlineData("\ufe0f\u3164=1", "'\ufe0f\u3164=1")]
    [InlineData(" a=1", " a=1")]
    [InlineData("\u200d", "\u200d")]
    [InlineData("a=1", "a=1")]
    [InlineData("say \"=1\", then", "say \"=1\", then")]
    public void A_text_that_begins_like_a_formula_gets_an_apostrophe(string name, string shown)
    {
        var summary = new RunSummary { Loads = [new LoadSummary { UnitId = "quay-1/2", Port = "1", Load = name, RealDarkSeconds = -2.5 }] };
        Assert.Equal([$"{shown}|-2.5"], Of(Csv(ReportCsv.Of(summary)), "Load", "Name", "RealSeconds"));
    }

    [Theory]
    [InlineData("<script>alert(1)</script><img src=x onerror=y>", "<script>alert(1)</script><img src=x onerror=y>")]
    [InlineData("right\u202eto left", "right⟨U+202E⟩to left")]
    [InlineData("a\u001b[31mb", "a\u241b[31mb")]
    [InlineData("]]></style></svg>&lt;", "]]></style></svg>&lt;")]
    public void Whatever_a_name_holds_is_text_on_the_page(string name, string shown)
    {
        RunSummary summary = Named(_night.WholeNight().Summary(SampleNight.Plan), [name]);
        summary = summary with { PlanName = name, Units = [.. summary.Units.Select(unit => unit with { UnitId = name, Reason = name, Site = name })], Curves = [summary.Curves[0] with { UnitId = name }], Cautions = [name], Problems = [new Problem(ProblemId.JournalTorn, name, name)] };
        IDocument page = Html(ReportHtml.Of(summary));
        Assert.Equal(shown, Rows(page, "loads")[0][0]);
        Assert.Equal(shown, Rows(page, "done")[0][0]);
        Assert.Empty(page.QuerySelectorAll("script, img, body style, [onerror]"));
        Assert.Equal(1 + summary.Windows.Count, page.QuerySelectorAll("svg").Length);
    }

    [Fact]
    public void The_same_night_gives_the_same_bytes_in_every_culture()
    {
        JournalSource journal = _night.WholeNight().Write();
        Assert.All(Enum.GetValues<ReportFormat>(), format =>
        {
            string first = ReportFile.Text(RunSummary.Of(SampleNight.Plan, [journal]), format);
            CultureInfo before = CultureInfo.CurrentCulture;
            try
            {
                // Persian numbers its years otherwise, and German writes a comma for the point.
                foreach (string culture in new[] { "de-DE", "fa-IR", "tr-TR" })
                {
                    CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo(culture);
                    Assert.Equal(first, ReportFile.Text(RunSummary.Of(SampleNight.Plan, [journal]), format));
                }
            }
            finally
            {
                CultureInfo.CurrentCulture = before;
            }
        });
    }

    // 2,000 units of 24 loads: what nobody asks for is counted, and what somebody does is there.
    [Fact]
    public void A_page_of_two_thousand_units_stays_small_and_says_what_it_leaves_out()
    {
        var big = BigNight.Summary(2000, 24);
        string page = ReportHtml.Of(big);
        Assert.InRange(page.Length, 100_000, 3_000_000);
        Assert.Contains("47200 loads more, none of them life-safety, still dark, unknown or longer dark than planned, are not listed here; the report as Csv or Json has all.", page, StringComparison.Ordinal);
        Assert.Equal(48_000, ReportCsv.Of(big).Split("\r\n").Count(row => row.StartsWith("Load,", StringComparison.Ordinal)));
    }

    internal static RunSummary Named(RunSummary summary, string[] names) => summary with
    {
        PlanName = names[0],
        Loads = [.. names.Select((name, at) => summary.Loads[at % summary.Loads.Count] with { Load = name, Role = name })],
    };

    private static IDocument Html(string page) => new HtmlParser(new HtmlParserOptions { IsStrictMode = true }).ParseDocument(page);

    private static string[][] Rows(IDocument page, string section) =>
        [.. page.QuerySelectorAll($"#{section} > .wide tbody tr").Select(row => row.Children.Select(cell => cell.TextContent).ToArray())];

    private static IReadOnlyList<IDictionary<string, object>> Csv(string text)
    {
        using StringReader reader = new(text.TrimStart('\ufeff'));
        using CsvReader csv = new(reader, new CsvConfiguration(CultureInfo.InvariantCulture) { Mode = CsvMode.RFC4180, DetectColumnCountChanges = true });
        return [.. csv.GetRecords<dynamic>().Select(row => (IDictionary<string, object>)row)];
    }

    private static IEnumerable<string> Of(IReadOnlyList<IDictionary<string, object>> rows, string record, params string[] columns) =>
        rows.Where(row => (string)row["Record"] == record).Select(row => string.Join("|", columns.Select(column => row[column])));

    private static IEnumerable<string> Names(Type type) => type.GetProperties().Select(property => char.ToLowerInvariant(property.Name[0]) + property.Name[1..]).Order(StringComparer.Ordinal);

    private static string Words(UnitState state) => state == UnitState.NotBegun ? "Not begun" : state.ToString();

    private static string Dash(object? value) => value is null or "" ? "–" : string.Create(CultureInfo.InvariantCulture, $"{value:0.###}");

    private static string Time(DateTime? utc) => utc is { } known ? known.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture) : "–";
}
