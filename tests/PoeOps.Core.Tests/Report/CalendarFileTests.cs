using System.Text;
using Ical.Net.CalendarComponents;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>The calendar of a plan, read back by Ical.Net 5.2.4 and held against RFC 5545.</summary>
public sealed class CalendarFileTests
{
    private const string Small = """
        BEGIN:VCALENDAR
        VERSION:2.0
        PRODID:-//PoeOps//Plan calendar//EN
        BEGIN:VEVENT
        UID:UID-1
        DTSTAMP:20261126T093015Z
        SEQUENCE:217848615
        STATUS:CONFIRMED
        DTSTART:20261201T210000Z
        DTEND:20261201T230000Z
        SUMMARY:quay: 2 refreshes\, 5 loads go dark\, 1 life-safety
        LOCATION:quay
        DESCRIPTION:CAUTION: 1 life-safety load goes dark. Inform those affected\, 
         provide another means for that time\, follow local codes\, and have licens
         ed practice decide.\n- ticket hall\; gate 3\, north (help point)\, port 7 
         of quay-1/1\, from about 21:00\nPSE controllers are refreshed one after th
         e other\, and the loads of each are dark meanwhile. Times are UTC\; a unit
          may start later than planned.\n21:00 quay-1/1: 3 loads go dark for 3 min 
         as a rule\, 4 min at worst: help point 1 (life-safety)\, phone 2.\n21:15 q
         uay-1/2: 2 loads go dark for 3 min as a rule\, 4 min at worst: camera 1\, 
         phone 1. Not back by itself: camera\, port 2 of quay-1/2.
        END:VEVENT
        BEGIN:VEVENT
        UID:UID-2
        DTSTAMP:20261126T093015Z
        SEQUENCE:217848615
        STATUS:CONFIRMED
        DTSTART:20261203T210000Z
        DTEND:20261203T230000Z
        SUMMARY:islet: 1 refresh\, no load goes dark
        LOCATION:islet
        DESCRIPTION:PSE controllers are refreshed one after the other\, and the loa
         ds of each are dark meanwhile. Times are UTC\; a unit may start later than
          planned.\n21:00 islet-1/1: no load goes dark.
        END:VEVENT
        END:VCALENDAR

        """;

    [Fact]
    public void A_small_calendar_is_this_text()
    {
        string text = CalendarFile.Of(Quay.Plan)!;
        CalendarEvent[] events = [.. Read(text)];
        Assert.Equal(Small.Replace("UID-1", events[0].Uid).Replace("UID-2", events[1].Uid).ReplaceLineEndings("\r\n"), text);
        Assert.Equal(text, CalendarFile.Of(Quay.Plan));

        // 2020-01-01 until then, by GNU date: 1795685415 - 1577836800.
        Assert.All(events, one => Assert.Equal(1795685415 - 1577836800, one.Sequence));
    }

    [Fact]
    public void What_others_read_of_it_is_the_plan()
    {
        Plan plan = Quay.Plan;
        CalendarEvent[] events = [.. Read(CalendarFile.Of(plan)!)];
        Assert.Equal(plan.Units.Select(unit => (unit.Site, unit.WindowOpensUtc, unit.WindowClosesUtc)).Distinct(), events.Select(one => (one.Location!, one.DtStart!.AsUtc, one.DtEnd!.AsUtc)));
        Assert.Equal(["quay: 2 refreshes, 5 loads go dark, 1 life-safety", "islet: 1 refresh, no load goes dark"], events.Select(one => one.Summary));
        string[] lines = events[0].Description!.Split('\n');
        Assert.StartsWith("CAUTION: 1 life-safety load goes dark. Inform those affected, ", lines[0], StringComparison.Ordinal);
        Assert.Equal("- ticket hall; gate 3, north (help point), port 7 of quay-1/1, from about 21:00", lines[1]);
        Assert.Equal("21:00 quay-1/1: 3 loads go dark for 3 min as a rule, 4 min at worst: help point 1 (life-safety), phone 2.", lines[3]);
        Assert.Equal(5, lines.Length);
        Assert.All(events, one => Assert.Equal(("CONFIRMED", new DateTime(2026, 11, 26, 9, 30, 15, DateTimeKind.Utc)), (one.Status, one.DtStamp!.AsUtc)));
    }

    [Fact]
    public void A_later_plan_updates_the_same_events_and_cancels_those_it_drops()
    {
        Plan old = Quay.Plan;
        Plan plan = old with { CreatedUtc = old.CreatedUtc.AddDays(1), Units = [old.Units[0] with { Site = "QUAY" }, Quay.Unit(2, "quay", "quay-1/2", Quay.Night.AddDays(7), 0, Quay.Load("1", "phone"))] };
        CalendarEvent[] before = [.. Read(CalendarFile.Of(old)!)];
        CalendarEvent[] after = [.. Read(CalendarFile.Of(plan, old)!)];
        Assert.Equal(["QUAY: 1 refresh, 3 loads go dark, 1 life-safety", "quay: 1 refresh, 1 load goes dark", "Cancelled: islet: 1 refresh, no load goes dark"], after.Select(one => one.Summary));
        Assert.Equal(["CONFIRMED", "CONFIRMED", "CANCELLED"], after.Select(one => one.Status));
        Assert.Equal((before[0].Uid, before[1].Uid), (after[0].Uid, after[2].Uid));
        Assert.Equal(3, after.Select(one => one.Uid).Distinct().Count());
        Assert.All(after, one => Assert.Equal(before[0].Sequence + 86400, one.Sequence));
        Assert.Equal("Nothing is refreshed in this window any more, by the plan of 2026-11-27 09:30 UTC.", after[2].Description);
        Assert.Equal((before[1].DtStart!.AsUtc, before[1].DtEnd!.AsUtc), (after[2].DtStart!.AsUtc, after[2].DtEnd!.AsUtc));
    }

    [Fact]
    public void What_was_over_already_is_not_cancelled_and_what_is_used_is_not()
    {
        Plan old = Quay.Plan;
        Plan afterTheFirst = old with { CreatedUtc = Quay.Night.AddHours(2), Units = [] };
        Assert.Equal(["Cancelled: islet: 1 refresh, no load goes dark"], Read(CalendarFile.Of(afterTheFirst, old)!).Select(one => one.Summary));
        Assert.Null(CalendarFile.Of(afterTheFirst with { CreatedUtc = Quay.Night.AddDays(3) }, old));
        Assert.Null(CalendarFile.Of(old with { Units = [] }));
        Assert.Equal(CalendarFile.Of(old), CalendarFile.Of(old, old));
    }

    [Fact]
    public void Windows_of_other_estates_sites_and_times_are_other_events()
    {
        PlannedUnit unit = Quay.Plan.Units[0];
        string Uid(Plan plan) => Assert.Single(Read(CalendarFile.Of(plan)!)).Uid!;
        Plan one = Quay.Plan with { Units = [unit] };
        string[] uids =
        [
            Uid(one), Uid(one with { Name = "Harbour" }), Uid(one with { Units = [unit with { Site = "quay2" }] }),
            Uid(one with { Units = [unit with { WindowClosesUtc = unit.WindowClosesUtc.AddHours(1) }] }), Uid(one with { Units = [unit with { WindowOpensUtc = unit.WindowOpensUtc.AddHours(-1) }] }),
        ];
        Assert.Equal(5, uids.Distinct().Count());
        Assert.Equal(uids[0], Uid(one with { EstatePath = "elsewhere", Units = [unit with { Unit = "9", StartUtc = unit.StartUtc.AddMinutes(3) }] }));
    }

    [Fact]
    public void A_previous_plan_that_cannot_be_is_refused()
    {
        Plan plan = Quay.Plan;
        Problem other = Assert.Throws<PoeOpsException>(() => CalendarFile.Of(plan, plan with { Name = "Harbour" })).Problem;
        Assert.Equal((ProblemId.PreviousPlanUnfit, "The previous plan is of the estate 'Harbour', and the plan is of 'Lagoon'."), (other.Id, other.Sentence));
        Problem later = Assert.Throws<PoeOpsException>(() => CalendarFile.Of(plan, plan with { CreatedUtc = plan.CreatedUtc.AddSeconds(1) })).Problem;
        Assert.Equal((ProblemId.PreviousPlanUnfit, "The previous plan is made at 2026-11-26T09:30:16.1234567Z, after the plan (2026-11-26T09:30:15.1234567Z)."), (later.Id, later.Sentence));
        Assert.Equal("Give the plan of the same estate whose calendar went out before.", later.Advice);
    }

    [Theory]
    [InlineData(@"back\slash; semi, comma: colon ""quote""")]
    [InlineData("BEGIN:VEVENT\r\nEND:VCALENDAR")]
    [InlineData("\u202egnp.exe\u0007\0\u001b[2J")]
    [InlineData("ÄÖÜ 東京 🚢🚢🚢 naïve")]
    [InlineData("\ud83d alone \udea2")]
    [InlineData("'\\n'")]
    public void A_hostile_name_does_no_harm(string name)
    {
        foreach (string hostile in new[] { name, string.Concat(Enumerable.Repeat(name, 1 + (4000 / name.Length))) })
        {
            PlannedLoad load = Quay.Load(hostile, hostile, hostile, lifeSafety: true);
            Plan plan = Quay.Plan with { Name = hostile, Units = [Quay.Unit(1, hostile, "s/1", Quay.Night, 0, load)] };
            string text = CalendarFile.Of(plan)!;
            Confirm(text);
            CalendarEvent one = Assert.Single(Read(text));
            string shown = PlainText.Of(hostile);
            Assert.StartsWith(shown[..Math.Min(shown.Length, 150)], one.Location, StringComparison.Ordinal);
            Assert.True(one.Location!.Length < 260);
            Assert.Contains($"- {shown[..Math.Min(shown.Length, 150)]}", one.Description, StringComparison.Ordinal);
            Assert.Equal(4, one.Description!.Split('\n').Length);
        }
    }

    [Fact]
    public void Lines_are_folded_at_75_octets_wherever_a_character_falls()
    {
        for (int length = 40; length < 80; length++)
        {
            string site = new string('x', length) + "é東🚢é東🚢é東🚢é東🚢é東🚢é東🚢";
            string text = CalendarFile.Of(Quay.Plan with { Units = [Quay.Unit(1, site, "s/1", Quay.Night, 0)] })!;
            Confirm(text);
            Assert.Equal(site, Assert.Single(Read(text)).Location);
        }
    }

    // RFC 5545, sections 3.1 and 3.4.
    private static void Confirm(string text)
    {
        Assert.EndsWith("END:VCALENDAR\r\n", text, StringComparison.Ordinal);
        string[] lines = text.Split("\r\n");
        Assert.All(lines, line => Assert.InRange(new UTF8Encoding(false, throwOnInvalidBytes: true).GetByteCount(line), 0, 75));
        Assert.All(lines, line => Assert.True(PlainText.IsPlain(line), line));
        Assert.Single(lines, "BEGIN:VEVENT");
        Assert.Single(lines, "END:VCALENDAR");
    }

    private static IEnumerable<CalendarEvent> Read(string text) => Ical.Net.Calendar.Load(text)!.Events;
}
