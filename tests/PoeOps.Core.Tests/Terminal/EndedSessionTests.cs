using System.Text;
using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>A device that ends a session which was idle: what only shows is asked again over a new session, once; what changes something is never sent twice.</summary>
public sealed class EndedSessionTests
{
    private const string Manners = """
        "ask": { "release": ["tell pier"], "controllers": ["tell berths"], "busy": ["tell work"] },
        "refresh": { "commands": { "tftp": "refit {Unit} {ServerPort}" }, "busy": ["^at work$"], "putBack": { "AdminEnabled": "lamp {Unit}/{Port} {Value}" } }
        """;

    private const string Berths = "berth hull firmware state\r\n 1 H-8 3.9 sound\r\n-- berths\r\n";

    private static readonly RefreshOrder Order = new("1", "tftp", "192.0.2.5", 69, "a.img");

    private readonly List<string> _heard = [];
    private readonly List<Problem> _told = [];
    private int _sessions;

    [Theory]
    [InlineData("")]
    [InlineData("\r\nIdle for too long, mate of Tide\\77. Fare well.\r\n")]
    public void A_reading_begins_anew_over_a_new_session_and_the_parting_words_are_told(string words)
    {
        using ScriptedConsole console = Console(first: peer => LeaveUnheard(peer, "tell berths", words));
        using TerminalLink link = Link(console);

        SwitchReading reading = link.Read();

        Assert.Equal(["pier-1/1 3.9 7.2"], reading.Controllers.Select(one => $"{one.UnitId} {one.Firmware} {one.Release}"));
        Assert.Empty(reading.Problems);
        Assert.Equal(["tell pier", "tell berths", "tell pier", "tell berths"], _heard);
        Problem told = Assert.Single(_told);
        string last = words.Length == 0 ? "." : "; its last words: 'Idle for too long, mate of [secret]. Fare well.'.";
        Assert.Equal("pier-1", told.Target);
        Assert.Equal("The device closed the connection while the answer to 'tell berths' was awaited" + last, told.Sentence);
    }

    [Fact]
    public void A_reading_whose_second_session_ends_as_well_is_a_problem()
    {
        using ScriptedConsole console = Console(first: peer => LeaveUnheard(peer, "tell berths", ""), second: peer => LeaveUnheard(peer, "tell pier", "\r\nFare well.\r\n"));
        using TerminalLink link = Link(console);

        Assert.Equal(
            (ProblemId.LinkClosed, "The device closed the connection while the answer to 'tell pier' was awaited; its last words: 'Fare well.'."), Lantern.Fails(() => link.Read()));
        Assert.Equal(2, _sessions);
    }

    [Fact]
    public void A_device_that_closes_in_the_middle_of_an_answer_is_told_so_and_not_asked_again()
    {
        using ScriptedConsole console = Console(first: peer =>
        {
            Serve(peer, "tell berths");
            peer.Write("tell berths\r\nberth hull firmware state\r\n 1 H-8");
        });
        using TerminalLink link = Link(console);

        Assert.Equal(
            (ProblemId.LinkClosed, "The device closed the connection while the answer to 'tell berths' was awaited; its last words: 'berth hull firmware state', '1 H-8'."),
            Lantern.Fails(() => link.Read()));
        Assert.Equal(1, _sessions);
    }

    [Fact]
    public void Whether_it_is_busy_is_asked_over_a_new_session_too()
    {
        using ScriptedConsole console = Console(first: peer => LeaveUnheard(peer, "tell work", ""));
        using TerminalLink link = Link(console);

        Assert.Null(link.AskBusy());
        Assert.Equal(["tell work", "tell work"], _heard);
    }

    [Fact]
    public void A_refresh_is_not_sent_into_a_session_that_has_ended_and_goes_out_once_over_the_next()
    {
        List<DuplexStream> sessions = [];
        using TerminalLink link = new(
            () =>
            {
                sessions.Add(Device());
                return sessions[^1];
            },
            Lantern.Dialect(more: Manners), Lantern.Secrets, "pier-1", SystemClock.Instance, Lantern.Patient, tell: _told.Add);
        _ = link.Read();
        sessions[0].Say("\r\nIdle for too long. Fare well.\r\n"u8.ToArray());
        sessions[0].End();
        Assert.True(sessions[0].Reader!.Join(TimeSpan.FromSeconds(60)));

        Assert.Equal(
            (ProblemId.SessionEnded, "The device had ended the session before 'refit 1 69' could be sent; its last words: 'Idle for too long. Fare well.'."),
            Lantern.Fails(() => link.Start(Order)));
        Assert.DoesNotContain("refit 1 69", _heard);
        Assert.Empty(link.Read().Problems);
        link.Start(Order);
        Assert.Equal(LinkEventKind.PromptBack, link.Next(SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60))).Kind);
        Assert.Equal(["refit 1 69"], _heard.Where(one => one.StartsWith("refit", StringComparison.Ordinal)));
        Assert.Equal(
            (ProblemId.SessionEnded, "The device had ended the session before 'tell pier' could be sent; its last words: 'Idle for too long. Fare well.'."),
            (Assert.Single(_told).Id, _told[0].Sentence));
    }

    // A setting is put back over a new session as well where the old one had ended before the command was sent.
    [Fact]
    public void A_setting_whose_command_was_not_sent_is_put_back_over_a_new_session()
    {
        List<DuplexStream> sessions = [];
        using TerminalLink link = new(
            () =>
            {
                sessions.Add(Device());
                return sessions[^1];
            },
            Lantern.Dialect(more: Manners), Lantern.Secrets, "pier-1", SystemClock.Instance, Lantern.Patient);
        sessions[0].End();
        Assert.True(sessions[0].Reader!.Join(TimeSpan.FromSeconds(60)));

        link.PutBack(new Port { Switch = "pier-1", Unit = "1", Name = "7", AdminEnabled = true }, "AdminEnabled");

        Assert.Equal(["lamp 1/7 lit"], _heard);
        Assert.Equal(2, sessions.Count);
    }

    // It may have heard the command, and be at work: nothing but a reading finds out.
    [Fact]
    public void A_device_that_closes_when_the_refresh_was_sent_is_lost_and_nothing_is_sent_again()
    {
        using ScriptedConsole console = Console(first: peer => LeaveUnheard(peer, "refit 1 69", ""));
        using TerminalLink link = Link(console);
        link.Start(Order);

        Assert.Equal(LinkEventKind.Lost, link.Next(SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60))).Kind);
        link.Reopen();
        _ = link.Read();
        Assert.Equal(["refit 1 69", "tell pier", "tell berths"], _heard);
    }

    // Putting back is a change as well: a device that may have heard it is read before anything is sent again.
    [Fact]
    public void A_setting_whose_command_went_out_is_not_put_back_again()
    {
        using ScriptedConsole console = Console(first: peer => LeaveUnheard(peer, "lamp 1/7 lit", ""));
        using TerminalLink link = Link(console);

        Assert.Equal(
            ProblemId.LinkClosed, Lantern.Fails(() => link.PutBack(new Port { Switch = "pier-1", Unit = "1", Name = "7", AdminEnabled = true }, "AdminEnabled")).Id);
        Assert.Equal((1, 1), (_sessions, _heard.Count));
    }

    private TerminalLink Link(ScriptedConsole console) =>
        new(console.Connect, Lantern.Dialect(more: Manners), Lantern.Secrets, "pier-1", SystemClock.Instance, Lantern.Patient, tell: _told.Add);

    private ScriptedConsole Console(Action<ConsolePeer> first, Action<ConsolePeer>? second = null) => new(peer =>
    {
        int session = Interlocked.Increment(ref _sessions);
        peer.Write(Lantern.Prompt);
        if (session == 1)
        {
            first(peer);
        }
        else if (second is not null)
        {
            second(peer);
        }
        else
        {
            Serve(peer, "");
        }
    });

    // A device inside the process, so that a test knows when its end was seen.
    private DuplexStream Device()
    {
        StringBuilder line = new();
        DuplexStream stream = new(
            (b, say) =>
            {
                if (b != '\r')
                {
                    line.Append((char)b);
                    return;
                }

                string command = line.ToString();
                line.Clear();
                _heard.Add(command);
                say(Encoding.UTF8.GetBytes(Said(command)));
            },
            () => int.MaxValue);
        stream.Say(Encoding.UTF8.GetBytes(Lantern.Prompt));
        return stream;
    }

    private static string Said(string command) =>
        command + "\r\n" + (command == "tell pier" ? "pier pier-1 sails 7.2\r\n" : command == "tell berths" ? Berths : "") + Lantern.Prompt;

    private void LeaveUnheard(ConsolePeer peer, string command, string words)
    {
        Serve(peer, command);
        peer.Write(words);
    }

    // Answers up to a command, which is heard and not answered.
    private void Serve(ConsolePeer peer, string last)
    {
        while (true)
        {
            string command = peer.ReadLine();
            _heard.Add(command);
            if (command != last)
            {
                peer.Write(Said(command));
            }

            if (command == last)
            {
                return;
            }
        }
    }
}
