using System.Globalization;
using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Where blocks, rows and files begin and end.</summary>
public sealed class BlockBoundaryTests : IDisposable
{
    private const string Boom = """
        {
          "name": "boom",
          "console": { "prompts": ["^boom[0-9]+: $"] },
          "ask": { "ports": ["chains"], "neighbours": ["guests"] },
          "blocks": [
            { "name": "hoist", "of": "controller", "begins": ["hoist (?<Unit>\\w+)"], "oneRecord": true, "rows": ["state (?<Condition>\\w+)"] },
            { "name": "chains", "of": "port", "begins": ["chains of (?<Unit>\\w+)"], "rows": [
              { "name": "with a note", "lines": ["(?<Port>\\d+) (?<DrawWatts>\\S+)", " +note (?<Description>.+)"] },
              { "name": "bare", "lines": ["(?<Port>\\d+) (?<DrawWatts>\\S+)"] } ] },
            { "name": "guests", "of": "port", "begins": ["guests of (?<Unit>\\w+)"], "rows": ["(?<Neighbour>\\S+) +(?<Port>\\S+)", "(?<Neighbour>\\S+) on (?<Port>\\d+)"] }
          ],
          "values": { "Condition": { "words": { "up": "Healthy" } }, "DrawWatts": { "unit": "W", "decimalMark": [".", ","] } }
        }
        """;

    private const string Hoist = "hoist A\nstate up\n\n";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(Hoist + "chains of A\n\n1 4\n2 5\n\n", "A/1 4 - -|A/2 5 - -", "")]
    [InlineData(Hoist + "guests of A\ntel-1 1\nchains of A\n1 4\n", "A/1 4 - tel-1", "")]
    [InlineData(Hoist + "guests of A\ntel-1 1\nboom1: chains\nchains of A\n1 4\n", "A/1 4 - tel-1", "")]
    [InlineData(Hoist + "chains of A\n1 4\n  note bell\n2 5\n3 6\n  note horn\n", "A/1 4 bell -|A/2 5 - -|A/3 6 horn -", "")]
    [InlineData(Hoist + "chains of A\n1 4.5\n2 4,25\n3 1500mW\n", "A/1 4.5 - -|A/2 4.25 - -|A/3 1.5 - -", "")]
    [InlineData(Hoist + "chains of A\n1 4\n2 15", "A/1 4 - -", "RowIncomplete 6")]
    [InlineData("hoist A\nstate up", "", "RowIncomplete 2")]
    [InlineData("\n \n\t\n", "", "CaptureOfAnotherFamily -")]
    public void A_text_gives_these_ports_and_problems(string text, string ports, string problems)
    {
        Reading reading = CaptureReader.Read(Dialect, CaptureText.FromText(text, "boom"), new ReadingContext());
        Assert.Equal(ports, string.Join("|", reading.Controllers.SelectMany(one => one.Ports).Select(port => FormattableString.Invariant($"{port.Unit}/{port.Name} {port.DrawWatts} {port.Description ?? "-"} {port.Neighbour ?? "-"}"))));
        Assert.Equal(problems, Say(reading));
    }

    [Fact]
    public void A_window_title_without_an_end_hides_nothing_of_its_line() => Assert.Equal("0;title 1 4", ConsoleText.Clean("\u001b]0;title 1 4"));

    [Fact]
    public void A_byte_order_mark_alone_is_an_empty_file()
    {
        string path = _folder.Write("mark.txt", [0xEF, 0xBB, 0xBF]);
        Assert.Equal(ProblemId.FileEmpty, Assert.Single(CaptureText.FromFile(path, Dialect).Problems).Id);
    }

    [Fact]
    public void A_broken_line_of_a_file_in_utf_16_is_told_and_the_others_are_read()
    {
        byte[] text = [0xFF, 0xFE, .. Encoding.Unicode.GetBytes(Hoist + "chains of A\n1 4\n"), 0x00, 0xD8, .. Encoding.Unicode.GetBytes("\n2 5\n")];
        string path = _folder.Write("wide.txt", text);
        Reading reading = CaptureReader.Read(Dialect, CaptureText.FromFile(path, Dialect), new ReadingContext());
        Assert.Equal("CaptureUndecodable 6|RowIncomplete 5", Say(reading));
        Assert.Equal("2", Assert.Single(Assert.Single(reading.Controllers).Ports).Name);
    }

    [Fact]
    public void One_file_of_another_family_among_others_is_told_once()
    {
        CaptureText good = CaptureText.FromText(Hoist, "good.txt");
        CaptureText other = CaptureText.FromText("what is this\nand this\n", "other.txt");
        Problem problem = Assert.Single(CaptureReader.Read(Dialect, CaptureText.Together([good, other]), new ReadingContext()).Problems);
        Assert.Equal((ProblemId.CaptureOfAnotherFamily, "other.txt"), (problem.Id, problem.File));
    }

    [Fact]
    public void A_block_that_reads_nothing_is_a_mistake() => Assert.Equal(
        ["JsonMissingKey 6 blocks[0]: The block 'hoist' reads nothing: it has no rows, and is no record whose first line holds all of it. Add 'rows', or 'oneRecord' and named groups in 'begins'."],
        Told.Of(DialectFile.Parse(Boom.Replace("\"oneRecord\": true, \"rows\": [\"state (?<Condition>\\\\w+)\"]", "\"oneRecord\": false", StringComparison.Ordinal), "boom").Problems).ToList());

    [Fact]
    public void Only_watts_have_a_unit_and_a_decimal_mark() => Assert.Equal(
        ["JsonUnknownKey 12 values.Condition.unit: The key 'unit' is not known here; the nearest is 'words'. The keys known here are words."],
        Told.Of(DialectFile.Parse(Boom.Replace("\"Condition\": { ", "\"Condition\": { \"unit\": \"W\", ", StringComparison.Ordinal), "boom").Problems).ToList());

    private static Dialect Dialect
    {
        get
        {
            DialectResult result = DialectFile.Parse(Boom, "boom");
            Assert.Empty(Told.Of(result.Problems));
            return result.Dialect!;
        }
    }

    private static string Say(Reading reading) =>
        string.Join("|", reading.Problems.Select(problem => $"{problem.Id} {problem.Line?.ToString(CultureInfo.InvariantCulture) ?? "-"}"));
}
