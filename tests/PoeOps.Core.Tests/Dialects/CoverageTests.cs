using System.Text;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>What Test-PseDialect says of a dialect and some captures.</summary>
public sealed class CoverageTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Two_rules_that_would_take_the_same_lines_are_told_with_how_many_and_the_first()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With(
            "{ \"name\": \"bell\", \"pattern\": \"\\\\* .*\" }", "{ \"name\": \"bell\", \"pattern\": \"\\\\* .*\" }, { \"name\": \"bells\", \"pattern\": \"[*] ding.*\" }, { \"name\": \"dull\", \"pattern\": \".* calm .*\" }"));
        DialectCoverage summary = Of(dialect, "* ding\n* dong\n* ding ding\ndeck edition mood may give\n===\n 1 v1.2 calm 5,0\n1 v1.2 calm 5,0\n-- feeds\n").Summary;

        Assert.Equal(
            [
                "'bell' takes 2 that 'bells' would, the first at a.txt:1", "'dull' takes 1 that 'feeds, row 1' would, the first at a.txt:7",
            ],
            summary.Overlaps.Select(one => one.ToString()));
    }

    [Fact]
    public void A_line_of_a_block_is_held_against_the_beginnings_of_all()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With("\"rows\": [ \"(?<Unit>", "\"rows\": [ \"eyes of deck .*\", \"(?<Unit>"));
        DialectCoverage summary = Of(dialect, "deck edition mood may give\neyes of deck 2\n-- feeds\n").Summary;
        RuleOverlap overlap = Assert.Single(summary.Overlaps);
        Assert.Equal(("feeds, row 1", "eyes, beginning", 1, _folder.Path("a.txt"), 2), (overlap.Takes, overlap.WouldTake, overlap.Lines, overlap.File, overlap.Line));
    }

    [Fact]
    public void Rows_that_are_meant_to_begin_alike_do_not_overlap()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With(
            " gives (?<DrawWatts>.+)\"] }", " gives (?<DrawWatts>.+)\"] }, \"eye (?<Port>\\\\d+) is (?<Status>\\\\S+)\""));
        CoverageReading reading = Of(dialect, "deck  edition  mood  may give\n2 v1.2 calm 40\n-- feeds\neyes of deck 2\neye 1 is idle\neye 2 is live\n gives 4200\n-- eyes\n");
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Empty(reading.Summary.Overlaps);
    }

    [Fact]
    public void A_slow_pattern_is_told_with_the_longest_time_that_it_took()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With("{ \"name\": \"bell\", \"pattern\": \"\\\\* .*\" }", "{ \"name\": \"bell\", \"pattern\": \"\\\\* (a+)+b\" }"));
        CoverageReading reading = Of(dialect, "Edition of a: 1\n* " + new string('a', 60) + "\n");
        SlowPattern slow = Assert.Single(reading.Summary.SlowPatterns);
        Assert.Equal(("bell", 2), (slow.Rule, slow.Line));

        // It is stopped after 250 ms, by a clock that is coarser than the one that measures.
        Assert.InRange(slow.Milliseconds, 200, double.MaxValue);
        Assert.StartsWith("'bell' takes ", slow.ToString(), StringComparison.Ordinal);
        Assert.EndsWith(" ms at a.txt:2", slow.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Records_are_counted_by_their_kind_and_versions_that_no_spelling_reads_are_listed_once()
    {
        DialectCoverage summary = Of(
            SampleDialect.Read(),
            "Edition of quay: 7.2\ndeck edition mood may give\n1 v1.2 calm 5,0\n2 x1 calm 5,0\n3 x1 calm 5,0\n-- feeds\neyes of deck 1\neye 7 is live\n gives 4200\n-- eyes\n").Summary;
        Assert.Equal((1, 3, 1, 2), (summary.Releases, summary.Controllers, summary.Ports, summary.Problems));
        Assert.Equal(["firmware x1"], summary.UnreadVersions);
    }

    [Fact]
    public void Words_for_a_condition_that_the_dialect_gives_no_meaning_are_listed_once() => Assert.Equal(
        ["glum"],
        Of(SampleDialect.Read(), "Edition of quay: 7.2\ndeck edition mood may give\n1 v1.2 calm 5,0\n2 v1.2 glum 5,0\n3 v1.2 glum 5,0\n-- feeds\n").Summary.UnknownWords);

    [Fact]
    public void Every_line_has_its_reading_also_one_that_is_spoilt()
    {
        string tooLong = new('x', 70000);
        byte[] text = [.. Encoding.ASCII.GetBytes("Edition of a: 1\n"), 0xC3, 0x28, (byte)'\n', .. Encoding.ASCII.GetBytes($"{tooLong}\neyes of deck 2\neye 7 is live\n* bell\n\nwhat\n gives 4200\na awaits; recite work\neyes of deck 3\neye 1 is")];
        CoverageReading reading = Coverage.Of(SampleDialect.Read(), [_folder.Write("a.txt", text), _folder.Write("b.txt", "* bell\n")]);
        Assert.Equal(Enumerable.Range(1, 12).Append(1), reading.Lines.Select(line => line.Line));
        Assert.Equal(
            [
                "Read edition, beginning", "Unread ", "Unread ", "Read eyes, beginning", "Read eyes, eye", "Ignored bell", "Blank ", "Unread ", "Unread ", "Prompt recite work",
                "Read eyes, beginning", "Unread ", "Ignored bell",
            ],
            reading.Lines.Select(line => $"{line.ReadAs} {line.Rule}"));
        Assert.Equal(["bell", ""], new[] { reading.Lines[5].IgnoredBy, reading.Lines[4].IgnoredBy });
        Assert.Equal((13, 5, 61.5), (reading.Summary.Lines, reading.Summary.Unread, reading.Summary.CoveredPercent));
    }

    [Fact]
    public void In_the_shipped_dialects_only_rulers_could_pass_for_rows()
    {
        Assert.Equal(["neighbours", "ports", "release", "settings"], Demo("kelpline").Overlaps.Select(one => one.WouldTake.Split(',')[0]));
        Assert.All(Demo("kelpline").Overlaps, one => Assert.EndsWith(", ruler", one.Takes, StringComparison.Ordinal));
        Assert.Empty(Demo("oakum").Overlaps);
    }

    private static DialectCoverage Demo(string family)
    {
        Dialect dialect = DialectFile.Read(Repository.Path("module", "dialects", family + ".dialect.json")).Dialect!;
        DialectCoverage summary = Coverage.Of(dialect, Directory.GetFiles(Repository.Path("examples", "captures", family), "*.txt")).Summary;
        Assert.Empty(summary.UnreadVersions);
        Assert.Empty(summary.UnknownWords);
        Assert.Equal(summary.Captures, summary.Releases);
        return summary;
    }

    private CoverageReading Of(Dialect dialect, string capture) => Coverage.Of(dialect, [_folder.Write("a.txt", capture)]);
}
