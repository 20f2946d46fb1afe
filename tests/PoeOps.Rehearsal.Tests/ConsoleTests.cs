namespace PoeOps.Rehearsal.Tests;

/// <summary>Somebody sits at a console and makes mistakes.</summary>
public sealed class ConsoleTests
{
    [Fact]
    public void An_oakum_closes_on_the_first_wrong_key()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using var caller = new Caller(rehearsal, "ferry-2");
        caller.Expect("Your name: ");
        caller.Send("stowaway\r\n");
        caller.Expect("Your key: ");
        caller.Send(rehearsal.Password + "\r\n");

        Assert.EndsWith("The key does not turn.\r\n", caller.ToEnd(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_command_that_a_family_does_not_know_is_refused_in_its_own_words()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller kelpline = Caller.LogIn(rehearsal, "mole-1");
        using Caller oakum = Caller.LogIn(rehearsal, "ferry-2");

        Assert.Equal("Nobody aboard knows \"list node\".\r\n", kelpline.Ask("list node"));
        Assert.Equal("There is no unit 9 aboard.\r\n", kelpline.Ask("tell ports 9"));
        Assert.Equal("node does not follow: tell ports\r\n", oakum.Ask("tell ports"));
        Assert.Equal("node has no feeder Q\r\n", oakum.Ask("list sockets Q"));
    }

    [Fact]
    public void What_a_dialect_calls_refused_is_what_the_consoles_say()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller kelpline = Caller.LogIn(rehearsal, "mole-1");
        using Caller oakum = Caller.LogIn(rehearsal, "ferry-2");

        Assert.Contains(Place.Dialect("kelpline").Console.Refused, refused => refused.IsMatch(kelpline.Ask("refit unit 1 from 127.0.0.1 at 69 with a.img").TrimEnd()));
        Assert.Contains(Place.Dialect("kelpline").Console.Refused, refused => refused.IsMatch(kelpline.Ask("moor").TrimEnd()));
        Assert.Contains(Place.Dialect("oakum").Console.Refused, refused => refused.IsMatch(oakum.Ask("moor").TrimEnd()));
    }

    [Fact]
    public void A_kelpline_echoes_and_an_oakum_does_not()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller kelpline = Caller.LogIn(rehearsal, "mole-1");
        using Caller oakum = Caller.LogIn(rehearsal, "ferry-2");
        kelpline.Ask("tell refit");
        oakum.Ask("list hands");

        Assert.Contains(":: ready :: tell refit\r\nNo refit is under way.\r\n", kelpline.Transcript, StringComparison.Ordinal);
        Assert.Contains("listens; \r\nhands on A: free\r\n", oakum.Transcript, StringComparison.Ordinal);
    }

    [Fact]
    public void A_back_space_takes_back_what_was_typed()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller caller = Caller.LogIn(rehearsal, "mole-1");

        Assert.Equal("No refit is under way.\r\n", caller.Ask("tell refut\b\bit"));
    }

    [Fact]
    public void The_pager_stops_after_24_lines_and_q_ends_the_answer()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller caller = Caller.LogIn(rehearsal, "mole-1");
        caller.Ask("pages on");
        caller.Send("tell ports\r");
        string page = caller.Expect("q stops ]");
        caller.Send("q");
        string rest = caller.Expect(":: ready :: ");

        Assert.Equal(24, page.Split("\r\n").Length - 2);
        Assert.DoesNotContain("1:23", page + rest, StringComparison.Ordinal);
    }

    [Fact]
    public void Several_people_can_sit_at_one_switch_and_see_the_same_port()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller one = Caller.LogIn(rehearsal, "ferry-2");
        using Caller other = Caller.LogIn(rehearsal, "ferry-2");

        Assert.Equal("socket A9 is so\r\n", one.Ask("tier A9 1"));
        Assert.Contains("  A9: gate shut, tier 1, cap none\r\n", other.Ask("list marks A"), StringComparison.Ordinal);
    }

    [Fact]
    public void Sessions_are_bounded_and_one_that_ends_makes_room()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        List<Caller> callers = [.. Enumerable.Range(0, 16).Select(_ => Caller.LogIn(rehearsal, "ferry-2"))];
        using (var late = new Caller(rehearsal, "ferry-2"))
        {
            Assert.Equal(string.Empty, late.ToEnd());
        }

        callers[0].Send("farewell\r\n");
        callers[0].ToEnd();
        Place.Until("the session has ended", () => rehearsal.Log.Any(entry => entry.Kind == DeviceEntryKind.SessionClosed));
        using Caller next = Caller.LogIn(rehearsal, "ferry-2");
        callers.ForEach(caller => caller.Dispose());
    }

    [Fact]
    public void A_port_that_is_switched_off_goes_dark_and_on_again_comes_back()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller caller = Caller.LogIn(rehearsal, "mole-1");
        caller.Ask("take helm");

        Assert.Equal("Port 1:9 is set.\r\n", caller.Ask("feed 1:9 off"));
        Assert.Matches(@"\n1:9 +off +off +- +high +0\.0 +0\.0 +25\.5\r", caller.Ask("tell ports 1"));
        Assert.DoesNotContain("radio-mole-09", caller.Ask("tell neighbours"), StringComparison.Ordinal);
        Assert.Equal("Port 1:9 is set.\r\n", caller.Ask("feed 1:9 on"));
        Place.Until("the radio serves again", () => caller.Ask("tell neighbours").Contains("radio-mole-09", StringComparison.Ordinal));
        Assert.Matches(@"\n1:9 +on +feeding +4 +high +21\.5 +12\.7 +25\.5\r", caller.Ask("tell ports 1"));
    }
}
