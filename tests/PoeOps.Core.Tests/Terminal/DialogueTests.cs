using System.Text;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class DialogueTests
{
    private const string Berths = "berth  lamp\r\n  1    lit\r\n  2    dim\r\n";

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void An_answer_comes_without_echo_and_prompt_whether_at_once_or_byte_by_byte(bool bytewise)
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = bytewise;
            peer.Serve(Lantern.Prompt, command => command + "\r\n", new Dictionary<string, string> { ["tell berths"] = Berths, ["tell none"] = "" });
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal(Berths, dialogue.Ask("tell berths"));
        Assert.Equal("", dialogue.Ask("tell none"));
        Assert.Equal(Berths, dialogue.Ask("tell berths"));
    }

    [Fact]
    public void A_console_that_echoes_nothing_is_answered_by_as_well()
    {
        using ScriptedConsole console = new(peer => peer.Serve(Lantern.Prompt, null, new Dictionary<string, string> { ["tell berths"] = Berths }));
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal(Berths, dialogue.Ask("tell berths"));
    }

    [Fact]
    public void Four_megabytes_come_whole()
    {
        StringBuilder text = new();
        for (int line = 0; text.Length < 4 * 1024 * 1024; line++)
        {
            text.Append("  ").Append(line).Append(" a row of a very long table\r\n");
        }

        string answer = text.ToString();
        using ScriptedConsole console = new(peer => peer.Serve(Lantern.Prompt, command => command + "\r\n", new Dictionary<string, string> { ["tell all"] = answer }));
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.True(answer == dialogue.Ask("tell all"), "The long answer came back changed.");
    }

    [Theory]
    [InlineData("\r               \r")]
    [InlineData("\b\b\b\b\b\b\b\b\b\b\b\b\b\b\b               \b\b\b\b\b\b\b\b\b\b\b\b\b\b\b")]
    [InlineData("\r\u001b[K")]
    [InlineData("\u001b[2K\r")]
    [InlineData("\r\n")]
    [InlineData(" \r\n")]
    [InlineData("")]
    public void A_pager_is_answered_and_leaves_nothing_behind(string rubbedOutBy)
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = true;
            peer.Write(peer.ReadLine() + "\r\n");
            foreach (string page in new[] { "one\r\n  two\r\n", "  three\r\n", "four\r\n" })
            {
                peer.Write(page + Lantern.Pager);
                Assert.Equal((byte)' ', peer.ReadByte());
                peer.Write(rubbedOutBy);
            }

            peer.Write("\r\nfive\r\n" + Lantern.Prompt);
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console);

        // Where the pager is not rubbed out, the first line feed behind it is what steps over it, and the blank line is not the table's.
        string blank = rubbedOutBy.Length > 0 ? "\r\n" : "";
        Assert.Equal("one\r\n  two\r\n  three\r\nfour\r\n" + blank + "five\r\n", dialogue.Ask("tell berths"));
    }

    [Fact]
    public void A_prompt_right_behind_a_rubbed_out_pager_is_seen()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(peer.ReadLine() + "\r\none\r\n" + Lantern.Pager);
            _ = peer.ReadByte();
            peer.Write("\r                                  \r" + Lantern.Prompt);
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal("one\r\n", dialogue.Ask("tell berths"));
    }

    [Theory]
    [InlineData("tell lamps of the harbour w\r\nhere they burn\r\n")]
    [InlineData("tell lamps of the harbour w \rhere they burn\r\n")]
    [InlineData("tell lamps of the harbour w\r\n\u001b[Khere they burn\u001b[0m\r\n")]
    [InlineData("\r" + Lantern.Prompt + "tell lamps of the harbour where they burn\r\n")]
    [InlineData("\u001b[1mtell lamps of the harbour where they burn\u001b[0m\r\n")]
    public void An_echo_is_taken_away_where_it_is_wrapped_coloured_or_drawn_again(string echo)
    {
        using ScriptedConsole console = new(peer => peer.Serve(Lantern.Prompt, _ => echo, new Dictionary<string, string> { ["tell lamps of the harbour where they burn"] = Berths }));
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal(Berths, dialogue.Ask("tell lamps of the harbour where they burn"));
    }

    [Fact]
    public void An_answer_in_Latin_1_and_colour_is_kept_as_it_came()
    {
        const string Answer = "\u001b[32mQuai sud\u00e9\u001b[0m\r\n";
        using ScriptedConsole console = new(peer => peer.Serve("\u001b[1m" + Lantern.Prompt + "\u001b[0m", command => command + "\r\n", new Dictionary<string, string> { ["tell quays"] = Answer }));
        using Dialogue dialogue = Lantern.Talk(console, Lantern.Dialect(encoding: "iso-8859-1"));

        Assert.Equal(Answer, dialogue.Ask("tell quays"));
    }

    [Fact]
    public void Characters_of_several_bytes_are_put_together_and_NUL_is_dropped()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = true;
            peer.Write(peer.ReadLine() + "\r\n\0");
            peer.Write(Encoding.UTF8.GetBytes("Anlegestelle Süd ⚓\0\r\n"));
            peer.Write(Lantern.Prompt);
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal("Anlegestelle Süd ⚓\r\n", dialogue.Ask("tell quays"));
    }

    [Fact]
    public void What_looks_like_a_prompt_in_the_middle_of_a_line_is_waited_out()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(peer.ReadLine() + "\r\n" + Lantern.Prompt);
            peer.Write("is what a prompt looks like\r\n" + Lantern.Prompt + "\r\nand so on\r\n" + Lantern.Prompt);
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console, times: Lantern.Patient with { Settle = TimeSpan.FromSeconds(2) });

        Assert.Equal(Lantern.Prompt + "is what a prompt looks like\r\n" + Lantern.Prompt + "\r\nand so on\r\n", dialogue.Ask("tell prompts"));
    }

    [Fact]
    public void A_prompt_pattern_that_fits_before_the_prompt_is_whole_does_not_end_the_answer_too_soon()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = true;
            peer.Serve("lamp 7 >> ", command => command + "\r\n", new Dictionary<string, string> { ["tell berths"] = Berths });
        });
        using Dialogue dialogue = Lantern.Talk(console, Lantern.Dialect(prompt: "^lamp \\\\d+ >"), Lantern.Patient with { Settle = TimeSpan.FromSeconds(1) });

        Assert.Equal(Berths, dialogue.Ask("tell berths"));
        Assert.Equal(Berths, dialogue.Ask("tell berths"));
    }

    [Fact]
    public void A_prompt_that_was_drawn_again_behind_a_log_line_does_not_pass_for_the_next_answer()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(peer.ReadLine() + "\r\nfirst\r\n" + Lantern.Prompt);
            string second = peer.ReadLine();

            // On its way before the command was heard.
            peer.Write("\r\n~ gulls overhead\r\n" + Lantern.Prompt);
            Assert.False(peer.Wait(TimeSpan.FromMilliseconds(300)));
            peer.Write(second + "\r\nsecond\r\n" + Lantern.Prompt);
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal("first\r\n", dialogue.Ask("tell one"));
        Assert.Equal("\r\n~ gulls overhead\r\nsecond\r\n", dialogue.Ask("tell two"));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_refused_command_is_told_with_the_line(bool echo)
    {
        using ScriptedConsole console = new(peer => peer.Serve(Lantern.Prompt, echo ? command => command + "\r\n" : null, new Dictionary<string, string>()));
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal(
            (ProblemId.CommandRefused, "The device refused 'tell bearths' with 'unheard of: tell bearths'."), Lantern.Fails(() => dialogue.Ask("tell bearths")));
    }

    [Fact]
    public void A_pattern_without_end_is_a_problem_and_no_crash()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.ReadLine();
            peer.Write(new string('a', 60) + "!");
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console, Lantern.Dialect(prompt: "^(a+)+$"));

        Assert.Equal(ProblemId.PatternTooSlow, Lantern.Fails(() => dialogue.Ask("tell berths")).Id);
    }

    [Fact]
    public void A_character_that_the_device_cannot_read_is_not_sent_as_another()
    {
        using ScriptedConsole console = new(peer => peer.Hang());
        using Dialogue dialogue = Lantern.Talk(console, Lantern.Dialect(encoding: "us-ascii"));

        Assert.Equal(
            (ProblemId.ValueNotSafe, "What is to be sent holds a character that us-ascii cannot write, and is not sent."), Lantern.Fails(() => dialogue.Ask("tell jetée")));
    }
}
