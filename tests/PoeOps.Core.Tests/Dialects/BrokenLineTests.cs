using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Lines that were broken at a width or marked as going on.</summary>
public class BrokenLineTests
{
    private static readonly Dialect Wrapped = FormsDialect.Of("""
        { "name": "t", "of": "port", "wrap": 20, "begins": ["eyes of (?<Unit>\\w+)", "a long head of the eyes of (?<Unit>\\w+)"], "ends": ["end"],
          "ignore": [ { "name": "ruler", "pattern": "=+" } ], "rows": ["eye (?<Port>\\d+) (?<Description>.*)"] }
        """);

    // 24 characters are as wide as the screen only once it said so; and no longer once it said that it has no edge, or in another file.
    [Theory]
    [InlineData("screen 24\n", "1/4 and so it goes on and on")]
    [InlineData("screen 30\nscreen 24\n", "1/4 and so it goes on and on")]
    [InlineData("", "1/4 and so it goes on")]
    [InlineData("screen 24\nscreen without edge\n", "1/4 and so it goes on")]
    [InlineData("screen 25\n", "1/4 and so it goes on")]
    public void A_line_is_broken_at_the_width_that_the_console_said(string said, string read)
    {
        Dialect dialect = OnScreens();
        Reading reading = FormsDialect.Read(dialect, said + "eyes of 1\neye 4 and so it goes on \nand on\nend\n");
        Assert.Equal([read], reading.Controllers[0].Ports.Select(port => $"{port.Unit}/{port.Name} {port.Description}"));
        Assert.Equal(read.EndsWith("and on", StringComparison.Ordinal) ? [] : [ProblemId.LineUnread], reading.Problems.Where(problem => problem.Id != ProblemId.RowIncomplete).Select(problem => problem.Id));
    }

    [Fact]
    public void What_one_file_says_of_the_width_holds_for_no_other()
    {
        Dialect dialect = OnScreens();
        CaptureText files = CaptureText.Together([CaptureText.FromText("screen 24\neyes of 1\neye 3 and so it goes on \nand on\nend\n", "a"), CaptureText.FromText("eyes of 1\neye 4 and so it goes on \nand on\nend\n", "b")]);
        Assert.Equal(
            ["3 and so it goes on and on", "4 and so it goes on"], CaptureReader.Read(dialect, files, new ReadingContext()).Controllers[0].Ports.Select(port => $"{port.Name} {port.Description}"));
    }

    [Fact]
    public void Lines_as_wide_as_the_screen_go_on_in_the_next()
    {
        Reading reading = FormsDialect.Read(Wrapped, "eyes of a\n====================\neye 1 lamp by the st\n* 02:14\nairs to the old quay\n side\neye 2 exactly twenty\n\neye 3 radio\nend\n");
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(["a/1 ||lamp by the stairs to the old quay side", "a/2 ||exactly twenty", "a/3 ||radio"], FormsDialect.Ports(reading));
        Assert.Equal(
            ["1 Read t, beginning a", "2 Ignored t, ruler ", "3 Read t, row 1 port a/1", "4 Ignored bell ", "5 Read t, row 1 ", "6 Read t, row 1 ", "7 Read t, row 1 port a/2", "8 Blank  ", "9 Read t, row 1 port a/3", "10 Read t, end "],
            reading.Lines.Select(line => $"{line.Line} {line.ReadAs} {line.Rule} {(line.Fields.StartsWith("Unit", StringComparison.Ordinal) ? line.Fields[5..] : line.Record)}"));
    }

    [Fact]
    public void A_header_is_joined_as_well() =>
        Assert.Equal(["b/1 ||x"], FormsDialect.Ports(Wrapped, "a long head of the e\nyes of b\neye 1 x\nend\n"));

    [Fact]
    public void An_end_behind_a_line_as_wide_as_the_screen_is_the_end() =>
        Assert.Equal(["a/2 ||exactly twenty"], FormsDialect.Ports(Wrapped, "eyes of a\neye 2 exactly twenty\nend\n"));

    [Theory]
    [InlineData("eyes of a\neye 1 x\neye 2 lamp by the st\n")]
    [InlineData("eyes of a\neye 1 x\neye 2 lamp by the st\nairs to the old quays\b")]
    public void A_text_that_stops_behind_a_line_as_wide_as_the_screen_is_cut(string text)
    {
        Reading reading = FormsDialect.Read(Wrapped, text);
        Problem problem = Assert.Single(reading.Problems);
        Assert.Equal((ProblemId.RowIncomplete, 3, "The text stops in this line, before the end of the block 't'."), (problem.Id, problem.Line, problem.Sentence));
        Assert.Equal(["a/1 ||x"], FormsDialect.Ports(reading));
    }

    [Fact]
    public void A_joined_line_that_nobody_reads_is_told_with_its_first_line()
    {
        Reading reading = FormsDialect.Read(Wrapped, "eyes of a\nwhat is this that st\nands here\nend\n");
        Assert.Equal(["LineUnread 2 -: No rule of the dialect 'forms' reads this line in the block 't': 'what is this that stands here'. Add a row for it to the dialect, or name it under 'ignore'."], Told.Of(reading.Problems));
        Assert.Equal([ReadAs.Read, ReadAs.Unread, ReadAs.Unread, ReadAs.Read], reading.Lines.Select(line => line.ReadAs));
    }

    [Fact]
    public void Endless_lines_as_wide_as_the_screen_come_to_an_end()
    {
        string wide = string.Concat(Enumerable.Repeat(new string('x', 20) + "\n", 20_000));
        Assert.All(FormsDialect.Read(Wrapped, wide + "eyes of a\n" + wide + "end\n").Problems, problem => Assert.Contains(problem.Id, (ProblemId[])[ProblemId.LineUnread, ProblemId.RowIncomplete]));
    }

    // The rest of a line may begin with a blank, may be broken again, and belongs to a prompt as well; one behind nothing is unread.
    [Fact]
    public void A_line_that_is_marked_as_going_on_is_one_with_the_line_before()
    {
        Dialect dialect = Marked("""{ "name": "t", "of": "port", "begins": ["eyes of (?<Unit>\\w+)"], "ends": ["end"], "rows": ["eye (?<Port>\\d+) (?<Description>.*)"] }""");
        Reading reading = FormsDialect.Read(dialect, "~> astray\nbox awaits; recite \n~> all\neyes of 1\neye 4 and so it goes\n~>  on \n~> and on\neye 5 x\nen\n~> d\n");
        Assert.Equal(["4 and so it goes on and on", "5 x"], reading.Controllers[0].Ports.Select(port => $"{port.Name} {port.Description}"));
        Assert.Equal(
            ["1 Unread ", "2 Prompt recite all", "3 Prompt recite all", "4 Read t, beginning", "5 Read t, row 1", "6 Read t, row 1", "7 Read t, row 1", "8 Read t, row 1", "9 Read t, end", "10 Read t, end"],
            reading.Lines.Select(line => $"{line.Line} {line.ReadAs} {line.Rule}"));
        Assert.Equal([(ProblemId.LineUnread, 1)], reading.Problems.Where(problem => problem.Id == ProblemId.LineUnread).Select(problem => (problem.Id, problem.Line!.Value)));
    }

    [Theory]
    [InlineData("{ \"eyes\": [ { \"n\": 3, \"no\n~> te\": \"a b\n~>  c\" } ] }\n", "1/3 a b c")]
    [InlineData("{ \"eyes\": [ { \"n\": 3, \"no\n~> te\": \"a\" },\n { \"n\": 4 'x' } ] }\n", "JsonSyntax 3")]
    public void Json_goes_on_behind_a_mark_and_its_mistakes_are_told_by_the_line(string json, string told)
    {
        Dialect dialect = Marked("""{ "name": "t", "of": "port", "fixed": { "Unit": "1" }, "json": { "rows": "$.eyes[*]", "fields": { "Port": "n", "Description": "note" } } }""");
        Reading reading = FormsDialect.Read(dialect, json);
        Assert.Equal(
            told,
            reading.Controllers.SelectMany(one => one.Ports).Select(port => $"1/{port.Name} {port.Description}").Concat(reading.Problems.Where(problem => problem.Id == ProblemId.JsonSyntax).Select(problem => $"{problem.Id} {problem.Line}")).First());
    }

    [Fact]
    public void A_width_that_nobody_says_is_told() =>
        Assert.Equal(
            ["JsonMissingKey 1 blocks: The block 't' is broken at the width of the screen, and nothing says how wide it is. Add 'width' to 'console', or write the width as 'wrap'."],
            Told.Of(DialectFile.Parse("""{ "name": "a", "console": { "prompts": ["> $"] }, "blocks": [ { "name": "t", "of": "port", "wrap": true, "begins": ["x"], "rows": ["(?<Port>1)"] } ] }""", "a").Problems));

    private static Dialect Marked(string block) => SampleDialect.Of($$"""
        { "name": "forms", "console": { "prompts": ["^box awaits; $"], "continued": "^~> " }, "ask": { "ports": "recite all" }, "blocks": [ {{block}} ] }
        """);

    private static Dialect OnScreens() => SampleDialect.Of("""
        { "name": "forms", "console": { "prompts": ["^box awaits; $"], "width": "^screen (?:without edge|(?<Width>\\d+))$" },
          "ignore": [ { "name": "screen", "pattern": "screen .*" } ],
          "blocks": [ { "name": "t", "of": "port", "wrap": true, "begins": ["eyes of (?<Unit>\\w+)"], "ends": ["end"], "rows": ["eye (?<Port>\\d+) (?<Description>.*)"] } ] }
        """);
}
