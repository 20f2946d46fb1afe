using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>What stands where it should not: log lines, shifted echoes, bytes that are no characters.</summary>
public sealed class LivelyConsoleTests
{
    private const string Command = "tell lamps of the harbour";
    private const string Log = "~ gulls overhead\r\n";

    private static readonly TerminalTimes Hasty = Lantern.Patient with { Silence = TimeSpan.FromSeconds(2) };

    [Theory]
    [InlineData("tell la~ gulls overhead\r\nmps of the harbour\r\n", Log)]
    [InlineData("tell la\r\n~ gulls overhead\r\nmps of the harbour\r\n", Log)]
    [InlineData("tell la\r\n~ gulls overhead\r\n" + Lantern.Prompt + Command + "\r\n", Log)]
    [InlineData("tell la~ gulls overhead\r\n" + Lantern.Prompt + Command + "\r\n", Log)]
    [InlineData(Log + Command + "\r\n", Log)]
    [InlineData("\u001b]0;pier\u0007tell lamps\u001b]2;at work\u001b\\ of the harbour\r\n", "")]
    [InlineData("tell lamps of t\b\b\b\b\b\b\b\b\b\b\b\b\b\b\b$s of the harbour\r\n", "")]
    [InlineData("tell lamps of t\r" + Lantern.Prompt + "$s of the harbour\r\n", "")]
    [InlineData("? of the harbour\r\n", "? of the harbour\r\n")]
    [InlineData("the tide\r\n" + Command + "\r\n", "the tide\r\n")]
    public void An_echo_is_taken_away_and_what_stands_in_its_middle_stays(string echo, string left)
    {
        using ScriptedConsole console = new(peer => peer.Serve(Lantern.Prompt, _ => echo, new Dictionary<string, string> { [Command] = "they burn\r\n" }));
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal(left + "they burn\r\n", dialogue.Ask(Command));
    }

    [Theory]
    [InlineData(Log)]
    [InlineData("\r\n" + Log)]
    [InlineData(Log + Log + Log)]
    public void A_prompt_behind_which_a_log_line_came_and_that_is_not_drawn_again_is_one_after_the_silence(string log)
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(peer.ReadLine() + "\r\none\r\n" + Lantern.Prompt);
            peer.Write(peer.ReadLine() + "\r\ntwo\r\n" + Lantern.Prompt + log);
            peer.Serve(Lantern.Prompt, command => command + "\r\n", new Dictionary<string, string> { ["tell three"] = "three\r\n" });
        });
        using Dialogue dialogue = Lantern.Talk(console, times: Hasty);

        Assert.Equal("one\r\n", dialogue.Ask("tell one"));
        Assert.Equal("two\r\n" + log, dialogue.Ask("tell two"));
        Assert.Equal("three\r\n", dialogue.Ask("tell three"));
    }

    [Theory]
    [InlineData("two\r\n" + Lantern.Prompt + "1\r\n2\r\n3\r\n4\r\n5\r\n6\r\n7\r\n")]
    [InlineData("two\r\npier-9 awaits: 1\r\n")]
    public void One_that_was_never_seen_or_is_far_up_is_none(string answer)
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(peer.ReadLine() + "\r\none\r\n" + Lantern.Prompt);
            peer.Write(peer.ReadLine() + "\r\n" + answer);
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console, times: Hasty);
        _ = dialogue.Ask("tell one");

        Assert.Equal((ProblemId.LinkSilent, "The device said nothing for 2 s while the answer to 'tell two' was awaited."), Lantern.Fails(() => dialogue.Ask("tell two")));
    }

    // What was torn apart cannot be put together without a guess: it is reported, and the row is left out.
    [Fact]
    public void A_row_that_a_log_line_breaks_is_reported_and_never_guessed()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            peer.Serve(Lantern.Prompt, null, new Dictionary<string, string>
            {
                ["tell berths"] = "berth hull firmware state\r\n 1 H-8 3.9 sound\r\n 2 H-8 3.\r\n~ gulls overhead\r\n8 sound\r\n-- berths\r\n",
            });
        });
        using TerminalLink link = Lantern.Link(
            console, Lantern.Dialect(more: "\"ask\": { \"controllers\": [\"tell berths\"] }, \"ignore\": [ { \"name\": \"log\", \"pattern\": \"^~ .*$\" } ]"));

        SwitchReading reading = link.Read();

        Assert.Equal(["pier-1/1 3.9"], reading.Controllers.Select(one => $"{one.UnitId} {one.Firmware}"));
        Assert.Equal([(ProblemId.LineUnread, 3, " 2 H-8 3."), (ProblemId.LineUnread, 5, "8 sound")], reading.Problems.Select(one => (one.Id, one.Line ?? 0, one.Text ?? "")));
    }

    // Unicode 15, section 3.9: what is no UTF-8 becomes U+FFFD, and nothing around it is lost.
    [Fact]
    public void Bytes_that_are_no_characters_spoil_nothing_around_them()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = true;
            peer.Write(peer.ReadLine() + "\r\n");
            peer.Write([(byte)'Q', 0xC3, (byte)'u', 0xFF, (byte)'a', 0xE2, 0x93, 13, 10]);
            peer.Write(Lantern.Prompt);
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal("Q\uFFFDu\uFFFDa\uFFFD\r\n", dialogue.Ask("tell quays"));
    }

    [Theory]
    [InlineData("Helm? ", "The device asked 'Helm?' again after it was answered.")]
    [InlineData("Ashore with you, [Helm+8]!\r\n" + Lantern.Prompt, "The device refused the elevation with 'Ashore with you, [[secret]]!'.")]
    [InlineData(Lantern.Prompt, "The prompt after elevation is 'pier-1 awaits:', which is not an elevated one.")]
    public void A_word_for_the_helm_that_is_refused_is_given_once(string said, string told)
    {
        List<string> heard = [];
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            heard.Add(peer.ReadLine());
            peer.Write("rise\r\nHelm? ");
            heard.Add(peer.ReadLine());
            peer.Write("\r\n" + said);
            peer.Hang();
        });

        Assert.Equal((ProblemId.LogInRefused, told), Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.Helm))));
        Assert.Equal(["rise", "Helm+8"], heard);
    }

    // A greeting whose line is still coming looks like a prompt for a moment.
    [Fact]
    public void What_looks_like_a_prompt_before_the_log_in_is_looked_at_longer()
    {
        List<string> heard = [];
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("\r\n" + Lantern.Prompt);
            Assert.False(peer.Wait(TimeSpan.FromMilliseconds(300)));
            peer.Write("is how it asks.\r\nName? ");
            heard.Add(peer.ReadLine());
            peer.Write("\r\n" + Lantern.Prompt);
            peer.Hang();
        });

        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Lantern.LogIn), times: Lantern.Patient);

        Assert.Equal(["mate"], heard);
    }

    [Fact]
    public void A_capture_of_lines_that_a_carriage_return_ends_is_cut_there()
    {
        using ScratchFolder folder = new();
        Dialect dialect = Lantern.Dialect("\"lineBreak\": \"cr\"");
        folder.Write("plain.txt", "a\rb\r\nc\r\0\rd"u8.ToArray());
        folder.Write("wide.txt", [0xFF, 0xFE, .. Encoding.Unicode.GetBytes("a\r\nb")]);

        Assert.Equal(["a", "b", "c", "", "d"], CaptureText.FromFile(folder.Path("plain.txt"), dialect).Lines.Select(line => line.Text));
        Assert.Equal(["a", "b"], CaptureText.FromFile(folder.Path("wide.txt"), dialect).Lines.Select(line => line.Text));
        Assert.Equal(["b", "d"], CaptureText.FromFile(folder.Path("plain.txt"), Lantern.Dialect()).Lines.Select(line => line.Text));
    }
}
