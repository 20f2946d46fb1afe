using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>The switches are quiet, and somebody reads them.</summary>
public sealed class ReadingTests
{
    [Theory]
    [InlineData("mole-1", "kelpline")]
    [InlineData("ferry-2", "oakum")]
    public void Every_property_of_every_controller_and_port_is_read_as_the_world_has_it(string name, string dialect)
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller caller = Caller.LogIn(rehearsal, name);

        Reading reading = Truth.Read(caller, name);

        Assert.Empty(reading.Problems);
        IReadOnlyList<Controller> expected = Truth.Of(name, dialect);
        Assert.Equal(expected.Count, reading.Controllers.Count);
        for (int i = 0; i < expected.Count; i++)
        {
            // What people call a load is worked out from its neighbour and description, which are compared themselves.
            Assert.Equal(expected[i].Ports.Select(port => port with { Load = null }), reading.Controllers[i].Ports.Select(port => port with { Load = null }));
            Assert.Equal(expected[i] with { Ports = [], DialectPath = Place.Dialect(dialect).SourcePath }, reading.Controllers[i] with { Ports = [] });
        }
    }

    [Theory]
    [InlineData("mole-1")]
    [InlineData("ferry-2")]
    public void No_line_of_the_answers_is_left_unread(string name)
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller caller = Caller.LogIn(rehearsal, name);

        Assert.DoesNotContain(Truth.Read(caller, name).Lines, line => line.ReadAs == ReadAs.Unread);
    }

    [Fact]
    public void The_sums_of_the_mole_are_those_worked_out_by_hand()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller kelpline = Caller.LogIn(rehearsal, "mole-1");
        using Caller oakum = Caller.LogIn(rehearsal, "ferry-2");

        Controller mole = Truth.Read(kelpline, "mole-1").Controllers[0];
        Controller ferry = Truth.Read(oakum, "ferry-2").Controllers[0];

        // 8 phones of 5.5, 3 radios of 21.5, a help point and a sensor of 15.4; the camera is off. 5 radios, 2 cameras and a help point.
        Assert.Equal((139.3m, 74.0m), (mole.AllocatedWatts, mole.DrawWatts));
        Assert.Equal((153.7m, 81.1m), (ferry.AllocatedWatts, ferry.DrawWatts));
    }

    [Fact]
    public void A_whole_night_of_a_kelpline_with_pager_and_echo_is_read_without_a_line_left()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller caller = Caller.LogIn(rehearsal, "mole-1");
        caller.Ask("tell power");
        caller.Ask("pages on");
        caller.Send("tell ports\r");
        caller.Expect("q stops ]");
        caller.Send(" ");
        caller.Expect("q stops ]");
        caller.Send(" ");
        caller.Expect(":: ready :: ");
        caller.Ask("tell nonsense");
        caller.Ask("rank 1:1 high");
        caller.Ask("take helm");
        caller.Ask("rank 1:1 low");
        caller.Ask("feed 1:99 on");
        caller.Ask("tell refit");

        Reading reading = ReadWhole(caller, "kelpline");

        Assert.Empty(reading.Problems);
        Assert.DoesNotContain(reading.Lines, line => line.ReadAs == ReadAs.Unread);
        Assert.Equal(48, reading.Lines.Count(line => line.Record.StartsWith("port", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_whole_night_of_an_oakum_is_read_without_a_line_left()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();
        using Caller caller = Caller.LogIn(rehearsal, "ferry-2");
        caller.Ask("list feeders");
        caller.Ask("list sockets A");
        caller.Ask("list sockets B");
        caller.Ask("list sockets Z");
        caller.Ask("sing");
        caller.Ask("tier A1 2");
        caller.Ask("cap A99 none");
        caller.Ask("how far A");
        caller.Ask("list hands");

        Reading reading = ReadWhole(caller, "oakum");

        Assert.Empty(reading.Problems);
        Assert.DoesNotContain(reading.Lines, line => line.ReadAs == ReadAs.Unread);
        Assert.Equal([("A", 16), ("B", 16)], reading.Controllers.Select(one => (one.Unit, one.Ports.Count)));
    }

    [Fact]
    public void Every_switch_of_the_demo_harbour_is_read_over_its_console_without_a_problem()
    {
        string harbour = Path.Combine(Place.Root, "examples", "harbour.estate.json");
        using RunningRehearsal rehearsal = RehearsalEstate.Start(new RehearsalOptions { EstatePath = harbour, Speed = Place.Speed });
        foreach (RehearsalSwitch one in rehearsal.Switches)
        {
            using var link = new TerminalLink(
                () => TcpConnection.Open("127.0.0.1", one.Port, LinkKind.Tcp, rehearsal.Clock.DeadlineIn(TimeSpan.FromSeconds(15))),
                Place.Dialect(one.Family), new LogInSecrets(rehearsal.User, rehearsal.Password, rehearsal.ElevationPassword), one.Name, rehearsal.Clock);

            Assert.Empty(link.Read().Problems);
        }
    }

    private static Reading ReadWhole(Caller caller, string family) =>
        CaptureReader.Read(Place.Dialect(family), CaptureText.FromText(caller.Transcript, "night.txt"), new ReadingContext { Switch = "night", KeepLines = true });
}
