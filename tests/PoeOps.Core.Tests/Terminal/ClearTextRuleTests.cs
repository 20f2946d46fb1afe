using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class ClearTextRuleTests
{
    private static readonly EstateMap Real = new() { Name = "lagoon" };
    private static readonly EstateMap Rehearsed = new() { Name = "lagoon", Rehearsal = new RehearsalClock { Speed = 60 } };

    [Theory]
    [InlineData(LinkKind.Telnet, "The link to quay-1 at 192.0.2.21 port 23 is Telnet, which carries user, password and everything said in clear; nobody watches this command, and no estate allows that for this switch.")]
    [InlineData(LinkKind.Tcp, "The link to quay-1 at 192.0.2.21 port 4001 is raw TCP, which carries user, password and everything said in clear; nobody watches this command, and no estate allows that for this switch.")]
    public void Where_nobody_watches_a_link_in_clear_is_refused(LinkKind link, string sentence)
    {
        Problem problem = new ClearTextRule(Real, attended: false).Refusal(Place(link))!;

        Assert.Equal((ProblemId.ClearTextRefused, sentence, "quay-1"), (problem.Id, problem.Sentence, problem.Target));
        Assert.Equal("Reach the switch by SSH, write \"clearText\": true for it in the estate file, or be there yourself, without -Confirm:$false.", problem.Advice);
        Assert.Equal(problem, new ClearTextRule(null, attended: false).Refusal(Place(link)));
    }

    [Theory]
    [InlineData(LinkKind.Telnet, false, true)]
    [InlineData(LinkKind.Tcp, true, false)]
    [InlineData(LinkKind.Ssh, false, false)]
    [InlineData(LinkKind.Ssh, true, false)]
    public void It_may_be_used_where_somebody_watches_or_the_estate_says_so_and_SSH_always(LinkKind link, bool clearText, bool attended)
    {
        ClearTextRule rule = new(Real, attended);
        Switch place = Place(link) with { ClearText = clearText };

        Assert.Null(rule.Refusal(place));
        Assert.Equal(link == LinkKind.Ssh ? null : "1 link is in clear (quay-1): user, password and everything said can be read on the way. Use SSH where the switch has it.", rule.Warning([place]));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_rehearsal_stays_on_loopback_and_needs_no_word(bool attended)
    {
        ClearTextRule rule = new(Rehearsed, attended);

        Assert.Null(rule.Refusal(Place(LinkKind.Telnet)));
        Assert.Null(rule.Warning([Place(LinkKind.Telnet), Place(LinkKind.Tcp)]));
    }

    [Theory]
    [InlineData(2, "2 links are in clear (quay-1, quay-2): ")]
    [InlineData(5, "5 links are in clear (quay-1, quay-2, quay-3, quay-4, quay-5): ")]
    [InlineData(6, "6 links are in clear (quay-1, quay-2, quay-3, quay-4, quay-5 and 1 more): ")]
    [InlineData(312, "312 links are in clear (quay-1, quay-2, quay-3, quay-4, quay-5 and 307 more): ")]
    public void One_warning_names_the_first_and_counts_each_switch_once(int count, string begins)
    {
        List<Switch> places = [.. Enumerable.Range(1, count).Select(number => Place(LinkKind.Telnet) with { Name = $"quay-{number}" })];
        places.AddRange([places[0], Place(LinkKind.Ssh) with { Name = "hall-1" }]);

        Assert.Equal(begins + "user, password and everything said can be read on the way. Use SSH where the switch has it.", new ClearTextRule(Real, attended: true).Warning(places));
    }

    [Fact]
    public void What_is_refused_is_not_warned_about() =>
        Assert.StartsWith(
            "1 link is in clear (quay-2): ",
            new ClearTextRule(Real, attended: false).Warning([Place(LinkKind.Telnet), Place(LinkKind.Telnet) with { Name = "quay-2", ClearText = true }]), StringComparison.Ordinal);

    // Neither the vault that keeps the secrets nor the console hears of a link that is refused.
    [Fact]
    public void A_link_that_is_refused_is_refused_before_anything_is_fetched_or_connected()
    {
        int accepted = 0;
        using ScriptedConsole console = new(_ => Interlocked.Increment(ref accepted));
        Switch place = Place(LinkKind.Telnet) with { Address = "127.0.0.1", Port = console.Port };
        SwitchLinks links = new(
            _ => new DialectResult(Lantern.Dialect(), []), _ => throw new InvalidOperationException("The secrets were fetched."), SystemClock.Instance, null) { ClearText = new ClearTextRule(Real, attended: false) };

        Assert.Equal(ProblemId.ClearTextRefused, Lantern.Fails(() => links.Open(place)).Id);
        Assert.Equal(ProblemId.ClearTextRefused, Lantern.Fails(() => links.Connect(place)).Id);
        Problem told = Assert.Single(new EstateReading(Real, links).Read(place).Problems);
        Assert.Equal((ProblemId.ClearTextRefused, "quay-1"), (told.Id, told.Target));

        // Whoever had connected before would have been accepted before this one.
        using Stream own = console.Connect();
        Assert.Equal(-1, own.ReadByte());
        Assert.Equal(1, accepted);
    }

    private static Switch Place(LinkKind link) => new() { Name = "quay-1", Address = "192.0.2.21", Port = link == LinkKind.Tcp ? 4001 : null, Link = link };
}
