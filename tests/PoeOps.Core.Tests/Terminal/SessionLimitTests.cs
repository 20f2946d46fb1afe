using System.Net;
using System.Net.Sockets;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>No session free, and connections that do not come about: what may pass is tried again, what may not is told at once.</summary>
public sealed class SessionLimitTests
{
    private const string Full = Lantern.LogIn + ", \"sessionsFull\": [\"^Every (berth|line) is taken\"]";

    private readonly PausedClock _clock = new();
    private int _connections;

    [Fact]
    public void A_device_that_has_no_session_free_is_tried_again_until_it_has()
    {
        using ScriptedConsole console = new(peer =>
        {
            if (Interlocked.Increment(ref _connections) < 4)
            {
                peer.Write("\r\nEvery berth is taken, come again.\r\n");
                return;
            }

            LetIn(peer);
        });

        using TerminalLink link = Open(console.Connect, Full);

        Assert.Equal((4, "1 2 4"), (_connections, Pauses));
    }

    // Before, in place of, or behind the log-in; a last line without an end is one as well.
    [Theory]
    [InlineData(false, "Every line is taken\r\n")]
    [InlineData(false, "Every line is taken")]
    [InlineData(true, "\r\nEvery line is taken\r\n")]
    public void One_that_never_has_is_a_problem_with_its_words_when_the_time_of_a_log_in_is_over(bool behind, string words)
    {
        using ScriptedConsole console = new(peer =>
        {
            Interlocked.Increment(ref _connections);
            if (behind)
            {
                Ask(peer);
            }

            peer.Write(words);
        });

        Assert.Equal((ProblemId.SessionsFull, "The device has no session free and said 'Every line is taken'."), Lantern.Fails(() => Open(console.Connect, Full)));
        Assert.Equal((8, "1 2 4 8 15 15 15"), (_connections, Pauses));
    }

    [Fact]
    public void A_refusal_that_sounds_like_it_is_a_refusal_and_no_second_word_is_given()
    {
        using ScriptedConsole console = new(peer =>
        {
            Interlocked.Increment(ref _connections);
            Ask(peer);
            peer.Write("\r\nEvery berth is taken. Ashore with you!\r\n");
        });

        Assert.Equal(
            (ProblemId.LogInRefused, "The device refused the log-in with 'Every berth is taken. Ashore with you!'."),
            Lantern.Fails(() => Open(console.Connect, Full.Replace("^Ashore", "Ashore", StringComparison.Ordinal))));
        Assert.Equal((1, ""), (_connections, Pauses));
    }

    [Fact]
    public void Without_a_word_for_it_in_the_dialect_the_last_lines_are_quoted_and_it_is_tried_again()
    {
        using ScriptedConsole console = new(peer =>
        {
            Interlocked.Increment(ref _connections);
            peer.Write("\r\nPier lights.\r\nOf " + new string('8', 70) + " seats\r\n\u001b[1mnone is left\u001b[0m for Tide\\77.\r\nFare well");
        });

        Assert.Equal(
            (ProblemId.LinkClosed,
                "The device closed the connection while a prompt after log-in was awaited; its last words: "
                + $"'Of {new string('8', 57)}…', 'none is left for [secret].', 'Fare well'."),
            Lantern.Fails(() => Open(console.Connect, Lantern.LogIn)));
        Assert.Equal((8, "1 2 4 8 15 15 15"), (_connections, Pauses));
    }

    [Fact]
    public void A_port_in_use_that_closes_without_a_word_or_is_reset_is_tried_again()
    {
        using ScriptedConsole console = new(peer =>
        {
            switch (Interlocked.Increment(ref _connections))
            {
                case 1:
                    return;
                case 2:
                    peer.Reset();
                    return;
                default:
                    LetIn(peer);
                    break;
            }
        });

        using TerminalLink link = Open(console.Connect, Lantern.LogIn);

        Assert.Equal((3, "1 2"), (_connections, Pauses));
    }

    [Fact]
    public void One_that_closes_behind_the_word_is_not_tried_again()
    {
        using ScriptedConsole console = new(peer =>
        {
            Interlocked.Increment(ref _connections);
            Ask(peer);
            peer.Write("\r\nNot today.\r\n");
        });

        Assert.Equal(
            (ProblemId.LinkClosed, "The device closed the connection while a prompt after log-in was awaited; its last words: 'Not today.'."),
            Lantern.Fails(() => Open(console.Connect, Lantern.LogIn)));
        Assert.Equal((1, ""), (_connections, Pauses));
    }

    [Fact]
    public void A_connection_that_is_refused_is_tried_again_for_as_long_as_one_may_take()
    {
        int port = FreePort();

        Assert.Equal((ProblemId.ConnectFailed, $"The console at 127.0.0.1 port {port} refused the connection."), Lantern.Fails(() => Open(() => Connect(port), Lantern.LogIn)));
        Assert.Equal("1 2 4 8", Pauses);
    }

    [Fact]
    public void One_that_is_refused_and_then_taken_goes_on()
    {
        int port = FreePort();
        TcpListener listener = new(IPAddress.Loopback, port);
        _clock.OnPause = count =>
        {
            if (count == 2)
            {
                listener.Start();
                _ = listener.AcceptSocketAsync().ContinueWith(socket => socket.Result.Send("pier-1 awaits: "u8.ToArray()), TaskScheduler.Default);
            }
        };

        using TerminalLink link = Open(() => Connect(port), "");
        listener.Dispose();

        Assert.Equal("1 2", Pauses);
    }

    [Theory]
    [InlineData(SocketError.HostNotFound, 1)]
    [InlineData(SocketError.NoData, 1)]
    [InlineData(SocketError.AccessDenied, 1)]
    [InlineData(SocketError.ConnectionReset, 5)]
    [InlineData(SocketError.TimedOut, 5)]
    [InlineData(SocketError.HostUnreachable, 5)]
    public void A_name_that_nobody_knows_does_not_pass_and_a_host_that_is_away_may(SocketError error, int attempts)
    {
        Stream Fail()
        {
            _connections++;
            throw new PoeOpsException(new Problem(ProblemId.ConnectFailed, "The way is closed.", "Open it."), new SocketException((int)error));
        }

        Assert.Equal((ProblemId.ConnectFailed, "The way is closed."), Lantern.Fails(() => Open(Fail, "")));
        Assert.Equal(attempts, _connections);
    }

    [Fact]
    public void A_stop_ends_the_pause_and_there_is_no_other()
    {
        using CancellationTokenSource stop = new();
        _clock.OnPause = count =>
        {
            if (count == 2)
            {
                stop.Cancel();
            }
        };
        using ScriptedConsole console = new(peer =>
        {
            Interlocked.Increment(ref _connections);
            peer.Write("Every berth is taken\r\n");
        });

        Assert.Equal(ProblemId.SessionsFull, Lantern.Fails(() => Open(console.Connect, Full, stop: stop.Token)).Id);
        Assert.Equal((2, "1 2"), (_connections, Pauses));
    }

    // With the machine's own clock: a pause is left at once, not when it is over.
    [Fact]
    public void A_real_pause_is_left_at_once()
    {
        using CancellationTokenSource stop = new();
        using ScriptedConsole console = new(peer =>
        {
            if (Interlocked.Increment(ref _connections) == 4)
            {
                stop.CancelAfter(TimeSpan.FromMilliseconds(100));
            }

            peer.Write("Every berth is taken\r\n");
        });

        Assert.Equal(
            ProblemId.SessionsFull,
            Lantern.Fails(() => _ = new TerminalLink(console.Connect, Lantern.Dialect(Full), Lantern.Secrets, "pier-1", SystemClock.Instance, Lantern.Patient, stop: stop.Token)).Id);
        Assert.Equal(4, _connections);
    }

    // A unit may be at work: whoever follows it has pauses of its own.
    [Fact]
    public void While_a_refresh_is_followed_a_session_is_opened_by_a_single_attempt()
    {
        using ScriptedConsole console = new(peer =>
        {
            if (Interlocked.Increment(ref _connections) > 1)
            {
                peer.Write("Every berth is taken\r\n");
                return;
            }

            Ask(peer);
            peer.Write("\r\n" + Lantern.Prompt);
            peer.ReadLine();
        });
        using TerminalLink link = Open(console.Connect, Full, "\"refresh\": { \"commands\": { \"tftp\": \"refit {Unit} {ServerPort}\" } }");
        link.Start(new PoeOps.Refresh.RefreshOrder("2", "tftp", "192.0.2.5", 69, "a.img"));

        Assert.Equal(ProblemId.SessionsFull, Lantern.Fails(link.Reopen).Id);
        Assert.Equal((2, ""), (_connections, Pauses));
    }

    [Fact]
    public void The_capture_of_a_console_waits_for_a_session_as_well()
    {
        using Files.ScratchFolder folder = new();
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Interlocked.Increment(ref _connections) == 1 ? "Every berth is taken\r\n" : Lantern.Prompt);
            if (_connections > 1)
            {
                peer.Serve(Lantern.Prompt, null, new Dictionary<string, string> { ["tell pier"] = "pier pier-1 sails 7.2\r\n" });
            }
        });
        CaptureSaving saving = new(Lantern.Dialect(Full), "pier-1", Lantern.Secrets, ["tell pier"], folder.FullPath, overwrite: false);

        SavedCapture saved = Assert.Single(saving.Run(console.Connect, _clock, Lantern.Patient, _ => { }));

        Assert.Equal(("pier pier-1 sails 7.2\n", "1"), (File.ReadAllText(saved.Path).Split("awaits: tell pier\n")[^1], Pauses));
    }

    private string Pauses => string.Join(' ', _clock.Pauses);

    private TerminalLink Open(Func<Stream> connect, string console, string more = "", CancellationToken stop = default)
    {
        TerminalTimes times = Lantern.Patient with { LogIn = TimeSpan.FromSeconds(60) };
        return new(connect, Lantern.Dialect(console, more), Lantern.Secrets, "pier-1", _clock, times, stop: stop);
    }

    private static Stream Connect(int port) => TcpConnection.Open("127.0.0.1", port, LinkKind.Tcp, SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60)));

    private static int FreePort()
    {
        using TcpListener taken = new(IPAddress.Loopback, 0);
        taken.Start();
        return ((IPEndPoint)taken.LocalEndpoint).Port;
    }

    private static void Ask(ConsolePeer peer)
    {
        peer.Write("Name? ");
        _ = peer.ReadLine();
        peer.Write("Word? ");
        _ = peer.ReadLine();
    }

    private static void LetIn(ConsolePeer peer)
    {
        Ask(peer);
        peer.Write("\r\n" + Lantern.Prompt);
        peer.Hang();
    }
}
