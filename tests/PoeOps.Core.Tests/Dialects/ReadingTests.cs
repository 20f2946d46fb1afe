using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

public sealed class ReadingTests
{
    private const string Sample = """
        {
          "name": "brine",
          "console": { "prompts": ["^[a-z]+\\$ $"] },
          "blocks": [
            { "name": "ports", "of": "port", "begins": ["Unit (?<Unit>\\w+)"], "ends": ["done"], "rows": ["(?<Port>\\w+) (?<DrawWatts>\\S+)"] }
          ],
          "ignore": [ { "name": "log", "pattern": "<\\d+> .*" } ]
        }
        """;

    [Theory]
    [InlineData("Unit A\n1 4.5W\n2 1200mW\ndone\n", "A/1=4.5 A/2=1.2", "")]
    [InlineData("Unit A\r\n1 4.5W\r\n2 -\r\ndone", "A/1=4.5 A/2=", "")]
    [InlineData("\u001b[1mUnit A\u001b[0m\n1 9W\r1 4.5W\n2 1.9W\b\b2W\ndone\n", "A/1=4.5 A/2=1.2", "")]
    [InlineData("Unit A\n1 4.5W\n<7> link up\n2 1W\ndone\n", "A/1=4.5 A/2=1", "")]
    [InlineData("Unit A\n1 4.5W\n2 1W", "A/1=4.5", "RowIncomplete 3")]
    [InlineData("Unit A\n1 4.5W\n2 1W\n", "A/1=4.5 A/2=1", "BlockNotEnded 1")]
    [InlineData("Unit A\n1 4.5W\n2", "A/1=4.5", "RowIncomplete 3")]
    [InlineData("Unit A\n1 4.5\ndone\n", "", "ValueUnreadable 2")]
    [InlineData("Unit A\n1 4,5W\ndone\n", "", "ValueUnreadable 2")]
    [InlineData("Unit A\n1 4W\ndone\nUnit A\n1 5W\ndone\n", "A/1=5", "")]
    [InlineData("hello\nworld\n", "", "CaptureOfAnotherFamily -")]
    [InlineData("sea$ list\nUnit A\n1 4W\ndone\nsea$ ", "A/1=4", "")]
    public void A_text_gives_these_ports_and_problems(string text, string ports, string problems)
    {
        Reading reading = Read(Sample, text);
        Assert.Equal(ports, string.Join(" ", reading.Controllers.SelectMany(one => one.Ports).Select(port => FormattableString.Invariant($"{port.Unit}/{port.Name}={port.DrawWatts}"))));
        Assert.Equal(problems, string.Join("|", reading.Problems.Select(problem => $"{problem.Id} {problem.Line?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-"}")));
    }

    [Fact]
    public void An_unread_line_is_told_whole()
    {
        Problem problem = Assert.Single(Read(Sample, "Unit A\n1 4W\nwhat is this here\ndone\n").Problems);
        Assert.Equal("sea, line 3: No rule of the dialect 'brine' reads this line in the block 'ports': 'what is this here'. Add a row for it to the dialect, or name it under 'ignore'.", problem.ToString());
        Assert.Equal("sea/A", problem.Target);
    }

    [Fact]
    public void A_pattern_that_never_comes_to_an_end_is_a_problem_with_its_line()
    {
        string slow = Sample.Replace("(?<Port>\\\\w+) (?<DrawWatts>\\\\S+)", "(a+)+b", StringComparison.Ordinal);
        Reading reading = Read(slow, "Unit A\n" + new string('a', 60) + "\ndone\n");
        Assert.Contains(reading.Problems, problem => problem is { Id: ProblemId.PatternTooSlow, Line: 2 });
    }

    [Theory]
    [InlineData("\"of\": \"port\"", "\"of\": \"prot\"", "JsonBadValue 5 blocks[0].of: 'prot' is nothing that a row can tell of; the nearest is 'port'. Write switch, controller or port.")]
    [InlineData("\"name\": \"brine\"", "\"name\": 5", "JsonWrongType 2 name: Found the number 5 where a text was expected. Write a text there.")]
    [InlineData("\"name\": \"brine\"", "\"nmae\": \"brine\"", "JsonMissingKey 1 -: The key 'name' is missing, and a text was expected in it. Add 'name' to the object that begins in this line.")]
    [InlineData("(?<Port>", "(?<Prot>", "PropertyUnknown 5 blocks[0].rows[0]: The group 'Prot' of the pattern '(?<Prot>\\w+) (?<DrawWatts>\\S+)' names nothing that can be filled here; the nearest is 'Port'. The names that can be filled here are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour, PdClassA, PdClassB, AllocatedPdWatts, AllocatedBy.")]
    public void A_mistake_in_the_file_is_told_with_its_place(string right, string wrong, string told) =>
        Assert.Equal(told, Told.Of(DialectFile.Parse(Sample.Replace(right, wrong, StringComparison.Ordinal), "a.json").Problems)[0]);

    [Fact]
    public void A_pattern_that_is_none_is_told()
    {
        DialectResult result = DialectFile.Parse(Sample.Replace("Unit (?<Unit>", "Unit ((?<Unit>", StringComparison.Ordinal), "a.json");
        Assert.Null(result.Dialect);
        Assert.Equal(ProblemId.PatternInvalid, result.Problems[0].Id);
    }

    [Fact]
    public void The_shipped_dialects_have_no_mistake_and_fit_the_schema()
    {
        var schema = new SchemaCheck("dialect");
        foreach (string name in new[] { "kelpline", "oakum" })
        {
            string path = Repository.Path("module", "dialects", $"{name}.dialect.json");
            Assert.Empty(Told.Of(DialectFile.Read(path).Problems));
            Assert.True(schema.Takes(File.ReadAllText(path)), name);
        }
    }

    [Fact]
    public void A_dialect_that_is_not_there_is_told_with_the_nearest()
    {
        DialectResult result = new DialectShelf([Repository.Path("module", "dialects")]).Find("kelplin");
        Assert.Null(result.Dialect);
        Assert.StartsWith("No dialect is called 'kelplin'; the nearest is 'kelpline'", result.Problems[0].Sentence, StringComparison.Ordinal);
        Assert.Equal(ProblemId.DialectUnknown, result.Problems[0].Id);
    }

    private static Reading Read(string dialect, string text)
    {
        DialectResult result = DialectFile.Parse(dialect, "a.json");
        Assert.Empty(Told.Of(result.Problems));
        return CaptureReader.Read(result.Dialect!, CaptureText.FromText(text, "sea"), new ReadingContext { Switch = "sea" });
    }
}
