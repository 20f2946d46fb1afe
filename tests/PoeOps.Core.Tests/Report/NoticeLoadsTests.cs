using PoeOps.Estate;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>How a notice counts and names the loads of a site, for people who know neither port nor switch.</summary>
public sealed class NoticeLoadsTests
{
    private static readonly EstateMap Lagoon = new()
    {
        Name = "Lagoon",
        Sites = [new Site { Name = "quay", Zone = "Europe/Berlin", Contact = "the network desk, extension 100" }],
    };

    [Fact]
    public void What_hangs_on_one_unit_goes_dark_together_and_once()
    {
        PlannedUnit unit = Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "phone"), Quay.Load("2", "phone"));
        SiteNotice notice = Of(unit, Quay.Unit(2, "quay", "quay-1/2", Quay.Night, 15));
        Assert.Equal(["2 devices go dark, all together:"], Part(notice, "What goes dark").Sentences);
        Assert.EndsWith("at the longest that is expected.", Assert.Single(Part(notice, "How long").Sentences), StringComparison.Ordinal);
        Assert.Equal(["1 device goes dark:"], Part(Of(Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "phone"))), "What goes dark").Sentences);
    }

    [Fact]
    public void Some_that_go_dark_more_than_once_are_counted_in_the_sentence_before_the_list()
    {
        PlannedUnit first = Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "phone")) with { Hops = 2 };
        SiteNotice notice = Of(first, first with { Order = 2, Hop = 2, StartUtc = Quay.Night.AddMinutes(20) }, Quay.Unit(3, "quay", "quay-1/2", Quay.Night, 40, Quay.Load("1", "phone"), Quay.Load("2", "radio")));
        Assert.Equal(["3 devices go dark, not all at once, 1 of them more than once:"], Part(notice, "What goes dark").Sentences);
    }

    [Fact]
    public void Loads_of_which_nobody_says_what_they_are_come_last_and_alone_make_no_list()
    {
        PlannedUnit unit = Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "other"), Quay.Load("2", "other"), Quay.Load("3", "phone"), Quay.Load("4", "load"));
        Assert.Equal(["phone: 1", "3 other devices"], Part(Of(unit), "What goes dark").Items);
        NoticePart none = Part(Of(Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "other"), Quay.Load("2", ""))), "What goes dark");
        Assert.Equal(["2 devices go dark, all together."], none.Sentences);
        Assert.Empty(none.Items);
    }

    [Fact]
    public void A_load_is_named_as_people_know_it_and_such_as_have_no_name_are_counted()
    {
        PlannedUnit[] units =
        [
            Quay.Unit(1, "quay", "quay-1/1", Quay.Night, 0, Quay.Load("1", "help point", lifeSafety: true), Quay.Load("2", "help point", lifeSafety: true), Quay.Load("3", "other", "north gate", lifeSafety: true)),
            Quay.Unit(2, "quay", "quay-1/2", Quay.Night, 15, Quay.Load("1", "help point", lifeSafety: true), Quay.Load("2", "load", lifeSafety: true)),
        ];
        SiteNotice notice = Of(units);
        Assert.Equal(["help point: 3", "north gate", "a device without a name"], notice.Parts[0].Items);
        Assert.Equal("5 devices that keep people safe do not work meanwhile, and nobody gets help through what is dark:", notice.Parts[0].Sentences[^1]);
        Assert.Equal(["help point: 3 (keeps people safe)", "2 other devices (keeps people safe)"], Part(notice, "What goes dark").Items);
        Assert.Contains("do not know what to use instead, tell whoever gave you this notice before it comes.", SiteNotices.Of(Quay.Plan with { Units = units }, Lagoon with { Sites = [new Site { Name = "quay", Zone = "UTC" }] })[0].Parts[0].Sentences[0], StringComparison.Ordinal);
    }

    private static SiteNotice Of(params PlannedUnit[] units) => Assert.Single(SiteNotices.Of(Quay.Plan with { Units = units }, Lagoon));

    private static NoticePart Part(SiteNotice notice, string heading) => notice.Parts.Single(part => part.Heading == heading);
}
