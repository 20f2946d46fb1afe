using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Many switches are read side by side, over consoles on loopback TCP.</summary>
public sealed class EstateReadingTests
{
    // For what must come at some time; no test asks how fast.
    private static readonly TimeSpan Ages = TimeSpan.FromSeconds(60);

    private static readonly Dialect Lantern = Terminal.Lantern.Dialect(more: """ "ask": { "controllers": ["tell berths"] } """);

    private static readonly Dictionary<string, string> Pier = new() { ["tell berths"] = "berth hull firmware state\r\n 1 H-8 3.9 sound\r\n 2 H-8 3.8 sound\r\n-- berths\r\n" };

    [Fact]
    public void Every_switch_gives_a_reading_and_as_many_as_allowed_are_read_at_once()
    {
        using Barrier together = new(4);
        using ScriptedConsole console = new(peer =>
        {
            Assert.True(together.SignalAndWait(Ages));
            Serve(peer);
        });
        EstateMap estate = Estate([.. Enumerable.Repeat(console.Port, 12)]);

        List<string> units = [.. Reading(estate).ReadMany([.. estate.Switches], 4).SelectMany(Units)];

        Assert.Equal(Enumerable.Range(1, 12).SelectMany(n => new[] { $"pier-{n:00}/1 3.9", $"pier-{n:00}/2 3.8" }), units.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Never_are_more_read_at_once_than_allowed()
    {
        int now = 0, most = 0;
        using ScriptedConsole console = new(peer =>
        {
            int here = Interlocked.Increment(ref now);
            InterlockedMax(ref most, here);
            peer.Write(Terminal.Lantern.Prompt);
            string command = peer.ReadLine();
            Interlocked.Decrement(ref now);
            peer.Write(Pier[command] + Terminal.Lantern.Prompt);
            peer.Hang();
        });
        EstateMap estate = Estate([.. Enumerable.Repeat(console.Port, 40)]);

        Assert.Equal(40, Reading(estate).ReadMany([.. estate.Switches], 3).Count());
        Assert.InRange(most, 1, 3);
    }

    [Fact]
    public void One_at_a_time_they_come_in_the_order_of_the_estate()
    {
        using ScriptedConsole console = new(Serve);
        EstateMap estate = Estate([.. Enumerable.Repeat(console.Port, 5)]);
        List<string> begun = [];

        List<string> units = [.. Reading(estate).ReadMany([.. estate.Switches], 1, place => begun.Add(place.Name)).SelectMany(Units)];

        Assert.Equal(["pier-01", "pier-02", "pier-03", "pier-04", "pier-05"], begun);
        Assert.Equal(units.Order(StringComparer.Ordinal), units);
    }

    [Fact]
    public void A_slow_switch_holds_nobody_up()
    {
        using ManualResetEventSlim othersRead = new();
        using ScriptedConsole slow = new(peer =>
        {
            Assert.True(othersRead.Wait(Ages));
            Serve(peer);
        });
        using ScriptedConsole quick = new(Serve);
        EstateMap estate = Estate(slow.Port, quick.Port, quick.Port, quick.Port, quick.Port);
        List<string> came = [];

        foreach (SwitchReading reading in Reading(estate).ReadMany([.. estate.Switches], 2))
        {
            came.Add(reading.Controllers[0].Switch);
            if (came.Count == 4)
            {
                othersRead.Set();
            }
        }

        Assert.Equal("pier-01", came[^1]);
        Assert.Equal(5, came.Distinct().Count());
    }

    [Fact]
    public void One_that_fails_is_one_problem_and_the_rest_go_on()
    {
        using ScriptedConsole console = new(Serve);
        using ScriptedConsole rude = new(peer =>
        {
            peer.Write(Terminal.Lantern.Prompt);
            peer.Serve(Terminal.Lantern.Prompt, null, new Dictionary<string, string>());
        });
        EstateMap estate = Estate(console.Port, 0, console.Port, rude.Port, console.Port);

        List<SwitchReading> readings = [.. Reading(estate).ReadMany([.. estate.Switches], 5)];

        Assert.Equal(5, readings.Count);
        Assert.Equal(["pier-01", "pier-03", "pier-05"], readings.SelectMany(one => one.Controllers).Select(one => one.Switch).Distinct().Order(StringComparer.Ordinal));
        Assert.Equal(
            [("pier-02", ProblemId.ConnectFailed), ("pier-04", ProblemId.CommandRefused)],
            readings.SelectMany(one => one.Problems).Select(one => (one.Target, one.Id)).Order());
    }

    [Fact]
    public void A_stop_ends_it_at_once_and_closes_every_connection_wherever_the_dialogue_is()
    {
        using CountdownEvent reached = new(3);
        using CountdownEvent closed = new(3);
        using ScriptedConsole console = new(peer =>
        {
            if (reached.CurrentCount > 1)
            {
                peer.Write(Terminal.Lantern.Prompt);
                _ = peer.ReadLine();
            }

            reached.Signal();
            try
            {
                _ = peer.ReadByte();
            }
            finally
            {
                closed.Signal();
            }
        });
        EstateMap estate = Estate([.. Enumerable.Repeat(console.Port, 9)]);
        using CancellationTokenSource stop = new();
        int begun = 0;
        Exception? end = null;
        Thread reader = new(() => end = Record.Exception(() => Reading(estate).ReadMany([.. estate.Switches], 3, _ => Interlocked.Increment(ref begun), stop.Token).Count()));
        reader.Start();
        Assert.True(reached.Wait(Ages));

        stop.Cancel();

        // Left to themselves they would wait half a minute for the silent consoles.
        Assert.True(reader.Join(TimeSpan.FromSeconds(20)));
        Assert.IsAssignableFrom<OperationCanceledException>(end);
        Assert.True(closed.Wait(TimeSpan.FromSeconds(20)));
        Assert.Equal(3, begun);
    }

    [Fact]
    public void A_stop_that_came_before_is_no_end_of_the_readings()
    {
        using ScriptedConsole console = new(Serve);
        EstateMap estate = Estate([.. Enumerable.Repeat(console.Port, 9)]);
        for (int times = 0; times < 50; times++)
        {
            Assert.ThrowsAny<OperationCanceledException>(() => Reading(estate).ReadMany([.. estate.Switches], 3, null, new CancellationToken(canceled: true)).Count());
        }
    }

    [Fact]
    public void Whoever_takes_no_more_readings_ends_it_as_well()
    {
        using CountdownEvent closed = new(2);
        using ManualResetEventSlim silent = new();
        int count = 0;
        using ScriptedConsole console = new(peer =>
        {
            if (Interlocked.Increment(ref count) == 1)
            {
                Serve(peer);
            }

            if (count == 3)
            {
                silent.Set();
            }

            try
            {
                _ = peer.ReadByte();
            }
            finally
            {
                closed.Signal();
            }
        });
        EstateMap estate = Estate([.. Enumerable.Repeat(console.Port, 3)]);

        foreach (SwitchReading reading in Reading(estate).ReadMany([.. estate.Switches], 2))
        {
            Assert.Equal("pier-", reading.Controllers[0].Switch[..5]);
            Assert.True(silent.Wait(Ages));
            break;
        }

        Assert.True(closed.Wait(TimeSpan.FromSeconds(20)));
    }

    [Fact]
    public void Nothing_is_read_ahead_of_what_is_taken()
    {
        using ScriptedConsole console = new(Serve);
        EstateMap estate = Estate([.. Enumerable.Repeat(console.Port, 60)]);
        int begun = 0, taken = 0;

        foreach (SwitchReading _ in Reading(estate).ReadMany([.. estate.Switches], 2, _ => Interlocked.Increment(ref begun)))
        {
            // What was taken, what lies ready, and what the two readers hold.
            taken++;
            Assert.InRange(Volatile.Read(ref begun), taken, taken + 3);
        }

        Assert.Equal(60, taken);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(257)]
    public void A_count_out_of_bounds_is_refused(int most) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Reading(Estate(1)).ReadMany([], most));

    [Fact]
    public void No_switch_gives_no_reading() => Assert.Empty(Reading(Estate(1)).ReadMany([], 16));

    private static void Serve(ConsolePeer peer)
    {
        peer.Write(Terminal.Lantern.Prompt);
        peer.Serve(Terminal.Lantern.Prompt, null, Pier);
    }

    private static IEnumerable<string> Units(SwitchReading reading)
    {
        Assert.Empty(reading.Problems);
        return reading.Controllers.Select(one => $"{one.UnitId} {one.Firmware}");
    }

    private static EstateReading Reading(EstateMap estate) =>
        new(estate, new SwitchLinks(_ => new DialectResult(Lantern, []), _ => null, SystemClock.Instance, transcriptFolder: null) { ClearText = new ClearTextRule(estate, attended: true) });

    // Port 0 stands for a host that nobody knows.
    private static EstateMap Estate(params int[] ports) => new()
    {
        Name = "Piers",
        Sites =
        [
            new Site
            {
                Name = "shore",
                Switches = [.. ports.Select((port, i) => new Switch { Name = $"pier-{i + 1:00}", Address = port == 0 ? "pier.invalid" : "127.0.0.1", Port = Math.Max(1, port), Link = LinkKind.Tcp, Dialect = "lantern", Site = "shore" })],
            },
        ],
    };

    private static void InterlockedMax(ref int most, int here)
    {
        int seen;
        while (here > (seen = Volatile.Read(ref most)) && Interlocked.CompareExchange(ref most, here, seen) != seen)
        {
        }
    }
}
