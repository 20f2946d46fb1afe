using AngleSharp.Dom;
using AngleSharp.Html.Parser;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>Notices as people get them; the page is read by a browser's parser (AngleSharp) and says what the text says.</summary>
public sealed class SiteNoticeTests : IDisposable
{
    private const string Text = """
        Telephones and other devices at quay will be without power for some minutes

        CAUTION: DEVICES THAT KEEP PEOPLE SAFE GO DARK
        What has to stand in for such a device, and whether it may be dark at all, is for local codes and for licensed practice to say. If you, or somebody in your care, may need one of them in that time and do not know what to use instead, call whoever is named under "Whom to call" before it comes.
        1 device that keeps people safe does not work meanwhile, and nobody gets help through what is dark:
        - ticket hall; gate 3, north (help point)

        WHEN
        The equipment that feeds these devices is brought up to date. Times are those of the clocks at the site.
        - From Tuesday, 1 December 2026, 22:00 to Wednesday, 2 December 2026, 00:00 (time zone Europe/Berlin, UTC+01:00). The work is expected from 22:00 to 22:27; it may also be earlier or later, but does not begin before 22:00 and is to be over by 00:00.

        WHAT GOES DARK
        5 devices go dark, not all at once:
        - help point: 1 (keeps people safe)
        - phone: 3
        - camera: 1

        HOW LONG
        A device is out of service for 4 minutes as a rule, and for 5 minutes at the longest that is expected.

        WHAT COMES BACK BY ITSELF
        All else starts again by itself once it has power, and there is nothing to press; call if it is not back by Wednesday, 2 December 2026, 00:00.
        These are expected to stay dark until somebody sees to them:
        - camera

        WHOM TO CALL
        the network desk, extension 100

        WHAT NOT TO DO
        - Do not unplug, switch off or restart a device or the equipment that feeds it, however long it takes: that can do harm, and makes it take longer.
        - Do not count on these telephones in an emergency, nor on anything else that is named here: call the emergency number from another telephone, such as a mobile one. Know where the nearest is before the time comes.

        """;

    private const string Page = """
        <!DOCTYPE html ><html lang="en"><head><meta charset="utf-8" /><meta name="viewport" content="width=device-width, initial-scale=1" /><title>Telephones and other devices at islet will be without power for some minutes</title><style>STYLE</style></head>
        <body><main><h1>Telephones and other devices at islet will be without power for some minutes</h1>
        <section><h2>When</h2><p>The equipment that feeds these devices is brought up to date. Times are those of the clocks at the site.</p><ul><li>Thursday, 3 December 2026, from 21:00 to 23:00 (time zone UTC, UTC+00:00). The work is expected from 21:00 to 21:12; it may also be earlier or later, but does not begin before 21:00 and is to be over by 23:00.</li></ul></section>
        <section><h2>What goes dark</h2><p>No device goes dark.</p></section>
        <section><h2>How long</h2><p>No device is out of service.</p></section>
        <section><h2>What comes back by itself</h2><p>Everything starts again by itself once it has power. There is nothing to press. Call if something is not back by Thursday, 3 December 2026, 23:00.</p></section>
        <section><h2>Whom to call</h2><p>NOBODY IS NAMED HERE. Ask whoever gave you this notice whom to call, before the work begins.</p></section>
        <section><h2>What not to do</h2><ul><li>Do not unplug, switch off or restart a device or the equipment that feeds it, however long it takes: that can do harm, and makes it take longer.</li><li>Do not count on these telephones in an emergency, nor on anything else that is named here: call the emergency number from another telephone, such as a mobile one. Know where the nearest is before the time comes.</li></ul></section>
        </main>
        </body>
        </html>

        """;

    private static readonly EstateMap Lagoon = new()
    {
        Name = "Lagoon",
        Sites = [new Site { Name = "quay", Zone = "Europe/Berlin", Contact = "the network desk, extension 100" }, new Site { Name = "islet", Zone = "UTC" }],
    };

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_notice_is_this_text_and_this_page()
    {
        IReadOnlyList<NoticeFile> files = Files(Quay.Plan, Lagoon);
        Assert.Equal(["quay.notice.txt", "quay.notice.html", "islet.notice.txt", "islet.notice.html"], files.Select(file => Path.GetFileName(file.Path)));
        Assert.Equal(Text.ReplaceLineEndings("\n"), files[0].Text);
        int style = files[3].Text.IndexOf("<style>", StringComparison.Ordinal) + "<style>".Length;
        int end = files[3].Text.IndexOf("</style>", StringComparison.Ordinal);
        Assert.Equal(Page.ReplaceLineEndings("\n"), files[3].Text[..style] + "STYLE" + files[3].Text[end..]);
    }

    [Fact]
    public void The_page_says_what_the_text_says_and_stands_for_itself()
    {
        IReadOnlyList<NoticeFile> files = Files(Quay.Plan, Lagoon);
        foreach (NoticeFile[] pair in files.Chunk(2))
        {
            IDocument page = new HtmlParser().ParseDocument(pair[1].Text);
            string[] said = [.. page.QuerySelectorAll("h1, h2, p, li").Select(one => one.LocalName switch { "h2" => one.TextContent.ToUpperInvariant(), "li" => "- " + one.TextContent, _ => one.TextContent })];
            Assert.Equal(pair[0].Text.Split('\n', StringSplitOptions.RemoveEmptyEntries), said);
            Assert.Equal(("en", page.QuerySelector("h1")!.TextContent), (page.DocumentElement.GetAttribute("lang"), page.Title));
            Assert.Empty(page.QuerySelectorAll("script, link, img, iframe, [src], [href], [style]"));
            string style = page.QuerySelector("style")!.TextContent;
            Assert.Contains("prefers-color-scheme: dark", style, StringComparison.Ordinal);
            Assert.Contains("size: A4", style, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Both_offsets_stand_there_when_the_clocks_change_in_between()
    {
        // Directive 2000/84/EC: summer time ends on the last Sunday of October at 01:00 UTC.
        PlannedUnit unit = Quay.Unit(1, "quay", "quay-1/1", new DateTime(2026, 10, 24, 23, 30, 0, DateTimeKind.Utc), 85);
        Assert.Equal(
            "From Sunday, 25 October 2026, 01:30 (UTC+02:00) to Sunday, 25 October 2026, 02:30 (UTC+01:00) (time zone Europe/Berlin). The clocks change in between; it is 2 h 0 min long. "
            + "The work is expected from Sunday, 25 October 2026, 02:55 (UTC+02:00) to Sunday, 25 October 2026, 02:07 (UTC+01:00); it may also be earlier or later, but does not begin before 01:30 (UTC+02:00) and is to be over by 02:30 (UTC+01:00).",
            When(unit));
    }

    [Fact]
    public void Work_after_midnight_is_said_with_its_day()
    {
        PlannedUnit unit = Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0) with { WindowOpensUtc = Quay.Night, WindowClosesUtc = Quay.Night.AddHours(8), StartUtc = Quay.Night.AddHours(5), EndUtc = Quay.Night.AddHours(5).AddMinutes(12) };
        Assert.Contains("The work is expected on Wednesday, 2 December 2026, from 03:00 to 03:12; it may", When(unit), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("America/St_Johns", "Tuesday, 1 December 2026, from 17:30 to 19:30 (time zone America/St_Johns, UTC-03:30). The work is expected from 17:30 to 17:42; it may also be earlier or later, but does not begin before 17:30 and is to be over by 19:30.")]
    [InlineData("Asia/Kathmandu", "Wednesday, 2 December 2026, from 02:45 to 04:45 (time zone Asia/Kathmandu, UTC+05:45). The work is expected from 02:45 to 02:57; it may also be earlier or later, but does not begin before 02:45 and is to be over by 04:45.")]
    public void Zones_are_said_with_their_name_and_offset(string zone, string expected) =>
        Assert.Equal(expected, When(Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0), zone));

    [Fact]
    public void A_unit_with_two_images_has_its_loads_but_once()
    {
        PlannedUnit first = Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "phone"), Quay.Load("2", "alarm", lifeSafety: true)) with { Hops = 2 };
        SiteNotice notice = Assert.Single(SiteNotices.Of(Quay.Plan with { Units = [first, first with { Order = 2, Hop = 2, WindowOpensUtc = Quay.Night.AddDays(7), WindowClosesUtc = Quay.Night.AddDays(7).AddHours(2) }] }, Lagoon));
        Assert.Equal(["2 devices go dark, all together, and each more than once:"], Part(notice, "What goes dark").Sentences);
        Assert.Equal(["alarm: 1 (keeps people safe)", "phone: 1"], Part(notice, "What goes dark").Items);
        Assert.Equal(["alarm"], notice.Parts[0].Items);
        Assert.Equal(2, Part(notice, "When").Items.Count);
        Assert.EndsWith("at the longest that is expected, each time.", Assert.Single(Part(notice, "How long").Sentences), StringComparison.Ordinal);
        Assert.EndsWith("Call if something is not back when the time that stands under \"When\" for its night is over.", Assert.Single(Part(notice, "What comes back by itself").Sentences), StringComparison.Ordinal);
    }

    [Fact]
    public void Times_that_nobody_knows_are_not_made_up()
    {
        PlannedUnit unit = Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "phone"));
        const string Unknown = "Nobody knows yet for how long a device is out of service; expect it for the whole time that stands under \"When\".";
        PlannedUnit[] unknown = [unit with { StageTimes = StageTimes.None }, unit with { DarkLoads = [unit.DarkLoads[0] with { RestartSeconds = null }] }];
        Assert.All(unknown, one => Assert.Equal([Unknown], Part(Assert.Single(SiteNotices.Of(Quay.Plan with { Units = [one] }, Lagoon)), "How long").Sentences));
    }

    [Theory]
    [InlineData(null, "the network desk, extension 100", true)]
    [InlineData("  ", "the network desk, extension 100", true)]
    [InlineData(" the porter ", "the porter", true)]
    public void The_contact_is_the_sites_unless_another_is_given(string? given, string expected, bool has)
    {
        SiteNotice notice = SiteNotices.Of(Quay.Plan, Lagoon, given)[0];
        Assert.Equal((expected, has), (Assert.Single(Part(notice, "Whom to call").Sentences), notice.HasContact));
        Assert.Equal(given is " the porter ", SiteNotices.Of(Quay.Plan, Lagoon, given)[1].HasContact);
    }

    [Fact]
    public void A_site_that_the_estate_lacks_or_whose_zone_is_none_is_refused()
    {
        Problem lacking = Assert.Throws<PoeOpsException>(() => SiteNotices.Of(Quay.Plan, Lagoon with { Sites = [] })).Problem;
        Assert.Equal((ProblemId.NotInEstate, "The plan has a site 'quay', and the estate 'Lagoon' has none of that name."), (lacking.Id, lacking.Sentence));
        Assert.Equal(ProblemId.ZoneUnknown, Assert.Throws<PoeOpsException>(() => SiteNotices.Of(Quay.Plan, Lagoon with { Sites = [new Site { Name = "quay", Zone = "Europe/Nowhere" }, Lagoon.Sites[1]] })).Problem.Id);
    }

    [Theory]
    [InlineData("quay", "quay")]
    [InlineData("Ferry hall, east", "Ferry-hall--east")]
    [InlineData("../../etc/passwd", "etc-passwd")]
    [InlineData(@"C:\con", "C--con")]
    [InlineData("CON", "site-CON")]
    [InlineData("nul.txt", "site-nul.txt")]
    [InlineData("...", "site-")]
    [InlineData("\u202e\u0007", "site-")]
    [InlineData("Überfahrt 東京", "Überfahrt-東京")]
    [InlineData("<script>alert(1)</script>", "script-alert-1---script")]
    public void A_file_is_named_after_its_site_and_can_be_nowhere_else(string site, string expected)
    {
        EstateMap estate = new() { Sites = [new Site { Name = site, Zone = "UTC" }] };
        NoticeFile file = Files(Quay.Plan with { Units = [Quay.Unit(1, site, "s/1", Quay.Night, 0)] }, estate)[0];
        Assert.Equal(_folder.Path(expected + ".notice.txt"), file.Path);
    }

    [Fact]
    public void Sites_whose_names_give_one_file_name_have_files_of_their_own()
    {
        string[] sites = ["a b", "a-b", "A/B", "ab", new string('x', 4000) + "1", new string('x', 4000) + "2"];
        EstateMap estate = new() { Sites = [.. sites.Select(site => new Site { Name = site, Zone = "UTC", Contact = "desk" })] };
        Plan plan = Quay.Plan with { Units = [.. sites.Select((site, index) => Quay.Unit(index + 1, site, "s/1", Quay.Night, 0))] };
        IReadOnlyList<NoticeFile> files = Files(plan, estate);
        Assert.All(files, file => file.Write(overwrite: false));
        Assert.Equal(12, Directory.GetFiles(_folder.FullPath).Select(file => file.ToUpperInvariant()).Distinct().Count());
        Assert.All(files, file => Assert.Equal(file.Text, File.ReadAllText(file.Path)));
        Assert.All(files, file => Assert.True(Path.GetFileName(file.Path).Length < 120));
        Assert.Contains(_folder.Path("ab.notice.txt"), files.Select(file => file.Path));
        Assert.Equal(files.Select(file => file.Path), Files(plan, estate).Select(file => file.Path));
    }

    [Theory]
    [InlineData("</p><script>alert(1)</script>")]
    [InlineData("\u202egnp.exe\u0007\0\u001b[2J\r\n- x")]
    [InlineData("\ud83d alone")]
    [InlineData("a & b < c > d \" e ' f ]]>")]
    public void A_hostile_text_stays_a_text(string hostile)
    {
        foreach (string name in new[] { hostile, string.Concat(Enumerable.Repeat(hostile, 1 + (4000 / hostile.Length))) })
        {
            EstateMap estate = new() { Sites = [new Site { Name = name, Zone = "UTC", Contact = name }] };
            IReadOnlyList<NoticeFile> files = Files(Quay.Plan with { Units = [Quay.Unit(1, name, "s/1", Quay.Night, 0, Quay.Load(name, name, name, lifeSafety: true))] }, estate);
            Assert.All(files[0].Text.Split('\n'), line => Assert.True(PlainText.IsPlain(line), line));
            IDocument page = new HtmlParser().ParseDocument(files[1].Text);
            Assert.Empty(page.QuerySelectorAll("script"));
            Assert.Equal(files[0].Text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length, page.QuerySelectorAll("h1, h2, p, li").Length);
            Assert.Equal(files[0].Text.Split('\n')[0], page.QuerySelector("h1")!.TextContent);
        }
    }

    [Fact]
    public void A_notice_is_kept_unless_it_may_be_replaced_and_its_folder_is_made()
    {
        NoticeFile file = NoticeFile.Of(SiteNotices.Of(Quay.Plan, Lagoon), _folder.Path("new/deep"), [NoticeFormat.Html, NoticeFormat.Html])[0];
        Assert.Null(file.Check(overwrite: false));
        file.Write(overwrite: false);
        Assert.Equal(ProblemId.FileExists, file.Check(overwrite: false)!.Id);
        Assert.Equal(file.Check(overwrite: false), Assert.Throws<PoeOpsException>(() => file.Write(overwrite: false)).Problem);
        Assert.Null(file.Check(overwrite: true));

        string there = _folder.Write("there", "mine");
        Problem problem = NoticeFile.Of(SiteNotices.Of(Quay.Plan, Lagoon), there, [NoticeFormat.Text])[0].Check(overwrite: true)!;
        Assert.Equal((ProblemId.FileNotWritable, $"The folder '{there}' for notices cannot be made: a file stands there."), (problem.Id, problem.Sentence));
        Assert.Throws<PoeOpsException>(() => NoticeFile.Of(SiteNotices.Of(Quay.Plan, Lagoon), there, [NoticeFormat.Text])[0].Write(overwrite: true));
        Assert.Equal("mine", File.ReadAllText(there));
    }

    [Fact]
    public void A_plan_of_no_units_has_no_notice() => Assert.Empty(SiteNotices.Of(Quay.Plan with { Units = [] }, Lagoon));

    [Fact]
    public void The_estate_says_whom_to_call_and_not_with_a_blank()
    {
        string text = Planning.Lagoon.Text.Replace("\"zone\": \"Europe/Berlin\",", "\"zone\": \"Europe/Berlin\", \"contact\": \"the desk, 100\",", StringComparison.Ordinal);
        EstateMap estate = EstateFile.Read(_folder.Write("a.estate.json", text)).Estate!;
        Assert.Equal(["the desk, 100", "", ""], estate.Sites.Select(site => site.Contact));
        EstateResult blank = EstateFile.Read(_folder.Write("b.estate.json", text.Replace("the desk, 100", " ", StringComparison.Ordinal)));
        Assert.Equal(["JsonBadValue 4 sites[0].contact: The text of 'contact' is empty. Write whom people call, or remove the key."], Told.Of(blank.Problems));
    }

    private static string When(PlannedUnit unit, string zone = "Europe/Berlin")
    {
        EstateMap estate = new() { Sites = [new Site { Name = unit.Site, Zone = zone }] };
        return Assert.Single(Part(Assert.Single(SiteNotices.Of(Quay.Plan with { Units = [unit] }, estate)), "When").Items);
    }

    private static NoticePart Part(SiteNotice notice, string heading) => notice.Parts.Single(part => part.Heading == heading);

    private IReadOnlyList<NoticeFile> Files(Plan plan, EstateMap estate) => NoticeFile.Of(SiteNotices.Of(plan, estate), _folder.FullPath, [NoticeFormat.Text, NoticeFormat.Html]);
}
