using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>A session in which nothing is asked is kept open, and nothing is sent into a refresh.</summary>
public sealed class KeepAliveTests
{
    private const string Idle = "\"keepAlive\": \"still here\", \"keepAliveSeconds\": 1";
    private const string Asks = "\"ask\": { \"release\": [\"tell pier\"] }, ";
    private const string OnLine = Asks + "\"refresh\": { \"commands\": { \"tftp\": \"refit {Unit}\" }, \"succeeds\": [\"^Fit for sea$\"] }";
    private const string Polled = Asks + "\"refresh\": { \"commands\": { \"tftp\": \"refit {Unit}\" }, \"poll\": \"how is {Unit}\", \"pollSeconds\": 3000, \"succeeds\": [\"^Fit for sea$\"] }";

    private static readonly RefreshOrder Order = new("2", "tftp", "192.0.2.5", 69, "a.img");

    private static Deadline Minute => SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60));

    [Fact]
    public void An_idle_session_is_kept_open_and_goes_on_to_answer()
    {
        using CountdownEvent kept = new(2);
        using ScriptedConsole console = new(peer => Serve(peer, kept));
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Idle, OnLine));

        Assert.True(kept.Wait(TimeSpan.FromSeconds(60)));
        Assert.Empty(link.Read().Problems);
    }

    [Fact]
    public void Nothing_is_sent_into_a_refresh_on_the_line()
    {
        List<string> heard = [];
        using CountdownEvent kept = new(1);
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            heard.Add(peer.ReadLine());
            peer.Wait(TimeSpan.FromSeconds(3));
            peer.Write("Fit for sea\r\n" + Lantern.Prompt);
            heard.Add(peer.ReadLine());
            peer.Write("pier pier-1 sails 7.2\r\n" + Lantern.Prompt);
            Serve(peer, kept, begin: false);
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Idle, OnLine));
        link.Start(Order);
        Thread.Sleep(TimeSpan.FromSeconds(2.5));

        Assert.Equal(LinkEventKind.Succeeded, link.Next(Minute).Kind);
        _ = link.Read();
        Assert.Equal(["refit 2", "tell pier"], heard);
        Assert.True(kept.Wait(TimeSpan.FromSeconds(60)));
    }

    [Fact]
    public void Where_the_state_is_polled_it_is_asked_for_before_the_session_is_idle()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            _ = peer.ReadLine();
            peer.Write("at your word\r\n" + Lantern.Prompt);
            Assert.Equal("how is 2", peer.ReadLine());
            peer.Write("Fit for sea\r\n" + Lantern.Prompt);
            peer.Hang();
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Idle, Polled));
        link.Start(Order);

        Assert.Equal(LinkEventKind.Other, link.Next(Minute).Kind);
        Assert.Equal(LinkEventKind.Succeeded, link.Next(Minute).Kind);
    }

    [Fact]
    public void A_session_that_was_lost_while_idle_is_opened_again_by_whoever_reads_next()
    {
        int sessions = 0;
        using CountdownEvent kept = new(1);
        using ManualResetEventSlim lost = new();
        using ScriptedConsole console = new(peer =>
        {
            if (Interlocked.Increment(ref sessions) == 1)
            {
                peer.Write(Lantern.Prompt);
                _ = peer.ReadLine();
                lost.Set();
                return;
            }

            Serve(peer, kept);
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Idle, OnLine));
        Assert.True(lost.Wait(TimeSpan.FromSeconds(60)));

        Assert.Empty(link.Read().Problems);
        Assert.Equal(2, sessions);
        Assert.True(kept.Wait(TimeSpan.FromSeconds(60)));
    }

    private static void Serve(ConsolePeer peer, CountdownEvent kept, bool begin = true)
    {
        peer.Write(begin ? Lantern.Prompt : "");
        while (true)
        {
            string command = peer.ReadLine();
            if (command == "still here" && !kept.IsSet)
            {
                kept.Signal();
            }

            peer.Write((command == "tell pier" ? "pier pier-1 sails 7.2\r\n" : "") + Lantern.Prompt);
        }
    }
}
