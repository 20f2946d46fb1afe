using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>The dialect that the help topic teaches with, taken out of the topic and run over the capture in it.</summary>
public sealed class TopicTests : IDisposable
{
    private static readonly string Topic = Repository.Path("module", "en-US", "about_PoeOps_Dialects.help.txt");
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("Dialects", "    How to teach")]
    [InlineData("Images", "    How images are checked")]
    [InlineData("Notices", "    A plan for other people")]
    [InlineData("Outages", "    How Measure-PseOutage works out")]
    [InlineData("Planning", "    What a plan keeps to")]
    [InlineData("Risk", "    How likely a window is too short")]
    [InlineData("SSH", "    Switches that are reached by SSH")]
    [InlineData("Telnet", "    Switches that are reached by Telnet or raw TCP")]
    [InlineData("Windows", "    When work is allowed at a site")]
    [InlineData("Snmp", "    How to read controllers and ports over SNMP")]
    public void A_topic_begins_as_help_wants_it(string name, string description)
    {
        string topic = Repository.Path("module", "en-US", $"about_PoeOps_{name}.help.txt");
        Assert.Equal([0xEF, 0xBB, 0xBF], File.ReadAllBytes(topic)[..3]);
        string[] lines = File.ReadAllLines(topic);
        Assert.Equal(["TOPIC", $"    about_PoeOps_{name}", "", "SHORT DESCRIPTION"], lines[..4]);
        Assert.StartsWith(description, lines[4], StringComparison.Ordinal);
    }

    [Fact]
    public void The_example_reads_every_line_of_its_capture()
    {
        CoverageReading reading = Coverage.Of(Example(), [Capture()]);
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(0, reading.Summary.Unread);
        Assert.Equal(26, reading.Summary.Lines);
        Assert.Empty(reading.Summary.NeverUsed);
        Assert.Empty(reading.Summary.NeverFilled);
    }

    [Fact]
    public void The_example_gives_what_the_topic_says()
    {
        Reading reading = CaptureReader.Read(Example(), CaptureText.FromFile(Capture(), Example()), new ReadingContext { Switch = "dune-1" });
        Assert.Equal(
            [
                "A Healthy 4.1b2 5.2.1 370 15.4 8.2",
                "A/1 True DeliveringPower 4 Critical 15.4 8.2 30 camera at the pier",
                "A/2 True Searching - Low 0 0 - -",
                "B Faulted 4.0b19 5.2.1 370 - -",
                "B/1 False Disabled - Low 0 0 15 -",
                "C Absent - 5.2.1 - - -",
            ],
            reading.Controllers.SelectMany(one => one.Ports.Select(Say).Prepend(Say(one))));
    }

    [Fact]
    public void The_schema_takes_the_examples()
    {
        Assert.True(new SchemaCheck("dialect").Takes(Cut("marram.dialect.json")));
        Assert.True(new SchemaCheck("dialect").Takes(Cut("sorrel.dialect.json")));
    }

    [Fact]
    public void The_example_of_other_ways_reads_every_line_of_its_capture()
    {
        Dialect dialect = Example("sorrel.dialect.json");
        string capture = _folder.Write("reef-1.txt", Cut("reef-1.txt"));
        CoverageReading coverage = Coverage.Of(dialect, [capture]);
        Assert.Empty(Told.Of(coverage.Problems));
        Assert.Equal((18, 0), (coverage.Summary.Lines, coverage.Summary.Unread));
        Assert.Empty(coverage.Summary.NeverUsed);
        Assert.Empty(coverage.Summary.NeverFilled);

        Reading reading = CaptureReader.Read(dialect, CaptureText.FromFile(capture, dialect), new ReadingContext { Switch = "reef-1" });
        Assert.Equal(
            [
                "1 Healthy -  - - 4.2",
                "1/1  DeliveringPower -  - 4.2 15.4 lamp by the stairs to the quay",
                "1/2  Searching -  - 0 - radio",
                "2 Absent -  - - 12",
            ],
            reading.Controllers.SelectMany(one => one.Ports.Select(Say).Prepend(Say(one))));
        Assert.Equal(["S-8", "S-8 b"], reading.Controllers.Select(one => one.Model));
    }

    [Fact]
    public void Every_key_of_the_schema_is_explained()
    {
        string text = File.ReadAllText(Topic);
        Assert.All(new SchemaCheck("dialect").Keys.SelectMany(one => one.Value).Where(key => !key.StartsWith("Priority=", StringComparison.Ordinal)).Distinct(), key => Assert.Contains(key, text));
    }

    [Fact]
    public void Every_problem_of_reading_is_explained()
    {
        string text = File.ReadAllText(Topic);
        ProblemId[] ids =
        [
            ProblemId.LineUnread, ProblemId.RowIncomplete, ProblemId.ValueUnreadable, ProblemId.BlockNotEnded, ProblemId.ReadingsDisagree, ProblemId.VersionUnreadable, ProblemId.RowsMissing, ProblemId.PortsMissing,
            ProblemId.PatternTooSlow, ProblemId.CaptureOfAnotherFamily, ProblemId.CaptureBinary, ProblemId.CaptureUndecodable, ProblemId.LineTooLong,
        ];
        Assert.All(ids, id => Assert.Contains(id.ToString(), text));
    }

    private static string Say(Controller one) =>
        FormattableString.Invariant($"{one.Unit} {one.Condition} {one.Firmware ?? "-"} {one.Release} {Say(one.BudgetWatts)} {Say(one.AllocatedWatts)} {Say(one.DrawWatts)}");

    private static string Say(Port one) =>
        FormattableString.Invariant($"{one.Unit}/{one.Name} {one.AdminEnabled} {one.Status} {Say(one.PdClass)} {one.Priority} {Say(one.AllocatedWatts)} {Say(one.DrawWatts)} {Say(one.LimitWatts)} {one.Description ?? "-"}");

    private static string Say(decimal? number) => number is { } some ? FormattableString.Invariant($"{some:0.###}") : "-";

    private Dialect Example(string file = "marram.dialect.json")
    {
        DialectResult result = DialectFile.Read(_folder.Write(file, Cut(file)));
        Assert.Empty(Told.Of(result.Problems));
        return result.Dialect!;
    }

    private string Capture() => _folder.Write("dune-1.txt", Cut("dune-1.txt"));

    // What stands between the two lines that name the file, without the indent of the topic.
    private static string Cut(string file) =>
        string.Concat(File.ReadAllLines(Topic).SkipWhile(line => line != "    ----- " + file).Skip(1).TakeWhile(line => line != "    ----- end of " + file)
            .Select(line => (line.Length > 4 ? line[4..] : string.Empty) + "\n"));
}
