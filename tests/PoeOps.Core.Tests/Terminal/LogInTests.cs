using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class LogInTests
{
    private static readonly Dictionary<string, string> NoAnswers = [];

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Name_word_and_helm_are_given_and_the_console_made_quiet(bool bytewise)
    {
        List<string> heard = [];
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = bytewise;
            peer.Write("\r\nPier lights. Name? is asked below.\r\nName? ");
            heard.Add(Heard(peer, echo: true));
            peer.Write("Word? ");
            heard.Add(Heard(peer, echo: false));
            peer.Write("\r\nWelcome.\r\n" + Lantern.Prompt);
            heard.Add(Heard(peer, echo: true));
            peer.Write("Helm? ");
            heard.Add(Heard(peer, echo: false));
            peer.Write("\r\n");
            Serve(peer, Lantern.Obeys, command => { heard.Add(command); return command + "\r\n"; }, new Dictionary<string, string> { ["hush"] = "" });
        });

        using (Lantern.Link(console, Lantern.Dialect(Lantern.Helm + ", \"quiet\": [\"hush\"]")))
        {
            Assert.Equal(["mate", "Tide\\77", "rise", "Helm+8", "hush"], heard);
        }
    }

    [Fact]
    public void Questions_may_come_in_any_order_and_some_not_at_all()
    {
        List<string> heard = [];
        using ScriptedConsole console = new(peer =>
        {
            foreach (string question in new[] { "Helm? ", "Word? " })
            {
                peer.Write(question);
                heard.Add(Heard(peer, echo: false));
                peer.Write("\r\n");
            }

            Serve(peer, Lantern.Prompt, null, NoAnswers);
        });

        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Lantern.LogIn));

        Assert.Equal(["Helm+8", "Tide\\77"], heard);
    }

    [Fact]
    public void A_refused_log_in_is_told_with_the_line()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Name? ");
            peer.ReadLine();
            peer.Write("\r\nAshore with you, mate of Tide\\77!\r\nName? ");
            peer.Hang();
        });

        Assert.Equal(
            (ProblemId.LogInRefused, "The device refused the log-in with 'Ashore with you, mate of [secret]!'."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn))));
    }

    [Fact]
    public void A_refusal_is_seen_although_the_device_closes_behind_it()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Word? ");
            peer.ReadLine();
            peer.Write("\r\nAshore with you!\r\n");
        });

        Assert.Equal(
            (ProblemId.LogInRefused, "The device refused the log-in with 'Ashore with you!'."), Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn))));
    }

    [Fact]
    public void The_same_question_twice_is_a_refusal_that_says_so()
    {
        int words = 0;
        using ScriptedConsole console = new(peer =>
        {
            while (true)
            {
                peer.Write("Word? ");
                peer.ReadLine();
                words++;
                peer.Write("\r\n");
            }
        });

        Assert.Equal(
            (ProblemId.LogInRefused, "The device asked 'Word?' again after it was answered."), Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn))));
        Assert.Equal(1, words);
    }

    [Fact]
    public void A_second_secret_that_was_not_given_is_missing()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Helm? ");
            peer.Hang();
        });

        Assert.Equal(
            (ProblemId.SecretMissing, "The device asks 'Helm?', and no ElevationPassword was given."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn), new LogInSecrets("mate", "Tide\\77"))));
    }

    [Fact]
    public void An_unknown_question_is_shown()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Which tide is it? ");
            peer.Hang();
        });

        Assert.Equal(
            (ProblemId.PromptNotSeen, "The device stopped at 'Which tide is it?' and a blank for 1.5 s while a prompt after log-in was awaited."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn), times: Lantern.Patient with { Silence = TimeSpan.FromSeconds(1.5) })));
    }

    [Fact]
    public void A_helm_that_is_not_given_is_told_with_the_prompt_that_came()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            peer.ReadLine();
            peer.Write("rise\r\n" + Lantern.Prompt);
            peer.Hang();
        });

        Assert.Equal(
            (ProblemId.LogInRefused, "The prompt after elevation is 'pier-1 awaits:', which is not an elevated one."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.Helm))));
    }

    [Fact]
    public void An_elevation_that_the_device_does_not_know_is_a_refused_command()
    {
        using ScriptedConsole console = new(peer => Serve(peer, Lantern.Prompt, command => command + "\r\n", NoAnswers));

        Assert.Equal(
            (ProblemId.CommandRefused, "The device refused 'rise' with 'unheard of: rise'."), Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.Helm))));
    }

    [Fact]
    public void A_console_that_obeys_already_is_not_elevated_again()
    {
        List<string> heard = [];
        using ScriptedConsole console = new(peer => Serve(peer, Lantern.Obeys, command => { heard.Add(command); return ""; }, NoAnswers));

        using (Lantern.Link(console, Lantern.Dialect(Lantern.Helm)))
        {
            Assert.Empty(heard);
        }
    }

    [Theory]
    [InlineData("")]
    [InlineData("Line 7 is yours.\r\n")]
    public void A_console_server_is_woken(string greeting)
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(greeting);
            Assert.Equal("", peer.ReadLine());
            Serve(peer, "\r\n" + Lantern.Prompt, null, NoAnswers);
        });

        using TerminalLink link = Lantern.Link(console, Lantern.Dialect("\"wake\": \"\""));
    }

    [Fact]
    public void A_user_that_is_named_like_a_secret_does_not_fetch_it()
    {
        string? heard = null;
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Name? ");
            heard = peer.ReadLine();
            Serve(peer, Lantern.Prompt, null, NoAnswers);
        });

        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Lantern.LogIn), new LogInSecrets("{Password}", "Tide\\77"));

        Assert.Equal("{Password}", heard);
    }

    [Fact]
    public void A_secret_with_a_line_end_cannot_smuggle_a_command()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Word? ");
            peer.Hang();
        });

        Assert.Equal(
            (ProblemId.ValueNotSafe, "What was given for {Password} holds a control character and is not sent to a device."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn), new LogInSecrets("mate", "a\rfeed all off"))));
    }

    [Fact]
    public void Secrets_are_never_printed() => Assert.Equal("mate", $"{Lantern.Secrets}");

    private static void Serve(ConsolePeer peer, string prompt, Func<string, string>? echo, Dictionary<string, string> answers)
    {
        peer.Write(prompt);
        peer.Serve(prompt, echo, answers);
    }

    private static string Heard(ConsolePeer peer, bool echo)
    {
        string line = peer.ReadLine();
        peer.Write(echo ? line + "\r\n" : "");
        return line;
    }
}
