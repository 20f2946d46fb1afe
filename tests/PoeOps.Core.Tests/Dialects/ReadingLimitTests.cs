using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

public sealed class ReadingLimitTests
{
    private const string Eyes = "eyes of deck 2\neye 7 is live\n gives 4200\n-- eyes\n";
    private const string Feeds = "deck  edition  mood  may give\n2 v1.2 calm 40\n-- feeds\n";

    [Fact]
    public void Two_hundred_unread_lines_are_told_and_the_others_counted()
    {
        Reading reading = Read(SampleDialect.Read(), Feeds + Eyes + string.Concat(Enumerable.Range(1, 250).Select(number => $"what is {number}\n")));
        Assert.Equal(201, reading.Problems.Count);
        Assert.All(reading.Problems, problem => Assert.Equal(ProblemId.LineUnread, problem.Id));
        Assert.Equal("50 more lines are not read by any rule. Test-PseDialect lists every one.", $"{reading.Problems[^1].Sentence} {reading.Problems[^1].Advice}");
        Assert.Equal(250, reading.Lines.Count(line => line.ReadAs == ReadAs.Unread));
        Assert.Equal(201, Assert.Single(reading.Controllers).ReadingProblems);
    }

    [Fact]
    public void A_file_of_another_family_beside_a_good_one_is_told_once_however_long_it_is()
    {
        CaptureText strange = CaptureText.FromText(string.Concat(Enumerable.Range(1, 250).Select(number => $"what is {number}\n")), "strange.txt");
        CaptureText good = CaptureText.FromText(Feeds + Eyes, "good.txt");
        Reading reading = CaptureReader.Read(SampleDialect.Read(), CaptureText.Together([strange, good]), new ReadingContext { Switch = "quay-1" });
        Problem problem = Assert.Single(reading.Problems);
        Assert.Equal((ProblemId.CaptureOfAnotherFamily, "strange.txt"), (problem.Id, problem.File));
        Assert.Equal("2/7", Ports(reading));
    }

    [Fact]
    public void A_line_that_is_too_long_is_told_and_is_one_line()
    {
        Reading reading = Read(SampleDialect.Read(), Eyes.Replace("-- eyes", new string('x', 65537) + "\n-- eyes", StringComparison.Ordinal) + Feeds);
        Assert.Equal("LineTooLong 4 -: The line has 65537 characters, and no console prints more than 65536 on one. Check that the file is a capture.", Told.Of(Assert.Single(reading.Problems)));
        Assert.Equal([ReadAs.Read, ReadAs.Read, ReadAs.Read, ReadAs.Unread, ReadAs.Read, ReadAs.Read, ReadAs.Read, ReadAs.Read], reading.Lines.Select(line => line.ReadAs));
        Assert.Equal("2/7", Ports(reading));
    }

    [Fact]
    public void The_longest_line_is_read() => Assert.Empty(Read(SampleDialect.Read(), "* " + new string('x', 65534) + "\n" + Feeds + Eyes).Problems);

    [Fact]
    public void A_pattern_without_an_end_is_given_up_and_its_lines_stay_unread()
    {
        Dialect slow = SampleDialect.Of(SampleDialect.With("\"=+\"", "\"(=+)+x\""));
        string rulers = string.Concat(Enumerable.Repeat(new string('=', 40) + "!\n", 500));
        Reading reading = Read(slow, "deck  edition  mood  may give\n1 v1.2 calm 40\n" + rulers + "-- feeds\n" + Eyes);

        // 500 lines of a quarter of a second each would be two minutes; three are tried.
        Assert.Equal([3, 4, 5, null], reading.Problems.Where(problem => problem.Id == ProblemId.PatternTooSlow).Select(problem => problem.Line));
        Assert.Equal("The pattern '^(?:(=+)+x)\\s*$' did not come to an end on this line within 250 ms.", reading.Problems[0].Sentence);
        Assert.Equal("497 more lines stay unread, for the pattern '^(?:(=+)+x)\\s*$' was given up. Mend the pattern first.", $"{reading.Problems[3].Sentence} {reading.Problems[3].Advice}");
        Assert.Equal("2/7", Ports(reading));
    }

    [Fact]
    public void A_word_or_a_port_name_without_an_end_leaves_its_row_out()
    {
        Dialect slow = SampleDialect.Of(SampleDialect.With("\"live\": ", "\"(a+)+b\": ").Replace("(?<Unit>\\\\d+)/(?<Port>\\\\d+)", "(?<Unit>(\\\\d+)+)/(?<Port>\\\\d+)x", StringComparison.Ordinal).Replace("eye (?<Port>\\\\d+)", "eye (?<PortName>\\\\S+)", StringComparison.Ordinal));
        string long1 = new('a', 60), long2 = new('1', 60);
        Reading reading = Read(slow, $"eyes of deck 2\neye {long2} is live\n gives 4200\neye 2/7x is {long1}\n gives 4200\n-- eyes\n");
        Assert.Equal([ProblemId.PatternTooSlow, ProblemId.PatternTooSlow], reading.Problems.Select(problem => problem.Id));
        Assert.Empty(reading.Controllers);
    }

    [Fact]
    public void A_version_without_an_end_is_told()
    {
        Dialect slow = SampleDialect.Of(SampleDialect.With("pin(?<major>\\\\d)(?<minor>\\\\d\\\\d)", "pin(?<major>(\\\\d+)+)(?<minor>\\\\d\\\\d)q").Replace("\"pin110 = v1.10\", ", "", StringComparison.Ordinal));
        Reading reading = Read(slow, "deck  edition  mood  may give\n1 pin" + new string('1', 60) + " calm 40\n-- feeds\n");
        Assert.Equal([ProblemId.PatternTooSlow], reading.Problems.Select(problem => problem.Id));
    }

    [Fact]
    public void A_port_name_that_says_another_unit_than_its_header_is_a_contradiction()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With("eye (?<Port>\\\\d+)", "eye (?<PortName>\\\\S+)"));
        Assert.Equal("2/7", Ports(Read(dialect, Eyes.Replace("eye 7", "eye 2/7", StringComparison.Ordinal))));
        Reading reading = Read(dialect, Eyes.Replace("eye 7", "eye 1/7", StringComparison.Ordinal));
        Assert.Equal("ReadingsDisagree 2 -: The port's name '1/7' says Unit '1', and '2' stands beside it. Ask the device again; where it really prints both, correct the dialect.", Told.Of(Assert.Single(reading.Problems)));
        Assert.Empty(reading.Controllers);
    }

    [Fact]
    public void Two_releases_count_against_every_unit()
    {
        Reading reading = Read(SampleDialect.Read(), "Edition of a: 1\n\nEdition of a: 2\n\n" + Feeds + Eyes);
        Assert.Equal(ProblemId.ReadingsDisagree, Assert.Single(reading.Problems).Id);
        Assert.Null(reading.Controllers[0].Release);
        Assert.Equal(1, reading.Controllers[0].ReadingProblems);
    }

    [Fact]
    public void Two_words_of_one_meaning_do_not_contradict_each_other()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With("\"calm\": \"Healthy\"", "\"calm|well\": \"Healthy\""));
        const string Feeds = "deck  edition  mood  may give\n1 v1.2 calm 40\n-- feeds\n";
        Assert.Empty(Read(dialect, Feeds + Feeds.Replace("calm", "well", StringComparison.Ordinal)).Problems);
    }

    [Theory]
    [InlineData("^box\\\\$ $", "box$ recite edition", "recite edition")]
    [InlineData("^box\\\\$", "box$ recite edition", "recite edition")]
    [InlineData("^box; ?$", "box;recite edition", "recite edition")]
    [InlineData("^box\\\\s$", "box", "")]
    [InlineData("(?x)^box;\\\\s $ # its prompt", "box; ", "")]
    [InlineData("^(box|tin): $", "tin: recite edition", "recite edition")]
    public void A_prompt_is_known_with_the_command_behind_it(string prompt, string line, string command)
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With("^[a-z0-9-]+ awaits; $", prompt));
        LineReading read = Assert.Single(Read(dialect, line + "\n").Lines);
        Assert.Equal((ReadAs.Prompt, command), (read.ReadAs, read.Rule));
    }

    [Fact]
    public void Answers_for_one_unit_hand_it_to_their_rows()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With("eyes of deck (?<Unit>\\\\d+)", "eyes"));
        CaptureText text = CaptureText.FromAnswers([new DeviceAnswer("recite feeds", Feeds.Replace("40\n", "40\n3 v1.2 calm 40\n", StringComparison.Ordinal)), Answer("2", "eyes\neye 7 is live\n gives 4200\n-- eyes\n"), Answer("3", "eyes\neye 1 is idle\n gives 0\n")], "quay-1");
        Reading reading = CaptureReader.Read(dialect, text, new ReadingContext { Switch = "quay-1" });
        Assert.Equal("2/7 3/1", Ports(reading));
        Assert.Equal("quay-1, answer to 'recite eyes 3', line 1 quay-1/3 BlockNotEnded", string.Join("|", reading.Problems.Select(problem => $"{problem.File}, line {problem.Line} {problem.Target} {problem.Id}")));
    }

    private static DeviceAnswer Answer(string unit, string text) => new($"recite eyes {unit}", text) { Unit = unit };

    [Fact]
    public void The_dialects_own_examples_are_run()
    {
        Assert.Empty(Coverage.Of(SampleDialect.Read(), []).Problems);
        Dialect wrong = SampleDialect.Of(SampleDialect.With("\"DrawWatts\": \"4.2\"", "\"DrawWatts\": \"42\""));
        Assert.Equal("DialectSampleFails 72 -: The example of 'eyes' gives DrawWatts '4.2', and '42' was expected. Correct the example or the block.", Told.Of(Assert.Single(Coverage.Of(wrong, []).Problems)));
    }

    private static Reading Read(Dialect dialect, string text) =>
        CaptureReader.Read(dialect, CaptureText.FromText(text, "capture"), new ReadingContext { KeepLines = true });

    private static string Ports(Reading reading) => string.Join(" ", reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.Unit}/{port.Name}"));
}
