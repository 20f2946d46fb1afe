using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>What a console prints while it refreshes a unit, event by event.</summary>
public sealed class RefreshWatchTests
{
    private const string Stages = """
        "stages": [
          { "stage": "Transfer", "begins": ["^Hauling"], "progress": ["(?<Percent>\\d+) of 100 hauled"], "ends": ["^Hauled in$"] },
          { "stage": "Erase", "begins": ["^Scouring"], "ends": ["[Ss]coured$"] },
          { "stage": "Program", "begins": ["now painting$"], "progress": ["^painted (?<Percent>\\d+)%"], "ends": ["^Painted$"] } ],
        "succeeds": ["^Fit for sea$"], "busy": ["^Others are at it$"],
        "fails": [ { "pattern": "^Sunk: leak$", "because": "the image leaks" } ],
        "asks": [ { "expect": "Cast off\\? ", "send": "aye" }, { "expect": "Truly\\? $", "send": "y", "lineEnd": false } ]
        """;

    private const string OnLine = "\"refresh\": { \"commands\": { \"tftp\": \"refit {Unit} {Server} {ServerPort} {File}\" }, " + Stages + " }";
    private const string Polled = "\"refresh\": { \"commands\": { \"tftp\": \"refit {Unit} {Server} {ServerPort} {File}\" }, \"poll\": \"how is {Unit}\", \"pollSeconds\": 0.1, " + Stages + " }";

    private const string ByJob =
        "\"refresh\": { \"commands\": { \"tftp\": \"refit {Unit} {Server} {ServerPort} {File}\" }, \"poll\": \"how is {Job} of {Unit}\", \"job\": \"^ticket (?<Job>\\\\S+) is yours\", \"pollSeconds\": 0.1, \"succeeds\": [\"^Fit for sea$\"], \"asks\": [ { \"expect\": \"Cast off\\\\? \", \"send\": \"unit {Unit}\" } ] }";

    private static readonly RefreshOrder Order = new("2", "tftp", "192.0.2.5", 6969, "a.img");

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_refresh_is_followed_on_the_line_to_the_prompt(bool bytewise)
    {
        List<string> heard = [];
        using ScriptedConsole console = Console(peer =>
        {
            peer.Bytewise = bytewise;
            Echo(peer, heard);
            peer.Write("Cast off? ");
            Echo(peer, heard);
            peer.Write("Truly? ");
            heard.Add(((char)peer.ReadByte()).ToString());
            peer.Write("\r\nHauling in.\r\n100 of 100 hauled\r\n~ gulls overhead\r\nHauled in\r\nScouring, scoured\r\nall clean, now painting\r\npainted 100%\r\nPainted\r\nFit for sea\r\n" + Lantern.Prompt);
        });

        // Byte by byte a stage may be seen to begin before its line is whole; then the text is shorter, and nothing else differs.
        Func<string, string> shown = bytewise ? one => one.Split('\'')[0] : one => one;
        Assert.Equal(
            new[]
            {
                "StageBegan Transfer 'Hauling in.'", "Progress Transfer 100 '100 of 100 hauled'", "Other '~ gulls overhead'", "StageEnded Transfer 'Hauled in'",
                "StageBegan Erase 'Scouring, scoured'", "StageEnded Erase 'Scouring, scoured'", "StageBegan Program 'all clean, now painting'",
                "Progress Program 100 'painted 100%'", "StageEnded Program 'Painted'", "Succeeded 'Fit for sea'", "PromptBack 'pier-1 awaits: '",
            }.Select(shown),
            Follow(console, OnLine).Select(shown));
        Assert.Equal(["refit 2 192.0.2.5 6969 a.img", "aye", "y"], heard);
    }

    [Fact]
    public void An_unfinished_line_that_is_written_over_and_over_is_progress_while_it_lasts()
    {
        using ManualResetEventSlim seen = new();
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("painted  7%");
            seen.Wait(TimeSpan.FromSeconds(60));
            peer.Write("\rpainted 80%");
            peer.Hang();
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: OnLine.Replace("painted (", "painted +(", StringComparison.Ordinal)));
        link.Start(Order);

        Assert.Equal("Progress Program 7 'painted  7%'", Text(link.Next(Minute)));
        seen.Set();
        Assert.Equal("Progress Program 80 'painted 80%'", Text(link.Next(Minute)));
    }

    [Fact]
    public void A_stage_that_is_shown_by_dots_behind_a_word_has_begun_before_its_line_ends()
    {
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("Scouring...");
            peer.Hang();
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: OnLine));
        link.Start(Order);

        Assert.Equal("StageBegan Erase 'Scouring...'", Text(link.Next(Minute)));
    }

    [Fact]
    public void A_wrapped_echo_is_no_event()
    {
        using ScriptedConsole console = Console(peer =>
        {
            peer.ReadLine();
            peer.Write("refit 2 192.0.2.5 69\r\n69 a.img\r\nSunk: leak\r\n" + Lantern.Prompt);
        });

        Assert.Equal(["Failed 'Sunk: leak', the image leaks", "PromptBack 'pier-1 awaits: '"], Follow(console, OnLine));
    }

    [Fact]
    public void A_busy_device_is_an_event()
    {
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("Others are at it\r\n" + Lantern.Prompt);
        });

        Assert.Equal(["Busy 'Others are at it'", "PromptBack 'pier-1 awaits: '"], Follow(console, OnLine));
    }

    [Fact]
    public void A_command_that_the_device_does_not_know_has_failed()
    {
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("unheard of: refit\r\n" + Lantern.Prompt);
        });

        Assert.Equal(["Failed 'unheard of: refit', the device refused the command", "PromptBack 'pier-1 awaits: '"], Follow(console, OnLine));
    }

    [Fact]
    public void A_connection_that_is_lost_is_an_event_behind_everything_that_was_said()
    {
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("Scouring\r\nSunk: leak");
        });

        Assert.Equal(["StageBegan Erase 'Scouring'", "Failed 'Sunk: leak', the image leaks", "Lost 'The device closed the connection.'"], Follow(console, OnLine));
    }

    [Fact]
    public void Silence_is_an_event_at_the_deadline()
    {
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("Hm");
            peer.Hang();
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: OnLine));
        link.Start(Order);

        Assert.Equal("Silence 'Hm'", Text(link.Next(SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(2)))));
    }

    [Fact]
    public void What_has_come_is_told_although_the_deadline_has_passed()
    {
        using ManualResetEventSlim said = new();
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("Scouring\r\n");
            said.Set();
            peer.Hang();
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: OnLine));
        link.Start(Order);
        Assert.True(said.Wait(TimeSpan.FromSeconds(60)));
        LinkEvent next = link.Next(Minute);
        Deadline passed = SystemClock.Instance.DeadlineIn(TimeSpan.Zero);

        Assert.Equal("StageBegan Erase 'Scouring'", Text(next));
        Assert.Equal(LinkEventKind.Silence, link.Next(passed).Kind);
    }

    [Fact]
    public void Where_the_prompt_comes_back_at_once_the_state_is_asked_for_and_only_news_are_told()
    {
        string[] states = ["Hauling\r\n40 of 100 hauled\r\n", "Hauling\r\n40 of 100 hauled\r\n", "unheard of: patience\r\n", "Hauling\r\n90 of 100 hauled\r\n", "Fit for sea\r\n"];
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write("at your word\r\n" + Lantern.Prompt);
            foreach (string state in states)
            {
                Assert.Equal("how is 2", peer.ReadLine());
                peer.Write("how is 2\r\n" + state + Lantern.Prompt);
            }

            peer.Hang();
        });

        Assert.Equal(
            [
                "Other 'at your word'", "StageBegan Transfer 'Hauling'", "Progress Transfer 40 '40 of 100 hauled'",
                "Other 'The device refused 'how is 2' with 'unheard of: patience'.'", "Progress Transfer 90 '90 of 100 hauled'", "Succeeded 'Fit for sea'",
            ],
            Follow(console, Polled));
    }

    [Fact]
    public void A_device_that_gives_the_work_a_number_is_asked_by_it_and_a_question_may_want_the_unit()
    {
        List<string> heard = [];
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, heard);
            peer.Write("Cast off? ");
            Echo(peer, heard);
            peer.Write("ticket 041-b is yours\r\n" + Lantern.Prompt);
            Echo(peer, heard);
            peer.Write("Fit for sea\r\n" + Lantern.Prompt);
            peer.Hang();
        });

        Assert.Equal(["Other 'ticket 041-b is yours'", "Succeeded 'Fit for sea'"], Follow(console, ByJob, one => one.Kind == LinkEventKind.Succeeded));
        Assert.Equal(["refit 2 192.0.2.5 6969 a.img", "unit 2", "how is 041-b of 2"], heard);
    }

    [Theory]
    [InlineData("at your word", "Lost 'The device did not say what it calls the work, so that nobody can ask it how far it is.'")]
    [InlineData("ticket 4;halt is yours", "Lost 'The value '4;halt' for {Job} is not sent to a device.'")]
    public void Without_a_number_that_can_be_sent_the_session_is_of_no_use(string said, string told)
    {
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write(said + "\r\n" + Lantern.Prompt);
            peer.Hang();
        });

        Assert.Equal(told, Follow(console, ByJob)[^1]);
    }

    [Fact]
    public void A_device_that_falls_silent_while_it_is_polled_is_lost()
    {
        using ScriptedConsole console = Console(peer =>
        {
            Echo(peer, []);
            peer.Write(Lantern.Prompt);
            peer.Hang();
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Polled), times: Lantern.Patient with { Silence = TimeSpan.FromSeconds(1.5) });
        link.Start(Order);

        Assert.Equal("Lost 'The device said nothing for 1.5 s while the answer to 'how is 2' was awaited.'", Text(link.Next(Minute)));
    }

    private static Deadline Minute => SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60));

    private static ScriptedConsole Console(Action<ConsolePeer> refit) => new(peer =>
    {
        peer.Write(Lantern.Prompt);
        refit(peer);
    });

    private static void Echo(ConsolePeer peer, List<string> heard)
    {
        string line = peer.ReadLine();
        heard.Add(line);
        peer.Write(line + "\r\n");
    }

    /// <summary>Everything up to an event after which nothing can come.</summary>
    private static List<string> Follow(ScriptedConsole console, string refresh, Func<LinkEvent, bool>? last = null)
    {
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: refresh));
        link.Start(Order);
        List<string> events = [];
        LinkEvent next;
        do
        {
            next = link.Next(Minute);
            events.Add(Text(next));
        }
        while (next.Kind is not (LinkEventKind.PromptBack or LinkEventKind.Lost or LinkEventKind.Silence) && last?.Invoke(next) != true && !(refresh == Polled && next.Kind == LinkEventKind.Succeeded));
        return events;
    }

    private static string Text(LinkEvent one) =>
        $"{one.Kind}{(one.Stage is { } stage ? $" {stage}" : "")}{(one.Percent is { } percent ? $" {percent}" : "")} '{one.Text}'{(one.Because is { } because ? $", {because}" : "")}";
}
