using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Each capture of tests/captures is read by the dialect of its folder, and the whole reading is held against the text beside it.</summary>
public class CaptureTests
{
    private static readonly DateTime Printed = new(2026, 11, 25, 2, 0, 0, DateTimeKind.Utc);

    public static TheoryData<string, string> Captures
    {
        get
        {
            var captures = new TheoryData<string, string>();
            foreach (string file in Directory.EnumerateFiles(Repository.Path("tests", "captures"), "*.txt", SearchOption.AllDirectories).Order(StringComparer.Ordinal))
            {
                if (!file.EndsWith(".expected.txt", StringComparison.Ordinal) && !file.EndsWith(".received.txt", StringComparison.Ordinal))
                {
                    captures.Add(Path.GetFileName(Path.GetDirectoryName(file)!), Path.GetFileNameWithoutExtension(file));
                }
            }

            return captures;
        }
    }

    [Theory]
    [MemberData(nameof(Captures))]
    public void A_capture_reads_as_the_text_beside_it_says(string family, string name)
    {
        string expected = PathOf(family, name + ".expected");
        string received = ReadingText.Of(Read(family, name));
        if (!File.Exists(expected) || File.ReadAllText(expected) != received)
        {
            File.WriteAllText(PathOf(family, name + ".received"), received);
        }

        Assert.True(File.Exists(expected), "There is no text beside the capture; what was read stands in the .received.txt.");
        Assert.Equal(File.ReadAllText(expected), received);
    }

    [Theory]
    [MemberData(nameof(Captures))]
    public void No_line_of_a_capture_is_lost(string family, string name)
    {
        CaptureText text = CaptureText.FromFile(PathOf(family, name), DialectOf(family));
        Reading reading = Read(family, name);
        Assert.Equal(text.Lines.Select(line => (line.Number, line.Text)), reading.Lines.Select(line => (line.Line, line.Text)));
        Assert.All(reading.Lines.Where(line => line.ReadAs == ReadAs.Blank), line => Assert.Equal("", line.Text.Trim()));
    }

    [Theory]
    [InlineData("brack")]
    [InlineData("cleat")]
    [InlineData("gimbal")]
    [InlineData("thole")]
    public void The_schema_takes_the_dialect(string family) =>
        Assert.True(new SchemaCheck("dialect").Takes(File.ReadAllText(Repository.Path("tests", "captures", family, family + ".dialect.json"))));

    [Theory]
    [InlineData("plain", "windows-line-ends")]
    [InlineData("plain", "noisy")]
    [InlineData("utf8-mark", "utf16")]
    public void Line_ends_noise_and_marks_make_no_difference(string one, string other) => Assert.Equal(Objects("gimbal", one), Objects("gimbal", other));

    [Theory]
    [InlineData("kelpline")]
    [InlineData("oakum")]
    public void The_demo_captures_are_read_to_the_last_line(string family)
    {
        Dialect dialect = DialectFile.Read(Repository.Path("module", "dialects", family + ".dialect.json")).Dialect!;
        CoverageReading reading = Coverage.Of(dialect, Directory.GetFiles(Repository.Path("examples", "captures", family), "*.txt"));
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(0, reading.Summary.Unread);
        Assert.InRange(reading.Summary.Ports, 1, int.MaxValue);
    }

    private static IReadOnlyList<string> Objects(string family, string name) =>
        [.. ReadingText.Of(Read(family, name)).Split('\n').Where(line => line.StartsWith("controller", StringComparison.Ordinal) || line.StartsWith("  port", StringComparison.Ordinal))];

    private static Reading Read(string family, string name)
    {
        var context = new ReadingContext { Switch = "quay-1", Source = "capture", ReadUtc = Printed, KeepLines = true };
        Reading reading = CaptureReader.Read(DialectOf(family), CaptureText.FromFile(PathOf(family, name), DialectOf(family)), context);
        return reading with { Problems = [.. reading.Problems.Select(problem => problem with { File = problem.File is null ? null : Path.GetFileName(problem.File) })] };
    }

    private static string PathOf(string family, string name) => Repository.Path("tests", "captures", family, name + ".txt");

    private static Dialect DialectOf(string family)
    {
        DialectResult result = DialectFile.Read(Repository.Path("tests", "captures", family, family + ".dialect.json"));
        Assert.Empty(Told.Of(result.Problems));
        return result.Dialect!;
    }
}
