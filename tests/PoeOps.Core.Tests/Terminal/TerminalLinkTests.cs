using System.Text.RegularExpressions;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class TerminalLinkTests
{
    private const string Asks = """
        "ask": { "release": ["tell pier"], "controllers": ["tell berths"], "ports": [ { "send": "tell lamps {Unit}", "each": "unit" } ],
                 "busy": [ { "send": "tell work {Unit}", "each": "unit" } ] }
        """;

    private const string Refit = """
        , "refresh": { "commands": { "tftp": "refit {Unit} from {Server} {ServerPort} {File}" }, "busy": ["^berth \\d+ is at work$"],
            "stages": [ { "stage": "Erase", "deadlineSeconds": 90, "stallSeconds": 30 } ],
            "putBack": { "AdminEnabled=false": ["douse {Unit}/{Port}", "bar {Unit}/{Port}"], "AdminEnabled": ["lamp {Unit}/{Port} {Value}"], "Priority": ["rank {Unit}/{Port} {Value}"], "LimitWatts": ["cap {Unit}/{Port} {Value}"] } }
        """;

    private static readonly Dictionary<string, string> Pier = new()
    {
        ["tell pier"] = "pier pier-1 sails 7.2\r\n",
        ["tell berths"] = "berth hull firmware state\r\n 1 H-8 3.9 sound\r\n~ gulls overhead\r\n 2 H-8 3.8 sound\r\n 3 - - empty\r\n-- berths\r\n",
        ["tell lamps 1"] = "lamps of berth 1\r\n 1 lit burns first\r\n-- lamps\r\n",
        ["tell lamps 2"] = "lamps of berth 2\r\n 1 lit burns last\r\n 2 out dark second\r\n-- lamps\r\n",
        ["tell work 1"] = "berth 1 rests\r\n",
        ["tell work 2"] = "berth 2 is at work\r\n",
    };

    // Saved text has the command in a line, and a block that begins there begins on a live console as well; its unit is the one that was asked about.
    [Fact]
    public void A_block_may_begin_at_the_prompt_with_the_command()
    {
        Dictionary<string, string> pier = new(Pier) { ["tell lamps 1"] = " 1 lit burns first\r\n-- lamps\r\n", ["tell lamps 2"] = " 1 lit burns last\r\n" };
        using ScriptedConsole console = Console([], pier);
        string asks = Asks + ", \"ignore\": [ { \"name\": \"log\", \"pattern\": \"^~ .*$\" } ]";
        Dialect dialect = Lantern.Dialect(more: asks);
        Block lamps = dialect.Blocks.Single(block => block.Name == "lamps");
        Regex begin = new(@"^pier-1 awaits: tell lamps (?<Unit>\d+)\s*$", RegexOptions.CultureInvariant, TimeSpan.FromSeconds(10));
        dialect = dialect with { Blocks = [.. dialect.Blocks.Select(block => block == lamps ? block with { Begins = [begin] } : block)] };
        using TerminalLink link = Lantern.Link(console, dialect);

        SwitchReading reading = link.Read();

        Assert.Equal(["pier-1/1/1 Critical", "pier-1/2/1 Low"], reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.PortId} {port.Priority}"));
        Assert.Equal(
            "pier-1, answer to 'tell lamps 2': The block 'lamps' began here and its end was not seen. The text was cut, or the dialect does not know this end; read the device again.",
            Assert.Single(reading.Problems).ToString());
    }

    [Fact]
    public void A_switch_is_read_with_its_units_one_after_the_other_and_an_empty_berth_is_not_asked()
    {
        List<string> heard = [];
        using ScriptedConsole console = Console(heard, Pier);
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + ", \"ignore\": [ { \"name\": \"log\", \"pattern\": \"^~ .*$\" } ]"));

        SwitchReading reading = link.Read();

        Assert.Equal(["tell pier", "tell berths", "tell lamps 1", "tell lamps 2"], heard);
        Assert.Equal([], reading.Problems.Select(problem => problem.ToString()));
        Assert.Equal(
            ["pier-1/1 3.9 Healthy 7.2", "pier-1/2 3.8 Healthy 7.2", "pier-1/3  Absent 7.2"],
            reading.Controllers.Select(one => $"{one.UnitId} {one.Firmware} {one.Condition} {one.Release}"));
        Assert.Equal(
            ["pier-1/1/1 DeliveringPower Critical", "pier-1/2/1 DeliveringPower Low", "pier-1/2/2 Searching High"],
            reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.PortId} {port.Status} {port.Priority}"));
    }

    [Fact]
    public void A_line_that_no_rule_reads_is_a_problem_of_the_answer_that_it_stood_in()
    {
        using ScriptedConsole console = Console([], Pier);
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks));

        Problem problem = Assert.Single(link.Read().Problems);

        Assert.Equal((ProblemId.LineUnread, "pier-1, answer to 'tell berths'", 3, "~ gulls overhead"), (problem.Id, problem.File, problem.Line, problem.Text));
    }

    [Fact]
    public void A_refused_question_ends_the_reading()
    {
        using ScriptedConsole console = Console([], Pier.Where(one => one.Key != "tell lamps 2").ToDictionary());
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks));

        Assert.Equal((ProblemId.CommandRefused, "The device refused 'tell lamps 2' with 'unheard of: tell lamps 2'."), Lantern.Fails(() => link.Read()));
    }

    [Fact]
    public void Each_unit_is_asked_whether_it_is_busy()
    {
        using ScriptedConsole console = Console([], Pier);
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        Assert.Equal("berth 2 is at work", link.AskBusy());
    }

    [Fact]
    public void A_unit_whose_name_could_be_a_command_is_not_sent()
    {
        using ScriptedConsole console = Console([], []);
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        foreach (string file in new[] { "a;b", "a b", "a\rb", "-f", "", new string('x', 201), "a$b", "é" })
        {
            Assert.Equal(ProblemId.ValueNotSafe, Lantern.Fails(() => link.Start(new RefreshOrder("1", "tftp", "192.0.2.5", 69, file))).Id);
        }

        Assert.Equal(
            (ProblemId.ValueNotSafe, "The value '1;feed all off' for {Unit} is not sent to a device."),
            Lantern.Fails(() => link.Start(new RefreshOrder("1;feed all off", "tftp", "192.0.2.5", 69, "a.img"))));
    }

    [Fact]
    public void A_protocol_without_a_command_cannot_be_used()
    {
        using ScriptedConsole console = Console([], []);
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        Assert.Equal(
            (ProblemId.CommandRefused, "The dialect 'lantern' has no command for scp."), Lantern.Fails(() => link.Start(new RefreshOrder("1", "scp", "192.0.2.5", 22, "a.img"))));
    }

    [Theory]
    [InlineData("AdminEnabled", "lamp 2/7 lit")]
    [InlineData("Priority", "rank 2/7 last")]
    [InlineData("LimitWatts", "cap 2/7 15.4")]
    public void A_setting_is_put_back_in_the_device_s_own_word(string property, string command)
    {
        List<string> heard = [];
        using ScriptedConsole console = Console(heard, new() { [command] = "" });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        link.PutBack(new Port { Switch = "pier-1", Unit = "2", Name = "7", AdminEnabled = true, Priority = PortPriority.Low, LimitWatts = 15.40m }, property);

        Assert.Equal([command], heard);
    }

    [Theory]
    [InlineData("Priority", "rank 2/7 critical")]
    [InlineData("LimitWatts", "cap 2/7 none")]
    public void Where_no_single_word_of_the_device_means_it_the_standard_s_word_is_sent(string property, string command)
    {
        List<string> heard = [];
        using ScriptedConsole console = Console(heard, new() { [command] = "" });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        link.PutBack(new Port { Switch = "pier-1", Unit = "2", Name = "7", Priority = PortPriority.Critical }, property);

        Assert.Equal([command], heard);
    }

    [Fact]
    public void A_value_with_commands_of_its_own_is_put_back_by_them()
    {
        List<string> heard = [];
        using ScriptedConsole console = Console(heard, new() { ["douse 2/7"] = "", ["bar 2/7"] = "" });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        link.PutBack(new Port { Switch = "pier-1", Unit = "2", Name = "7", AdminEnabled = false }, "AdminEnabled");

        Assert.Equal(["douse 2/7", "bar 2/7"], heard);
    }

    [Fact]
    public void A_setting_that_was_not_read_cannot_be_put_back()
    {
        using ScriptedConsole console = Console([], []);
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        Assert.Equal(
            (ProblemId.CommandRefused, "The dialect 'lantern' has no command to set AdminEnabled to 'nothing'."),
            Lantern.Fails(() => link.PutBack(new Port { Switch = "pier-1", Unit = "2", Name = "7" }, "AdminEnabled")));
    }

    [Fact]
    public void Stages_have_the_limits_of_the_dialect()
    {
        using ScriptedConsole console = Console([], []);
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit));

        Assert.Equal((TimeSpan.FromSeconds(90), TimeSpan.FromSeconds(30)), link.Limits(Stage.Erase));
    }

    [Fact]
    public void A_new_session_logs_in_again_and_has_a_transcript_of_its_own()
    {
        int sessions = 0;
        using ScratchFolder folder = new();
        using ScriptedConsole console = new(peer =>
        {
            Interlocked.Increment(ref sessions);
            peer.Write(Lantern.Prompt);
            peer.Serve(Lantern.Prompt, null, Pier);
        });
        using TerminalLink link = Lantern.Link(
            console, Lantern.Dialect(more: Asks), transcripts: () => Transcript.Create(folder.FullPath, "pier-1", Lantern.Secrets, SystemClock.Instance));
        string first = link.TranscriptPath!;

        link.Reopen();

        Assert.Equal(2, link.Read().Controllers.Count(one => one.Condition == ControllerCondition.Healthy));
        Assert.Equal(2, sessions);
        Assert.NotEqual(first, link.TranscriptPath);
        Assert.Contains("pier-1 awaits: ", File.ReadAllText(first), StringComparison.Ordinal);
    }

    [Fact]
    public void A_connection_is_closed_where_no_transcript_can_be_begun()
    {
        using ManualResetEventSlim closed = new();
        using ScriptedConsole console = new(peer =>
        {
            try
            {
                peer.ReadLine();
            }
            finally
            {
                closed.Set();
            }
        });
        string folder = Path.Combine(Path.GetTempPath(), Path.GetRandomFileName());

        Assert.Equal(
            ProblemId.FileNotWritable,
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(), transcripts: () => Transcript.Create(folder, "pier-1", Lantern.Secrets, SystemClock.Instance))).Id);
        Assert.True(closed.Wait(TimeSpan.FromSeconds(60)));
    }

    [Fact]
    public void A_prompt_that_comes_late_behind_the_last_word_of_a_refresh_is_not_taken_for_the_next_answer()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            _ = peer.ReadLine();
            peer.Write("Fit for sea\r\n");

            // Longer than a doubtful prompt is looked at, and no echo tells one answer from the next.
            peer.Wait(TimeSpan.FromSeconds(2));
            peer.Write(Lantern.Prompt);
            peer.Serve(Lantern.Prompt, null, Pier);
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: Asks + Refit.Replace("\"busy\":", "\"succeeds\": [\"^Fit for sea$\"], \"busy\":", StringComparison.Ordinal)));

        link.Start(new RefreshOrder("1", "tftp", "192.0.2.5", 69, "a.img"));
        Assert.Equal(LinkEventKind.Succeeded, link.Next(SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60))).Kind);

        Assert.Equal(["pier-1/1 7.2", "pier-1/2 7.2", "pier-1/3 7.2"], link.Read().Controllers.Select(one => $"{one.UnitId} {one.Release}"));
    }

    [Fact]
    public void The_end_says_good_bye()
    {
        List<string> heard = [];
        using ManualResetEventSlim gone = new();
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            heard.Add(peer.ReadLine());
            gone.Set();
        });

        Lantern.Link(console, Lantern.Dialect("\"goodBye\": \"row ashore\"")).Dispose();

        Assert.True(gone.Wait(TimeSpan.FromSeconds(60)));
        Assert.Equal(["row ashore"], heard);
    }

    private static ScriptedConsole Console(List<string> heard, Dictionary<string, string> answers) => new(peer =>
    {
        peer.Write(Lantern.Prompt);
        peer.Serve(Lantern.Prompt, command => { heard.Add(command); return command + "\r\n"; }, answers);
    });
}
