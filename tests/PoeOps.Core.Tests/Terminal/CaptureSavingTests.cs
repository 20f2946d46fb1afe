using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Answers that are saved: which commands are sent, and what stands in the files.</summary>
public sealed class CaptureSavingTests : IDisposable
{
    private const string Changes = """
        "refresh": { "commands": { "tftp": "refit {Unit} from {Server} {ServerPort} {File}" }, "poll": "refit state {Unit}",
          "putBack": { "Priority": ["rank {Unit}:{Port} {Value}"], "AdminEnabled=true": ["lamp of {Unit}{Port} on"] } },
        "ask": { "controllers": ["tell berths"], "ports": [ { "send": "rank list {Unit}", "each": "unit" } ] }
        """;

    private static readonly Dictionary<string, string> Pier = new()
    {
        ["tell berths"] = "berth hull firmware state\r\n 1 H-8 3.9 \x1b[1msound\x1b[0m\r\nworking\r               \r 2 H-9 3.8 x\bsound\r\n-- berths\r\n",
        ["tell secret"] = "the word is Tide\\77 and the helm Helm+8\r\n",
    };

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void An_answer_is_saved_as_it_came_and_as_a_reader_sees_it_and_reads_as_a_capture()
    {
        (List<SavedCapture> saved, List<Problem> problems, List<string> heard) = Save(["tell berths"]);

        Assert.Empty(problems);
        Assert.Equal(["tell berths"], heard);
        SavedCapture one = Assert.Single(saved);
        Assert.Equal(("pier-1", "tell berths", Place("pier-1~tell-berths.txt"), Place("pier-1~tell-berths.raw"), 5), (one.Switch, one.Command, one.Path, one.RawPath, one.Lines));
        Assert.Equal("pier-1 awaits: tell berths\nberth hull firmware state\n 1 H-8 3.9 sound\n 2 H-9 3.8 sound\n-- berths\n", File.ReadAllText(one.Path));
        Assert.Equal("tell berths\r\n" + Pier["tell berths"] + "pier-1 awaits: ", Encoding.Latin1.GetString(File.ReadAllBytes(one.RawPath)));
        Assert.Equal(new FileInfo(one.RawPath).Length, one.Bytes);
        CoverageReading reading = Coverage.Of(Lantern.Dialect(), [one.Path]);
        Assert.Equal((0, 2, 1), (reading.Summary.Unread, reading.Summary.Controllers, reading.Summary.Prompts));
    }

    [Fact]
    public void A_secret_stands_in_no_file_and_in_no_name()
    {
        (List<SavedCapture> saved, List<Problem> problems, List<string> heard) = Save(["tell secret", "say Tide\\77"]);

        Assert.Equal(["tell secret", "say Tide\\77"], heard);
        Assert.Equal("pier-1 awaits: tell secret\nthe word is [secret] and the helm [secret]\n", File.ReadAllText(saved[0].Path));
        Assert.Equal("tell secret\r\nthe word is [secret] and the helm [secret]\r\npier-1 awaits: ", File.ReadAllText(saved[0].RawPath));
        Assert.Equal(("say [secret]", Place("pier-1~say-secret.txt")), (saved[1].Command, saved[1].Path));
        Assert.All(Directory.GetFiles(_folder.FullPath), file => Assert.DoesNotContain("Tide", file + File.ReadAllText(file), StringComparison.Ordinal));
        Assert.Equal("The device refused 'say [secret]' with 'unheard of: say [secret]'.", Assert.Single(problems).Sentence);
    }

    [Fact]
    public void A_refusal_is_saved_and_told_and_the_next_command_is_sent()
    {
        (List<SavedCapture> saved, List<Problem> problems, _) = Save(["tell gulls", "tell berths", "tell  GULLS"]);

        Assert.Equal(["pier-1~tell-gulls.txt", "pier-1~tell-berths.txt", "pier-1~tell-GULLS-2.txt"], saved.Select(one => Path.GetFileName(one.Path)));
        Assert.Equal([ProblemId.CommandRefused, ProblemId.CommandRefused], problems.Select(problem => problem.Id));
        Assert.Equal("pier-1 awaits: tell gulls\nunheard of: tell gulls\n", File.ReadAllText(saved[0].Path));
    }

    [Theory]
    [InlineData("refit 1 from 192.0.2.5 69 a.img", "refit {Unit} from {Server} {ServerPort} {File}")]
    [InlineData("REFIT  x", "refit {Unit} from {Server} {ServerPort} {File}")]
    [InlineData("ref 1", "refit {Unit} from {Server} {ServerPort} {File}")]
    [InlineData("rank 1:2 high", "rank {Unit}:{Port} {Value}")]
    [InlineData("rank 1:2", "rank {Unit}:{Port} {Value}")]
    [InlineData("Lamp of 1a on", "lamp of {Unit}{Port} on")]
    [InlineData("la o 1a", "lamp of {Unit}{Port} on")]
    [InlineData("tell berths; refit 1", "refit {Unit} from {Server} {ServerPort} {File}")]
    [InlineData("do rank 1:2 high", "rank {Unit}:{Port} {Value}")]
    [InlineData("please SINK the pier", "sink")]
    public void A_command_that_changes_something_is_refused_before_anything_is_sent(string command, string rule)
    {
        (ProblemId id, string sentence) = Lantern.Fails(() => Saving(["tell berths", command]));
        Assert.Equal((ProblemId.CommandChanges, $"The command '{command}' changes something by the dialect 'lantern', which has '{rule}'; nothing was sent."), (id, sentence));
    }

    [Theory]
    [InlineData("rank list 2")]
    [InlineData("refit state 1")]
    [InlineData("lamp list")]
    [InlineData("tell refit")]
    public void A_command_that_shows_something_is_not(string command) => Assert.Null(Saving([command]).Check());

    [Theory]
    [InlineData("tell\rrefit 1")]
    [InlineData("tell\nrefit 1")]
    [InlineData("tell\u2028refit 1")]
    [InlineData("tell\u001b[A")]
    [InlineData(" ")]
    [InlineData("")]
    public void A_command_is_one_line_of_text(string command) => Assert.Equal(ProblemId.ValueNotSafe, Lantern.Fails(() => Saving([command])).Id);

    [Fact]
    public void What_stands_there_is_kept_and_nothing_is_sent()
    {
        string there = _folder.Write("pier-1~tell-berths.raw", "mine");
        Assert.Equal((ProblemId.FileExists, $"The file '{there}' exists already."), (Saving(["tell berths"]).Check()!.Id, Saving(["tell berths"]).Check()!.Sentence));
        Assert.Null(Saving(["tell berths"], overwrite: true).Check());

        (List<SavedCapture> saved, _, _) = Save(["tell berths"], overwrite: true);
        Assert.StartsWith("tell berths", File.ReadAllText(Assert.Single(saved).RawPath), StringComparison.Ordinal);
    }

    [Fact]
    public void A_device_that_closes_leaves_whole_answers_and_no_half_one()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            _ = peer.ReadLine();
            peer.Write("one\r\n" + Lantern.Prompt);
            _ = peer.ReadLine();
            peer.Write("two");
        });
        List<SavedCapture> saved = [];
        (ProblemId id, _) = Lantern.Fails(() => saved.AddRange(Saving(["first", "second"]).Run(console.Connect, SystemClock.Instance, Lantern.Patient, _ => { })));

        Assert.Equal(ProblemId.LinkClosed, id);
        Assert.Equal(["pier-1~first.raw", "pier-1~first.txt"], Directory.GetFiles(_folder.FullPath).Select(file => Path.GetFileName(file)).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_text_in_another_encoding_is_marked_as_utf8()
    {
        (List<SavedCapture> saved, _, _) = Save(["tell name"], dialect: Lantern.Dialect(encoding: "iso-8859-1"), answers: new() { ["tell name"] = "pier \u00e9 sails 1\r\n" });
        Assert.Equal([0xEF, 0xBB, 0xBF], File.ReadAllBytes(saved[0].Path)[..3]);
        Assert.Equal(0xE9, File.ReadAllBytes(saved[0].RawPath)[16]);
        Assert.Equal("pier \u00e9 sails 1", CaptureText.FromFile(saved[0].Path, Lantern.Dialect(encoding: "iso-8859-1")).Lines[1].Text);
    }

    [Fact]
    public void Patterns_alone_are_enough_to_log_in()
    {
        Dialect plain = new PlainConsole { Prompts = ["^pier-1 awaits: $"], UserPrompt = "^Name\\? $", PasswordPrompt = "^Word\\? $", Pager = "\\(turn the leaf\\)$" }.ToDialect();
        using ScriptedConsole console = new(peer =>
        {
            peer.Write("Name? ");
            Assert.Equal("mate", peer.ReadLine());
            peer.Write("\r\nWord? ");
            Assert.Equal("Tide\\77", peer.ReadLine());
            peer.Write("\r\n" + Lantern.Prompt);
            Assert.Equal("tell all", peer.ReadLine());
            peer.Write("tell all\r\none\r\n(turn the leaf)");
            Assert.Equal((byte)' ', peer.ReadByte());
            peer.Write("\r               \rtwo\r\n" + Lantern.Prompt);
            peer.Hang();
        });
        CaptureSaving saving = new(plain, "pier-1", Lantern.Secrets, ["tell all"], _folder.Path("new"), overwrite: false);
        SavedCapture one = Assert.Single(saving.Run(console.Connect, SystemClock.Instance, Lantern.Patient, _ => { }));
        Assert.Equal("pier-1 awaits: tell all\none\ntwo\n", File.ReadAllText(one.Path));
    }

    [Theory]
    [InlineData("(", ProblemId.PatternInvalid)]
    [InlineData(".*", ProblemId.JsonBadValue)]
    public void A_prompt_must_be_a_pattern_that_fits_something(string prompt, ProblemId id) =>
        Assert.Equal(id, Lantern.Fails(() => new PlainConsole { Prompts = [prompt] }.ToDialect()).Id);

    [Theory]
    [InlineData("192.0.2.7:2003", "192.0.2.7", 2003)]
    [InlineData("core-1", "core-1", 23)]
    [InlineData("[2001:db8::7]:99", "2001:db8::7", 99)]
    [InlineData("2001:db8::7", "2001:db8::7", 23)]
    public void An_address_is_a_host_and_a_port(string address, string host, int port)
    {
        Switch place = ConsoleAddress.Parse(address, LinkKind.Telnet);
        Assert.Equal((host, port), (place.Address, place.TcpPort));
    }

    [Theory]
    [InlineData("core-1:0")]
    [InlineData("core-1:x")]
    [InlineData(":23")]
    [InlineData("")]
    [InlineData("a b")]
    public void Anything_else_is_none(string address) => Assert.Equal(ProblemId.ConnectFailed, Lantern.Fails(() => ConsoleAddress.Parse(address, LinkKind.Telnet)).Id);

    private string Place(string name) => _folder.Path(name);

    private CaptureSaving Saving(string[] commands, bool overwrite = false, Dialect? dialect = null) =>
        new(dialect ?? Lantern.Dialect(console: "\"changing\": [\"sink\"]", more: Changes), "pier-1", Lantern.Secrets, commands, _folder.FullPath, overwrite);

    private (List<SavedCapture> Saved, List<Problem> Problems, List<string> Heard) Save(string[] commands, bool overwrite = false, Dialect? dialect = null, Dictionary<string, string>? answers = null)
    {
        List<string> heard = [];
        List<Problem> problems = [];
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            peer.Serve(Lantern.Prompt, command => { heard.Add(command); return command + "\r\n"; }, answers ?? Pier);
        });
        List<SavedCapture> saved = [.. Saving(commands, overwrite, dialect).Run(console.Connect, SystemClock.Instance, Lantern.Patient, problems.Add)];
        return (saved, problems, heard);
    }
}
