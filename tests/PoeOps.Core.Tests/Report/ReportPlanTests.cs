using AngleSharp.Dom;
using AngleSharp.Html.Parser;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>The report of a plan alone, for whoever approves it; and of a rehearsal, which nobody may take for a night on real devices.</summary>
public sealed class ReportPlanTests : IDisposable
{
    private static readonly string[] OfARunAlone = ["Now", "Back", "Why", "State", "Gates began", "Begun", "Dark from", "Left", "Until", "Real s", "Longer than worst", "Dark real", "Last back real s"];

    private readonly ScratchFolder _folder = new();
    private readonly SampleNight _night = new();

    public void Dispose()
    {
        _night.Dispose();
        _folder.Dispose();
    }

    // Oslo is an hour ahead of UTC in winter, Apia thirteen (the tz database, which NodaTime brings).
    [Fact]
    public void Windows_are_told_by_the_clocks_of_their_sites()
    {
        RunSummary summary = RunSummary.Of(Located(), []);
        string[][] rows = Rows(Page(summary), "windows");
        Assert.Equal(
            [
                "islet|Wed 2026-12-02 10:00 to 14:00|Pacific/Apia, UTC+13:00|yes|2|4|0|Wed 2026-12-02 12:15|15|under 0.1|islet-1/1|none",
                "quay|Tue 2026-12-01 22:00 to Wed 2026-12-02 02:00|Europe/Oslo, UTC+01:00|yes|2|4|2|Tue 2026-12-01 23:35|15|under 0.1|none|lifts: quay-1/2, quay-1/3",
            ],
            rows.Select(row => string.Join("|", row)));
        Assert.Contains("quay, Tue 2026-12-01 22:00 to Wed 2026-12-02 02:00 (Europe/Oslo, UTC+01:00): 4 loads", summary.StillDark.Items);
        Assert.DoesNotContain(summary.Cautions, caution => caution.Contains("local times", StringComparison.Ordinal));
    }

    [Fact]
    public void Nothing_stands_there_that_only_a_run_fills()
    {
        IDocument page = Page(RunSummary.Of(Located(), []));
        Assert.DoesNotContain(page.QuerySelectorAll("section:not(#by-hand) thead th").Select(head => head.TextContent), head => OfARunAlone.Contains(head) || head.EndsWith(" real", StringComparison.Ordinal));
        Assert.Equal(["short", "windows", "by-hand", "life-safety", "times", "restart", "done", "stages", "loads", "images"], page.QuerySelectorAll("section").Select(section => section.Id!));
        Assert.Equal(["planned, at worst", "planned dark"], page.QuerySelectorAll("svg.timeline")[0].QuerySelectorAll("text").Select(text => text.TextContent).Reverse().Take(2).Reverse());
        Assert.Equal(["What goes dark, and when?", "Which life-safety loads go dark?", "What is not planned, and why?"], page.QuerySelectorAll(".answer h3").Select(head => head.TextContent));
        Assert.DoesNotContain("Nothing was done yet", page.DocumentElement.TextContent, StringComparison.Ordinal);
    }

    // By hand: 8 loads are dark for 3 x 121 + 121, 3 x 122 and 123 s, 973 s together; each serves 60 s after it has power, so that 480 s come to that.
    [Fact]
    public void Sums_of_power_and_of_service_pilots_and_soak_are_named_as_such()
    {
        string[] paragraphs = [.. Page(RunSummary.Of(Located(), [])).QuerySelectorAll("#short > p").Select(paragraph => paragraph.TextContent)];
        Assert.Contains("Minutes without power, summed over the loads: 16.217. Minutes out of service, until each serves again: 24.217. Both by typical times.", paragraphs);
        Assert.Contains("Pilots go first: islet-1/1. The others of a kind start when its loads are back and 24 h of soak are over.", paragraphs);
    }

    [Theory]
    [InlineData("the harbour master", true, "accepted by the harbour master", "the harbour master")]
    [InlineData(null, true, "accepted by nobody by name, in an attended window", "nobody by name; attended window")]
    [InlineData(null, false, "ACCEPTED BY NOBODY, and in a window that nobody attends", "NOBODY, and no attended window")]
    public void Life_safety_loads_say_on_what_ground_they_go_dark(string? by, bool attended, string ground, string cell)
    {
        Plan plan = Located();
        plan = plan with { Units = [.. plan.Units.Select(unit => unit with { WindowAttended = attended, LifeSafetyAcceptedBy = unit.LifeSafetyLoads > 0 ? by : null })] };
        RunSummary summary = RunSummary.Of(plan, []);
        Assert.Equal($"The longest is without power for 121 s, 231 s at worst. 2 loads: {ground}.", summary.LifeSafety.Sentence);
        Assert.All(Rows(Page(summary), "life-safety"), row => Assert.Equal(cell, row[^1]));
    }

    [Fact]
    public void Without_the_estate_times_are_UTC_and_that_is_said()
    {
        RunSummary summary = RunSummary.Of(Located() with { EstatePath = _folder.Path("gone.estate.json") }, []);
        Assert.Equal("UTC", Rows(Page(summary), "windows")[0][2]);
        Assert.Contains(summary.Cautions, caution => caution.StartsWith("The estate file 'gone.estate.json' of the plan could not be read, so that the local times of sites are not said: ", StringComparison.Ordinal));

        Plan changed = Located() with { EstateSha256 = new string('0', 64) };
        Assert.Contains("The estate file 'harbour.estate.json' has changed since the plan was made; local times are by the zones that it names now.", RunSummary.Of(changed, []).Cautions);
    }

    [Theory]
    [InlineData(ReportFormat.Html)]
    [InlineData(ReportFormat.Markdown)]
    [InlineData(ReportFormat.Csv)]
    [InlineData(ReportFormat.Json)]
    public void A_rehearsal_says_so_first(ReportFormat format)
    {
        _night.Add(0, RunEntryKind.RunBegan, "", ("fingerprint", "f00d"), ("plan", "harbour"), ("speed", 120));
        RunSummary night = _night.Summary(SampleNight.Plan);
        Assert.Equal("This was a rehearsal at speed 120: its devices are simulated, and nothing real was touched.", night.Rehearsal);
        RunSummary plan = RunSummary.Of(Located(rehearsal: true), []);
        Assert.Equal("This is the plan of a rehearsal at speed 60: its devices are simulated, and nothing real is touched.", plan.Rehearsal);
        foreach (RunSummary summary in new[] { night, plan })
        {
            string text = ReportFile.Text(summary, format);
            Assert.Contains(summary.Rehearsal, format == ReportFormat.Markdown ? text.Replace("\\", string.Empty, StringComparison.Ordinal) : text, StringComparison.Ordinal);
            if (format == ReportFormat.Html)
            {
                IDocument page = new HtmlParser().ParseDocument(text);
                Assert.StartsWith("REHEARSAL ", page.Title, StringComparison.Ordinal);
                Assert.StartsWith("REHEARSAL ", page.QuerySelector("h1")!.TextContent, StringComparison.Ordinal);
                Assert.StartsWith(summary.Rehearsal, page.QuerySelector("header p")!.TextContent, StringComparison.Ordinal);
            }
        }
    }

    [Fact]
    public void A_night_that_was_rehearsed_in_part_says_in_which()
    {
        _night.Run().Add(100, RunEntryKind.RunEnded, "", ("because", "all are done")).Add(200, RunEntryKind.RunBegan, "", ("fingerprint", "f00d"), ("plan", "harbour"), ("speed", 120));
        RunSummary summary = _night.Summary(SampleNight.Plan);
        Assert.Equal("This was in part a rehearsal at speed 120: 1 of 2 runs, whose devices are simulated. The others were real.", summary.Rehearsal);
        Assert.Contains("<h1>Partly rehearsed run harbour: planned and done</h1>", ReportHtml.Of(summary), StringComparison.Ordinal);
        Assert.Equal("", RunSummary.Of(SampleNight.Plan, []).Rehearsal);
    }

    private static IDocument Page(RunSummary summary) => new HtmlParser(new HtmlParserOptions { IsStrictMode = true }).ParseDocument(ReportHtml.Of(summary));

    private static string[][] Rows(IDocument page, string section) =>
        [.. page.QuerySelectorAll($"#{section} > .wide tbody tr").Select(row => row.Children.Select(cell => cell.TextContent).ToArray())];

    private Plan Located(bool rehearsal = false)
    {
        string clock = rehearsal ? """, "rehearsal": { "speed": 60, "machineStartUtc": "2026-11-26T09:00:00Z", "startUtc": "2026-11-26T09:00:00Z" }""" : string.Empty;
        string path = _folder.Write("harbour.estate.json", $$"""
            {
              "$schema": "schemas/poeops.estate.schema.json",
              "name": "harbour",
              "roles": [ { "name": "other", "restartSeconds": 60, "default": true } ],
              "sites": [
                { "name": "quay", "zone": "Europe/Oslo", "switches": [ { "name": "quay-1", "address": "127.0.0.11", "port": 2323, "link": "telnet", "dialect": "reef" } ] },
                { "name": "islet", "zone": "Pacific/Apia", "switches": [ { "name": "islet-1", "address": "127.0.0.12", "port": 2323, "link": "telnet", "dialect": "reef" } ] }
              ]{{clock}}
            }
            """);
        Assert.Empty(EstateFile.Read(path).Problems.Select(problem => problem.Sentence));
        return SampleNight.Plan with
        {
            EstatePath = path,
            EstateSha256 = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(File.ReadAllBytes(path))),
            SoakSeconds = 24 * 3600,
            Units = [.. SampleNight.Plan.Units.Select(unit => unit with { ReserveSeconds = 900, Pilot = unit.Order == 3, CoverageGroup = unit.Site == "quay" ? "lifts" : string.Empty })],
        };
    }
}
