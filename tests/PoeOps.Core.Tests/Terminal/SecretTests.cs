using System.Globalization;
using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>What a device may make of a secret before it says it, and what must not come of it.</summary>
public sealed class SecretTests
{
    private const string Secret = "Öl & {0}\\7\"x'";

    /// <summary>The secret as programs hand texts on.</summary>
    public static TheoryData<string, string> Forms => new()
    {
        { "as it is", Secret },
        { "in capitals", Secret.ToUpperInvariant() },
        { "in small letters", Secret.ToLowerInvariant() },
        { "URL (RFC 3986, section 2.1)", "%C3%96l%20%26%20%7B0%7D%5C7%22x%27" },
        { "JSON (RFC 8259, section 7)", "Öl & {0}\\\\7\\\"x'" },
        { "JSON in ASCII", "\\u00d6l & {0}\\\\7\\\"x'" },
        { "Base64 (RFC 4648, section 4)", "w5ZsICYgezB9XDcieCc=" },
        { "Base64 of UTF-16", Convert.ToBase64String(Encoding.Unicode.GetBytes(Secret)) },
        { "hexadecimal", Convert.ToHexString(Encoding.UTF8.GetBytes(Secret)) },
        { "wrapped at the edge", "Öl & \r\n{0}\\7\"x'" },
        { "wrapped behind a blank", "Öl & {0} \r\\7\"x'" },
        { "wrapped again and again", string.Join("\r\n", Secret.Select(c => c.ToString())) },
        { "masked with back-spaces", string.Concat(Secret.Select(c => c + "\b*")) },
        { "coloured", "Öl\u001b[1m & {0}\u001b[0m\\7\"x'" },
    };

    [Theory]
    [MemberData(nameof(Forms))]
    public void No_form_of_a_secret_stands_in_a_transcript_in_pieces_of_any_size(string name, string form)
    {
        Assert.NotEmpty(name);
        byte[] said = Encoding.UTF8.GetBytes($"Word? {form}\r\nbad secret '{form}', {form}.\r\n");
        foreach (int piece in new[] { 1, 2, 7, 1000 })
        {
            Assert.Equal(@"Word? [secret]\r\nbad secret '[secret]', [secret].\r\n", Unmasked(Said(new LogInSecrets("mate", Secret), transcript => Pieces(transcript, said, piece))));
        }
    }

    [Fact]
    public void A_mask_is_no_character_of_a_secret_that_has_the_same()
    {
        byte[] said = Encoding.ASCII.GetBytes(string.Concat("st*r 7".Select(c => c + "\b*")) + ".");
        Assert.Equal(@"[secret]\x08*.", Said(new LogInSecrets("mate", "st*r 7"), transcript => Pieces(transcript, said, 1)));
    }

    [Theory]
    [InlineData("utf-16")]
    [InlineData("utf-16BE")]
    public void Neither_does_it_in_sixteen_bits(string encoding)
    {
        byte[] said = [.. "at "u8.ToArray(), .. Encoding.GetEncoding(encoding).GetBytes(Secret), .. "."u8.ToArray()];
        Assert.Equal("at [secret].", Said(new LogInSecrets("mate", Secret), transcript => Pieces(transcript, said, 3)));
    }

    [Theory]
    [InlineData("Tid\r\n*** link 7 is up\r\ne\\77\r\nno", @"[secret]\r\n*** link 7 is up\r\n[secret]\r\nno")]
    [InlineData("Tid\r\n\r\n*** link 7 is up\r\n\r\nWord? Tide\\77\r\nno", @"[secret]\r\n\r\n*** link 7 is up\r\n\r\nWord? [secret]\r\nno")]
    [InlineData("Tid", "[secret]")]
    [InlineData("T\r\ni\r\nx\r\n7\r\n", @"[secret]\r\n[secret]\r\nx\r\n[secret]\r\n")]
    public void An_echo_with_something_else_in_its_middle_gives_no_part_away(string said, string shown)
    {
        foreach (int piece in new[] { 1, 2, 1000 })
        {
            Assert.Equal(shown, Said(Lantern.Secrets, transcript =>
            {
                transcript.Sent(Encoding.ASCII.GetBytes("Tide\\77\r"), secret: true);
                Pieces(transcript, Encoding.ASCII.GetBytes(said), piece);
            }));
        }
    }

    // As RFC 4086 has it, three characters are no secret; but the text around them must stay what it was, and must not tell them.
    [Theory]
    [InlineData("7", "bad 7 of 77, a7\r\n", @"bad [secret] of 77, a7\r\n")]
    [InlineData("ab", "AB? (ab) abc\r\n", @"[secret]? ([secret]) abc\r\n")]
    [InlineData("{0}", "{0} {1}\r\n", @"[secret] {1}\r\n")]
    [InlineData("  ", "two  blanks\r\n", @"two  blanks\r\n")]
    public void A_short_secret_is_struck_as_a_word_once_it_was_sent_and_nowhere_before(string secret, string said, string shown)
    {
        byte[] bytes = Encoding.ASCII.GetBytes(said);
        foreach (int piece in new[] { 1, 2, 1000 })
        {
            Assert.Equal(TranscriptEscaped(said) + shown, Said(new LogInSecrets("mate", secret), transcript =>
            {
                Pieces(transcript, bytes, piece);
                transcript.Sent([1], secret: true);
                Pieces(transcript, bytes, piece);
            }));
        }
    }

    [Theory]
    [InlineData("Ashore with you, bad secret 'Tide\\77'", "The device refused the log-in with 'Ashore with you, bad secret '[secret]''.")]
    [InlineData("Ashore with you TIDE\\77", "The device refused the log-in with 'Ashore with you [secret]'.")]
    [InlineData("Ashore with you, who are nobody on this whole long pier: Tide\\77 is wrong", "The device refused the log-in with 'Ashore with you, who are nobody on this whole long pier: [se…'.")]
    public void No_error_tells_it(string refusal, string sentence)
    {
        using ScriptedConsole console = new(peer =>
        {
            Asked(peer);
            peer.Write(refusal + "\r\n");
            peer.Hang();
        });
        PoeOpsException exception = Assert.Throws<PoeOpsException>(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn)));
        Assert.Equal((ProblemId.LogInRefused, sentence), (exception.Problem.Id, exception.Problem.Sentence));
        Assert.DoesNotContain("Tide", exception.ToString(), StringComparison.OrdinalIgnoreCase);
    }

    // Where the echo stops in its middle, the unfinished line is a part of the secret.
    [Fact]
    public void No_error_tells_a_part_of_an_echo()
    {
        using ScriptedConsole console = new(peer =>
        {
            Asked(peer);
            peer.Write("Tid\r\n*** link up\r\ne\\77");
            peer.Hang();
        });
        TerminalTimes times = Lantern.Patient with { Silence = TimeSpan.FromSeconds(2) };
        Assert.Equal(
            (ProblemId.PromptNotSeen, "The device stopped at '[secret]' for 2 s while a prompt after log-in was awaited."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn), times: times)));
    }

    [Fact]
    public void A_secret_that_is_no_text_of_the_device_is_told_without_a_character_of_it()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Word? ");
            peer.Hang();
        });
        PoeOpsException exception = Assert.Throws<PoeOpsException>(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn, encoding: "us-ascii"), new LogInSecrets("mate", "ebb\u00e4")));
        Assert.Equal("What is to be sent holds a character that us-ascii cannot write, and is not sent.", exception.Problem.Sentence);
        Assert.Null(exception.InnerException);
        Assert.DoesNotContain("00E4", exception.ToString(), StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void What_a_device_says_of_a_refresh_has_no_secret_in_it()
    {
        string[] said = ["Taking Tide\\77 along", "Erase: begun by Tide\\77", new string('.', 56) + "Tide\\77 is the word"];
        using ScriptedConsole console = new(peer =>
        {
            Asked(peer);
            peer.Write(Lantern.Prompt);
            _ = peer.ReadLine();
            peer.Write(string.Join("\r\n", said) + "\r\n");
            peer.Hang();
        });
        const string Refresh = """
            "refresh": { "commands": { "tftp": "load {Unit} {Server} {File} {ServerPort}" }, "stages": [ { "stage": "Erase", "begins": ["^Erase: "] } ], "succeeds": ["^done$"] }
            """;
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Lantern.LogIn, Refresh), Lantern.Secrets);
        link.Start(new RefreshOrder("1", "tftp", "192.0.2.1", 69, "a.img"));
        Deadline until = SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60));
        List<string> heard = [];
        while (heard.Count < said.Length)
        {
            heard.Add(link.Next(until).Text);
        }

        Assert.Equal(["Taking [secret] along", "Erase: begun by [secret]", new string('.', 56) + "[secret]…"], heard);
    }

    [Fact]
    public void A_secret_in_what_is_read_is_struck_out_and_told()
    {
        Dictionary<string, string> answers = new()
        {
            ["tell berths"] = "berth hull firmware state\r\n 1 tide\\77 3.9 sound\r\n-- berths\r\nwhat is Tide\\77\r\n",
        };
        using ScriptedConsole console = new(peer =>
        {
            Asked(peer);
            peer.Write(Lantern.Prompt);
            peer.Serve(Lantern.Prompt, command => command + "\r\n", answers);
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(Lantern.LogIn, """ "ask": { "controllers": ["tell berths"] } """), Lantern.Secrets);
        SwitchReading reading = link.Read();
        var controller = Assert.Single(reading.Controllers);
        Assert.Equal("[secret]", controller.Model);
        Problem told = Assert.Single(reading.Problems, problem => problem.Id == ProblemId.SecretTold);
        Assert.Equal(
            "pier-1/1: Model of unit 1 holds a secret that was given to log in, and it is struck out. Change what the device says there, and the secret.", told.ToString());
        Assert.Equal("what is [secret]", Assert.Single(reading.Problems, problem => problem.Id == ProblemId.LineUnread).Text);
        Assert.DoesNotContain(reading.Problems, problem => problem.ToString().Contains("Tide", StringComparison.OrdinalIgnoreCase));
        Assert.True(controller.ReadingProblems >= 1);
    }

    private static void Asked(ConsolePeer peer)
    {
        peer.Write("Word? ");
        _ = peer.ReadLine();
    }

    private static void Pieces(Transcript transcript, byte[] bytes, int size)
    {
        foreach (byte[] piece in bytes.Chunk(size))
        {
            transcript.Said(piece, piece.Length);
        }
    }

    private static string Said(LogInSecrets secrets, Action<Transcript> talk)
    {
        using ScratchFolder folder = new();
        string path;
        using (Transcript transcript = Transcript.Create(folder.FullPath, "pier-1", secrets, SystemClock.Instance))
        {
            path = transcript.Path;
            talk(transcript);
        }

        return string.Concat(File.ReadAllLines(path).Select(line => line.Split(' ', 3)).Where(parts => parts[1] == "<").Select(parts => parts[2]));
    }

    // The mask over the last character stays.
    private static string Unmasked(string said) => said.Replace(@"[secret]\x08*", "[secret]", StringComparison.Ordinal).Replace("[secret]=", "[secret]", StringComparison.Ordinal);

    private static string TranscriptEscaped(string text) => text.Replace("\r\n", @"\r\n", StringComparison.Ordinal).ToString(CultureInfo.InvariantCulture);
}
