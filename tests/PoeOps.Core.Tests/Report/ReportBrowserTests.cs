using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>The page of a report in a real browser: the first screenful, layout at 1280 and 400 pixels and on A4, keyboard, axe-core, and hostile names.</summary>
public sealed class ReportBrowserTests(ReportBrowser browser) : IClassFixture<ReportBrowser>, IDisposable
{
    // Text that is cut: an element wider inside than outside, where it is not a region that scrolls; text of a picture beyond its edge. Text over text: two
    // siblings, or two texts of a picture, that share more than two pixels each way.
    private const string Faults = """
        () => {
          const faults = [];
          const name = e => `${e.tagName}.${e.getAttribute('class') ?? ''} ${(e.textContent ?? '').slice(0, 30)}`;
          const over = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 2;
          if (document.documentElement.scrollWidth > innerWidth) faults.push(`the page is ${document.documentElement.scrollWidth} wide`);
          for (const e of document.querySelectorAll('body, body *')) {
            if (e.closest('svg') || e.matches('.wide, .skip')) continue;
            if (e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1) faults.push(`${name(e)}: ${e.scrollWidth} in ${e.clientWidth}`);
            const children = [...e.children].filter(c => c.textContent.trim() && !c.matches('.skip') && c.getClientRects().length);
            const boxes = children.map(c => c.getBoundingClientRect());
            for (let i = 0; i < boxes.length; i++)
              for (let j = i + 1; j < Math.min(boxes.length, i + 16); j++)
                if (over(boxes[i], boxes[j])) faults.push(`${name(children[i])} over ${name(children[j])}`);
          }
          for (const svg of document.querySelectorAll('svg')) {
            const edge = svg.getBoundingClientRect();
            const texts = [...svg.querySelectorAll('text')];
            const boxes = texts.map(t => t.getBoundingClientRect());
            boxes.forEach((b, i) => {
              if (b.left < edge.left - 1 || b.right > edge.right + 1 || b.top < edge.top - 1 || b.bottom > edge.bottom + 1) faults.push(`${name(texts[i])} beyond its picture`);
              for (let j = i + 1; j < boxes.length; j++) if (over(b, boxes[j])) faults.push(`${name(texts[i])} over ${name(texts[j])}`);
            });
          }
          return faults.slice(0, 10);
        }
        """;

    // Words of tables that stand on two lines; at a hyphen or a stroke a word may go on in the next.
    private const string BrokenWords = """
        () => {
          const broken = [];
          for (const cell of document.querySelectorAll('section > .wide th, section > .wide td:not(.digest)')) {
            const walk = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
            while (walk.nextNode()) {
              for (const word of walk.currentNode.data.matchAll(/[^\s\-\/]+/g)) {
                const range = document.createRange();
                range.setStart(walk.currentNode, word.index);
                range.setEnd(walk.currentNode, word.index + word[0].length);
                if (new Set([...range.getClientRects()].map(r => Math.round(r.top))).size > 1) broken.push(`${cell.closest('section').id}: ${word[0]}`);
              }
            }
          }
          return [...new Set(broken)].slice(0, 20);
        }
        """;

    private const string Hostile = "<script>console.log('ran')</script><img src=x onerror=\"console.log('ran')\">=cmd() \u202eleft ";
    private readonly SampleNight _night = new();

    public void Dispose() => _night.Dispose();

    [BrowserFact]
    public async Task The_three_answers_stand_in_the_first_screenful()
    {
        _night.WholeNight().Write();
        File.WriteAllText(_night.Path, File.ReadAllText(_night.Path).Replace("Transfer", "Erase", StringComparison.Ordinal));
        var broken = RunSummary.Of(SampleNight.Plan, [JournalSource.Read(_night.Path)]);
        var plan = RunSummary.Of(SampleNight.Plan, []);
        foreach (RunSummary summary in new[] { broken, Long(broken), plan, Long(plan) })
        {
            foreach (int width in new[] { 1280, 400 })
            {
                IPage page = await browser.Open(ReportHtml.Of(summary), width);
                IReadOnlyList<ILocator> answers = await page.Locator(".answer").AllAsync();
                Assert.Equal(3, answers.Count);
                foreach (ILocator answer in answers)
                {
                    LocatorBoundingBoxResult box = (await answer.BoundingBoxAsync())!;
                    LocatorBoundingBoxResult verdict = (await answer.Locator(".verdict").BoundingBoxAsync())!;
                    Assert.True(box.Y >= 0 && verdict.Y + verdict.Height <= 800 && (width == 400 || box.Y + box.Height <= 800), $"At {width} an answer ends at {box.Y + box.Height}, its verdict at {verdict.Y + verdict.Height}.");
                }

                await page.Context.CloseAsync();
            }
        }
    }

    // Dozens of units by hand stand on the first screen at 1280; at 400 five do.
    [BrowserFact]
    public async Task The_units_by_hand_stand_in_the_first_screenful()
    {
        foreach ((int width, int units) in new[] { (1280, 48), (400, 5) })
        {
            RunSummary night = RunSummary.Of(SampleNight.Plan with { Obstacles = [.. Enumerable.Range(1, units).Select(unit => new Obstacle { Switch = "hall-3", Unit = $"{unit}", Reason = "The unit is listed without a controller, and nobody knows what it runs." })] }, [_night.WholeNight().Write()]);
            IPage page = await browser.Open(ReportHtml.Of(night), width);
            LocatorBoundingBoxResult ids = (await page.Locator("#answer-by-hand .ids").BoundingBoxAsync())!;
            Assert.True(ids.Y + ids.Height <= 800, $"At {width} the ids end at {ids.Y + ids.Height}.");
            Assert.EndsWith($"hall-3/{units}", (await page.Locator("#answer-by-hand .ids").TextContentAsync())!, StringComparison.Ordinal);
            await page.Context.CloseAsync();
            File.Delete(_night.Path);
        }
    }

    [BrowserFact]
    public async Task Nothing_is_cut_and_nothing_lies_over_anything()
    {
        RunSummary night = _night.WholeNight().Summary(SampleNight.Plan);
        foreach (RunSummary summary in new[] { night, Long(night), RunSummary.Of(SampleNight.Plan, []), Long(RunSummary.Of(SampleNight.Plan, [])), RunSummary.Of(null, [JournalSource.Read(_night.Path)]) })
        {
            IPage page = await browser.Open(ReportHtml.Of(summary), 1280);
            Assert.Empty(await page.EvaluateAsync<string[]>(Faults));
            await page.SetViewportSizeAsync(400, 800);
            Assert.Empty(await page.EvaluateAsync<string[]>(Faults));

            // A4 less its margins of 14 mm is 182 mm or 688 pixels wide.
            await page.SetViewportSizeAsync(688, 1000);
            await page.EmulateMediaAsync(new() { Media = Media.Print });
            Assert.Empty(await page.EvaluateAsync<string[]>(Faults));
            await page.Context.CloseAsync();
        }
    }

    [BrowserFact]
    public async Task It_prints_on_A4()
    {
        IPage page = await browser.Open(ReportHtml.Of(_night.WholeNight().Summary(SampleNight.Plan)), 1280);
        string pdf = System.Text.Encoding.Latin1.GetString(await page.PdfAsync(new() { PreferCSSPageSize = true }));
        string[] sizes = [.. System.Text.RegularExpressions.Regex.Matches(pdf, @"/MediaBox \[([^\]]*)\]").Select(match => match.Groups[1].Value).Distinct().Order(StringComparer.Ordinal)];

        // ISO 216: 210 by 297 mm, in points of 1/72 inch.
        Assert.Equal(2, sizes.Length);
        Assert.All(sizes, size => Assert.Equal([595, 842], size.Split(' ').Skip(2).Select(number => (int)Math.Round(double.Parse(number, System.Globalization.CultureInfo.InvariantCulture))).Order()));
        await page.Context.CloseAsync();
    }

    // A4 less its margins is 688 pixels wide upright and 1032 across; each table is looked at as it lies. ISO 216.
    [BrowserFact]
    public async Task No_word_of_a_table_is_broken_on_paper()
    {
        RunSummary night = _night.WholeNight().Summary(SampleNight.Plan);
        night = night with { Units = [.. night.Units.Select(unit => unit with { FirmwareBefore = "kl_3_8_0", ToFirmware = "kl_3_10_0", FirmwareNow = "kl_3_10_0", ImageFile = "kl_3_10_0.img" })] };
        var plan = RunSummary.Of(SampleNight.Plan, []);
        foreach (RunSummary summary in new[] { night, plan })
        {
            IPage page = await browser.Open(ReportHtml.Of(summary), 1280);
            await page.EmulateMediaAsync(new() { Media = Media.Print });
            foreach ((int width, string kept) in new[] { (688, "slim"), (1032, "broad") })
            {
                await page.SetViewportSizeAsync(width, 1000);
                await page.EvaluateAsync("kept => document.querySelectorAll('section[id]').forEach(s => s.style.display = s.classList.contains(kept) ? '' : 'none')", kept);
                Assert.Empty(await page.EvaluateAsync<string[]>(BrokenWords));
            }

            await page.Context.CloseAsync();
        }
    }

    [BrowserFact]
    public async Task Axe_finds_nothing_serious()
    {
        RunSummary night = _night.WholeNight().Summary(SampleNight.Plan);
        foreach ((RunSummary summary, int width, bool dark) in new[] { (night, 1280, false), (night, 400, true), (RunSummary.Of(SampleNight.Plan, []), 1280, true) })
        {
            IPage page = await browser.Open(ReportHtml.Of(summary), width, dark);
            AxeResult result = await page.RunAxe();
            Assert.True(result.Passes.Length > 15, "axe-core looked at next to nothing.");
            Assert.Empty(result.Violations.Select(violation => $"{violation.Impact} {violation.Id}: {violation.Nodes[0].Html}"));
            await page.Context.CloseAsync();
        }
    }

    [BrowserFact]
    public async Task It_is_read_by_keyboard()
    {
        IPage page = await browser.Open(ReportHtml.Of(_night.WholeNight().Summary(SampleNight.Plan)), 400);
        await page.Keyboard.PressAsync("Tab");
        Assert.Equal("Skip to the answers", await page.EvaluateAsync<string>("document.activeElement.textContent"));
        Assert.True((await page.Locator(".skip").BoundingBoxAsync())!.X >= 0);
        int regions = await page.Locator(".wide").CountAsync();
        Assert.Equal(regions, await page.EvaluateAsync<int>("[...document.querySelectorAll('.wide')].filter(e => { e.focus(); return document.activeElement === e && getComputedStyle(e).overflowX === 'auto'; }).length"));
        await page.Locator("#loads .wide").FocusAsync();
        await page.Keyboard.PressAsync("End");
        await page.Keyboard.PressAsync("ArrowRight");
        await page.WaitForFunctionAsync("document.querySelector('#loads .wide').scrollLeft > 0");
        await page.Context.CloseAsync();
    }

    // With the page's own seal, and without it: what names hold is not even tried.
    [BrowserFact]
    public async Task No_name_makes_anything_run_or_fetches_anything()
    {
        RunSummary night = Long(_night.WholeNight().Summary(SampleNight.Plan));
        foreach (bool isSealed in new[] { true, false })
        {
            List<string> heard = [];
            IPage page = await browser.Open(ReportHtml.Of(night), 1280, isSealed: isSealed, heard: heard);
            Assert.Equal(0, await page.Locator("script, img, iframe, object, link").CountAsync());
            Assert.Matches("^request: [0-9]+\\.html$", Assert.Single(heard));
            await page.Context.CloseAsync();
        }
    }

    [BrowserFact]
    public async Task A_page_of_two_thousand_units_opens()
    {
        IPage page = await browser.Open(ReportHtml.Of(BigNight.Summary(2000, 24)), 1280);
        Assert.Equal(2000, await page.Locator("#done tbody tr").CountAsync());
        await page.Context.CloseAsync();
    }

    // Every name 4,000 characters long and full of what could break out; one without a place to break at.
    private static RunSummary Long(RunSummary summary)
    {
        string name = string.Concat(Enumerable.Repeat(Hostile, 1 + (4000 / Hostile.Length)))[..4000];
        string solid = new('W', 4000);
        return summary with
        {
            PlanName = name,
            Problems = [new Problem(ProblemId.JournalTorn, name, solid), .. summary.Problems],
            StillDark = summary.StillDark with { Items = [name, solid, name, solid] },
            LifeSafety = summary.LifeSafety with { Items = [solid, name, name, name] },
            ByHand = summary.ByHand with { Items = [name, solid], Units = [solid, name, solid] },
            Units = [.. summary.Units.Select(unit => unit with { UnitId = solid, Site = name, Model = solid, Reason = name, ImageFile = solid, Notes = [name], NotBack = [solid] })],
            Loads = [.. summary.Loads.Select(load => load with { UnitId = solid, Load = name, Role = solid, Port = solid })],
            Windows = [.. summary.Windows.Select(window => window with { Site = name, Zone = solid, Pilots = [solid, name], CoverageGroups = [name] })],
            Curves = [summary.Curves.Count == 0 ? new RestartCurve { UnitId = name } : summary.Curves[0] with { UnitId = solid }],
            Cautions = [name, solid],
        };
    }
}
