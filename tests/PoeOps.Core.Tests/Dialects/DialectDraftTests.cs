using System.Text;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>A draft of a dialect from captures, that never reads a line otherwise than it stands.</summary>
public sealed class DialectDraftTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public static TheoryData<string> Captures => [.. CaptureFiles()];

    private static IEnumerable<string> CaptureFiles() =>
        new[] { "tests/captures", "examples/captures" }.SelectMany(place => Directory.GetFiles(Repository.Path(place.Split('/')), "*.txt", SearchOption.AllDirectories))
            .Where(file => !file.EndsWith(".expected.txt", StringComparison.Ordinal)).Select(file => Path.GetRelativePath(Repository.Path(), file)).Order(StringComparer.Ordinal);

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("kelpline", 540)]
    [InlineData("oakum", 263)]
    public void What_a_draft_of_a_shipped_family_fills_is_what_its_own_dialect_reads(string family, int filled)
    {
        string[] files = Directory.GetFiles(Repository.Path("examples", "captures", family), "*.txt");
        Dialect draft = Read(DialectDraft.FromCaptures("a", files, null));
        Dialect own = DialectFile.Read(Repository.Path("module", "dialects", family + ".dialect.json")).Dialect!;
        int same = 0;
        foreach (string file in files)
        {
            Reading guessed = Reading(draft, file);
            Reading true_ = Reading(own, file);
            Assert.Equal(true_.Release, guessed.Release);
            Assert.Equal(true_.Controllers.Select(one => one.Unit), guessed.Controllers.Select(one => one.Unit));
            same += guessed.Controllers.Zip(true_.Controllers).Sum(pair => Same(pair.First, pair.Second));
            Assert.All(guessed.Problems, problem => Assert.Equal(ProblemId.LineUnread, problem.Id));
        }

        Assert.Equal(filled, same);
    }

    [Theory]
    [MemberData(nameof(Captures))]
    public void A_draft_is_a_dialect_that_accounts_for_what_it_says(string capture)
    {
        string file = Repository.Path(capture.Split(Path.DirectorySeparatorChar));
        DialectDraft draft = DialectDraft.FromCaptures("a", [file], null);
        if (draft.Text.Length == 0)
        {
            Assert.NotEmpty(draft.Problems);
            return;
        }

        CheckDraft(draft, file);
    }

    [Fact]
    public void Every_guess_says_what_it_rests_on()
    {
        string capture = _folder.Write("pier-1.txt", "pier-1> show feeds\nUnit  State  Drawn W\n----  -----  -------\n1     ok     12.5\n2     bad    -\nfeeds: 2\n\npier-1> show time\nhalf past\npier-1>\n");
        DialectDraft draft = DialectDraft.FromCaptures("pier", [capture], null);
        Assert.Equal(
            [
                "// GUESS: a prompt: lines that begin so: 3; different commands behind it: 2; lines with nothing behind it: 1, as in line 1 of pier-1.txt: pier-1> show feeds; check this.",
                "// GUESS: a table of 2 rows, found 1 times under this header, first in line 2 of pier-1.txt: of controller; check this.",
                "// GUESS: 'Unit' fills Unit, by its name; it holds '1', '2'; check this.",
                "// GUESS: 'State' fills Condition, by its name; it holds 'ok', 'bad'; check this.",
                "// GUESS: 'Drawn W' fills DrawWatts, by its name; it holds '12.5', '-'; check this.",
                "// GUESS: its end: behind 1 of 1 stands such a line, which says how many rows there were, first in line 6 of pier-1.txt; check this.",
                "// GUESS: its ruler, a line of nothing but signs beneath the header; check this.",
                "// GUESS: how Condition is written: the words 'ok', 'bad' stand there; check this.",
                "// GUESS: how DrawWatts is written: the header 'Drawn W' names the unit; check this.",
            ],
            Lines(draft).Where(line => line.Contains("GUESS:", StringComparison.Ordinal)));
        Assert.Equal((9, 9, 8, 1), (draft.Guesses, draft.Lines, draft.LinesCovered, draft.LinesNotCovered));
        Assert.Contains("//   line 9 of pier-1.txt: half past", Lines(draft));
        Assert.Equal("^[A-Za-z0-9._-]+> $", Assert.Single(Read(draft).Console.Prompts).ToString());
        Assert.Equal(["1 Healthy 12.5", "2 Faulted "], Reading(Read(draft), capture).Controllers.Select(one => FormattableString.Invariant($"{one.Unit} {one.Condition} {one.DrawWatts}")));
    }

    [Fact]
    public void Blank_cells_are_read_by_their_places_and_a_value_that_is_too_wide_is_not_cut()
    {
        string capture = _folder.Write("a.txt", "Unit  Model   State\n----  ------  -----\n1     A-1     ok\n2             bad\n");
        Dialect dialect = Read(DialectDraft.FromCaptures("a", [capture], null));
        Assert.Equal(["1 A-1 Healthy", "2  Faulted"], Reading(dialect, capture).Controllers.Select(one => $"{one.Unit} {one.Model} {one.Condition}"));

        Reading other = Reading(dialect, _folder.Write("b.txt", "Unit  Model   State\n----  ------  -----\n1     A-1-22233 ok\n"));
        Assert.Empty(other.Controllers);
        Assert.Equal(ProblemId.LineUnread, Assert.Single(other.Problems).Id);
    }

    [Fact]
    public void A_pager_in_a_table_is_set_apart_and_ignored_to_the_letter()
    {
        string capture = _folder.Write("a.txt", "a> list\nPort  Class\n----  -----\n1:1   4\n-- more: space goes on --\nPort  Class\n----  -----\n1:2   3\nports: 2\n\na> end\na>\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Dialect dialect = Read(draft);
        Assert.Equal(0, draft.LinesNotCovered);
        Assert.Equal("^(?: *-- more: space goes on --)\\s*$", Assert.Single(dialect.Ignore).Pattern.ToString());
        Assert.Equal("-- more: space goes on -- *$", Assert.Single(dialect.Console.Pagers).Expect.ToString());
        Assert.Equal(["1/1 4", "1/2 3"], Reading(dialect, capture).Controllers.SelectMany(one => one.Ports).Select(port => $"{port.Unit}/{port.Name} {port.PdClass}"));
    }

    [Fact]
    public void A_draft_names_the_encoding_of_its_captures()
    {
        string capture = _folder.Write("a.txt", Encoding.Latin1.GetBytes("unit: 1\nserial: k\u00e4\u00df\n"));
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null, "iso-8859-1");
        Assert.Empty(draft.Problems);
        Assert.Contains("\"encoding\": \"iso-8859-1\",", Lines(draft));
        Assert.Equal("k\u00e4\u00df", Assert.Single(Reading(Read(draft), capture).Controllers).Serial);
        Assert.Equal(ProblemId.CaptureUndecodable, Assert.Single(DialectDraft.FromCaptures("a", [capture], null).Problems).Id);
    }

    [Fact]
    public void An_encoding_that_is_not_known_is_told()
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => DialectDraft.FromCaptures("a", [], null, "morse")).Problem;
        Assert.Equal((ProblemId.EncodingUnknown, "The encoding 'morse' is not known on this machine."), (problem.Id, problem.Sentence));
        Assert.Equal(problem, Assert.Throws<PoeOpsException>(() => new PlainConsole { Prompts = ["> $"], Encoding = "morse" }.ToDialect()).Problem);
    }

    [Fact]
    public void A_line_above_the_header_hands_its_unit_down()
    {
        string capture = _folder.Write("a.txt", "Ports of unit 1:\nPort  Class\n----  -----\n1     4\n2     3\n\nPorts of unit 2:\nPort  Class\n----  -----\n1     0\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Assert.Equal(0, draft.LinesNotCovered);
        Assert.Contains("// GUESS: 'unit' fills Unit, by the word before it in the line above the header; it holds '1', '2'; check this.", Lines(draft));
        Assert.Equal(["1/1 4", "1/2 3", "2/1 0"], Reading(Read(draft), capture).Controllers.SelectMany(one => one.Ports).Select(port => $"{port.Unit}/{port.Name} {port.PdClass}").DefaultIfEmpty("none"));
    }

    [Fact]
    public void Ports_of_nobody_knows_which_unit_are_left_in_comments()
    {
        string capture = _folder.Write("a.txt", "All ports:\nPort  Class\n----  -----\n1     4\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Assert.Equal((0, 4), (draft.LinesCovered, draft.LinesNotCovered));
    }

    [Fact]
    public void A_line_that_stands_further_in_begins_no_block()
    {
        string capture = _folder.Write("a.txt", "  slot 3\nfirmware : 3.9\nhealth : ok\n");
        Assert.Empty(Reading(Read(DialectDraft.FromCaptures("a", [capture], null)), capture).Controllers);
    }

    [Fact]
    public void A_name_that_stands_before_different_values_is_no_prompt()
    {
        string capture = _folder.Write("a.txt", "serial: one\nunit: 1\n\nserial: two\nunit: 2\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Assert.Equal("^EDIT-the-prompt> $", Assert.Single(Read(draft).Console.Prompts).ToString());
        Assert.Equal(["1 one", "2 two"], Reading(Read(draft), capture).Controllers.Select(one => $"{one.Unit} {one.Serial}"));
    }

    [Fact]
    public void A_prompt_may_follow_names_and_values_and_end_in_a_colon()
    {
        string capture = _folder.Write("pier-1.txt", "pier-1: tell one\nserial: one\nunit: 1\npier-1: tell two\nserial: two\nunit: 2\npier-1:\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Assert.Equal("^[A-Za-z0-9._-]+: $", Assert.Single(Read(draft).Console.Prompts).ToString());
        Assert.Equal((7, 0), (draft.LinesCovered, draft.LinesNotCovered));
    }

    [Fact]
    public void A_block_that_another_would_take_a_line_from_is_left_in_comments()
    {
        string capture = _folder.Write("a.txt", "serial : S1\nunit : 1\nfirmware : 2\n\ncard of slot 5\nfirmware : 3\nserial : S2\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Assert.Contains("// NOT READ: it would read line 7 of a.txt otherwise than its columns stand. Name its groups, and take the slashes away.", Lines(draft));
        Assert.Equal(["1 S1 2"], Reading(Read(draft), capture).Controllers.Select(one => $"{one.Unit} {one.Serial} {one.Firmware}"));
    }

    [Fact]
    public void Names_and_values_that_name_no_unit_are_left_in_comments_and_unread()
    {
        string capture = _folder.Write("a.txt", "firmware : 3.9\nhealth : ok\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Assert.Equal((0, 2), (draft.LinesCovered, draft.LinesNotCovered));
        Assert.Contains("// NOT READ: no unit or port is named that it could be about. Name its groups, and take the slashes away.", Lines(draft));
    }

    [Fact]
    public void Two_columns_that_could_fill_one_property_fill_none()
    {
        string capture = _folder.Write("a.txt", "Unit  Draw W  Used W  State\n----  ------  ------  -----\n1     5.0     6.0     ok\n");
        DialectDraft draft = DialectDraft.FromCaptures("a", [capture], null);
        Assert.Null(Assert.Single(Reading(Read(draft), capture).Controllers).DrawWatts);
        Assert.Contains("// 'Draw W' fills nothing: it could fill DrawWatts, and so could another; it holds '5.0'.", Lines(draft));
    }

    [Theory]
    [InlineData("", ProblemId.FileEmpty)]
    [InlineData("a\0b", ProblemId.CaptureBinary)]
    public void A_capture_that_cannot_be_read_gives_no_draft(string text, ProblemId id)
    {
        DialectDraft draft = DialectDraft.FromCaptures("a", [_folder.Write("a.txt", text)], null);
        Assert.Equal(("", id), (draft.Text, Assert.Single(draft.Problems).Id));
    }

    [Theory]
    [InlineData("x")]
    [InlineData("\n")]
    [InlineData("*/ // \u2028 \"name\": { \n")]
    [InlineData("| | |\n|||\n")]
    [InlineData("a : b\na : c\n")]
    [InlineData("> a\n> b\n>\n")]
    public void Little_gives_a_draft_all_the_same(string text)
    {
        string file = _folder.Write("a.txt", text);
        CheckDraft(DialectDraft.FromCaptures("", [file], null), file);
    }

    [Fact]
    public void Two_hundred_thousand_lines_are_read_and_the_list_of_unread_ones_is_bounded()
    {
        StringBuilder text = new("a> list\nPort      Class  Drawn W\n--------  -----  -------\n");
        for (int i = 1; i <= 100_000; i++)
        {
            text.Append(FormattableString.Invariant($"{i % 9}:{i,-6}  4      {i % 300,5}.5\n"));
        }

        text.Append("\na> log\n");
        for (int i = 1; i <= 100_000; i++)
        {
            text.Append(FormattableString.Invariant($"something {i} of {i * 7L}: happened at {i}, then {i + 1} > {i + 2}\n"));
        }

        string file = _folder.Write("a.txt", text.ToString());
        DialectDraft draft = DialectDraft.FromCaptures("a", [file], null);
        CheckDraft(draft, file);
        Assert.InRange(draft.LinesNotCovered, 100_000, 100_010);
        Assert.InRange(draft.Text.Length, 1000, 60_000);
    }

    [Fact]
    public void Whatever_captures_are_made_of_a_draft_is_a_dialect()
    {
        Random random = new(71);
        string[] lines = [.. CaptureFiles().SelectMany(file => File.ReadAllLines(Repository.Path(file.Split(Path.DirectorySeparatorChar))))];
        for (int i = 0; i < 150; i++)
        {
            int start = random.Next(lines.Length);
            string text = string.Join("\n", lines.Skip(start).Take(random.Next(1, 60)).Select(line => Spoil(random, line)));
            string file = _folder.Write("a.txt", text + "\n");
            DialectDraft draft = DialectDraft.FromCaptures("a", [file], null);
            Assert.True(draft.Text.Length > 0 || draft.Problems.Count > 0);
            if (draft.Text.Length > 0)
            {
                CheckDraft(draft, file);
            }
        }
    }

    private static string Spoil(Random random, string line)
    {
        if (line.Length == 0 || random.Next(4) > 0)
        {
            return line;
        }

        int at = random.Next(line.Length);
        return random.Next(3) switch { 0 => line.Remove(at), 1 => line.Insert(at, "\t|: =(["[random.Next(7)].ToString()), _ => line + line[at..] };
    }

    private static string[] Lines(DialectDraft draft) => [.. draft.Text.Split('\n').Select(line => line.Trim())];

    private void CheckDraft(DialectDraft draft, string file)
    {
        CoverageReading reading = Coverage.Of(Read(draft), [file]);
        Assert.Equal(draft.LinesNotCovered, reading.Summary.Unread);
        Assert.Equal((draft.Lines, draft.Lines), (draft.LinesCovered + draft.LinesNotCovered, reading.Summary.Lines - reading.Summary.Blank));
        string[] lines = Lines(draft);
        string[] guesses = [.. lines.Where(line => line.StartsWith("// GUESS: ", StringComparison.Ordinal))];
        Assert.Equal(draft.Guesses, guesses.Length);
        Assert.All(guesses, guess => Assert.EndsWith("; check this.", guess, StringComparison.Ordinal));
        Assert.Equal(Math.Min(draft.LinesNotCovered, 200), lines.Count(line => line.StartsWith("//   line ", StringComparison.Ordinal)));
        Assert.True(new SchemaCheck("dialect").Takes(draft.Text));
    }

    private Dialect Read(DialectDraft draft)
    {
        DialectResult result = DialectFile.Read(draft.Write(_folder.Path("draft.dialect.json"), overwrite: true).Path);
        Assert.Empty(Told.Of(result.Problems));
        return result.Dialect!;
    }

    private static Reading Reading(Dialect dialect, string file) => CaptureReader.Read(dialect, CaptureText.FromFile(file, dialect), new ReadingContext { Switch = "a" });

    // How many properties the draft filled; each must be what the other reads.
    private static int Same(Controller guessed, Controller own) =>
        Same(guessed.Firmware, own.Firmware) + Same(guessed.BudgetWatts, own.BudgetWatts) + Same(guessed.GuardBandWatts, own.GuardBandWatts) + Same(guessed.DrawWatts, own.DrawWatts) +
        Same(guessed.AllocatedWatts, own.AllocatedWatts) + Same(guessed.Condition, own.Condition) + guessed.Ports.Zip(own.Ports).Sum(pair => Same(pair.First, pair.Second));

    private static int Same(Port guessed, Port own) =>
        Same(guessed.Name, own.Name) + Same(guessed.PdClass, own.PdClass) + Same(guessed.DrawWatts, own.DrawWatts) + Same(guessed.AllocatedWatts, own.AllocatedWatts) +
        Same(guessed.LimitWatts, own.LimitWatts) + Same(guessed.Description, own.Description);

    private static int Same<T>(T? guessed, T? own)
    {
        if (guessed is null)
        {
            return 0;
        }

        Assert.Equal(own, guessed);
        return 1;
    }
}
