using System.Globalization;
using System.Text;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Captures that no console prints, at full size: each is read or refused with a sentence, and nothing is lost in silence.</summary>
public sealed class HostileCaptureTests : IDisposable
{
    private const string Head = "Port Admin State Class Rank Granted W Drawn W Limit W\n";

    private static readonly Dialect Kelpline = DialectFile.Read(Repository.Path("module", "dialects", "kelpline.dialect.json")).Dialect!;

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Two_hundred_megabytes_are_refused_unread()
    {
        string path = _folder.Path("large.txt");
        using (FileStream file = File.Create(path))
        {
            file.SetLength(200_000_000);
        }

        Assert.Equal(
            "FileTooLarge - -: The capture has 200000000 bytes, and at most 67108864 are read. Split it, or save each answer to a file of its own.", Told.Of(Assert.Single(Read(path).Problems)));
    }

    [Fact]
    public void A_line_of_fifty_megabytes_is_one_problem_and_the_rest_is_read()
    {
        string path = _folder.Path("wide.txt");
        using (StreamWriter file = File.CreateText(path))
        {
            file.Write(Head);
            file.Write("1:1 on feeding 4 low 30 12.5 30\n");
            for (int i = 0; i < 50; i++)
            {
                file.Write(new string((char)('a' + (i % 26)), 1_000_000));
            }

            file.Write("\n1:2 on feeding 4 low 30 12.5 30\ntold: 2 ports\n");
        }

        Reading reading = Read(path);
        Assert.Equal(
            "LineTooLong 3 -: The line has 50000000 characters, and no console prints more than 65536 on one. Check that the file is a capture.",
            Told.Of(reading.Problems[0]));
        Assert.Equal(["1", "2"], Assert.Single(reading.Controllers).Ports.Select(port => port.Name));
        Assert.Equal([ReadAs.Read, ReadAs.Read, ReadAs.Unread, ReadAs.Read, ReadAs.Read], reading.Lines.Select(line => line.ReadAs));
    }

    [Fact]
    public void A_million_rows_are_a_million_ports()
    {
        string path = _folder.Path("long.txt");
        using (StreamWriter file = File.CreateText(path))
        {
            file.Write(Head);
            for (int i = 0; i < 1_000_000; i++)
            {
                file.Write(string.Create(CultureInfo.InvariantCulture, $"{(i / 10_000) + 1}:{(i % 10_000) + 1} on feeding {i % 5} low 30 12.{i % 10} 30\n"));
            }

            file.Write("told: 1000000 ports\n");
        }

        Reading reading = CaptureReader.Read(Kelpline, CaptureText.FromFile(path, Kelpline), new ReadingContext { Switch = "quay-1" });
        Assert.Equal((100, 1_000_000), (reading.Controllers.Count, reading.Controllers.Sum(one => one.Ports.Count)));
        Assert.Equal(12_450_000m, reading.Controllers.Sum(one => one.Ports.Sum(port => port.DrawWatts)));

        // Their controllers are in none of the lines: that is told for each of them, and nothing else is.
        Assert.Equal([ProblemId.RowIncomplete], reading.Problems.Select(problem => problem.Id).Distinct());
    }

    [Theory]
    [InlineData("\n")]
    [InlineData("x\n")]
    public void More_lines_than_any_switch_prints_are_refused(string line)
    {
        string path = _folder.Write("lines.txt", Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat(line, 2_000_001))));
        Assert.Equal(
            "FileTooLarge - -: The capture has more than 2000000 lines, and at most so many are read. Split it, or save each answer to a file of its own.", Told.Of(Assert.Single(Read(path).Problems)));
    }

    [Fact]
    public void Sixty_megabytes_of_nulls_are_no_text()
    {
        string path = _folder.Write("nulls.txt", new byte[60_000_000]);
        Assert.Equal("CaptureBinary 1 -: The file holds bytes that no console prints as text. Save the console's text again; a UTF-16 file needs its byte-order mark.", Told.Of(Assert.Single(Read(path).Problems)));
    }

    [Fact]
    public void A_hundred_thousand_lines_of_broken_utf8_are_counted_and_the_others_read()
    {
        byte[] broken = [.. "1:1 on "u8, 0xC3, 0x28, .. "\n"u8];
        string path = _folder.Write("broken.txt", [.. Encoding.ASCII.GetBytes(Head), .. Enumerable.Repeat(broken, 100_000).SelectMany(line => line), .. "1:2 on feeding 4 low 30 12.5 30\ntold: 1 ports\n"u8]);
        Reading reading = Read(path);
        Problem[] undecodable = [.. reading.Problems.Where(problem => problem.Id == ProblemId.CaptureUndecodable)];
        Assert.Equal(201, undecodable.Length);
        Assert.Equal("The line holds bytes that are no utf-8.", undecodable[0].Sentence);
        Assert.Equal("99800 more lines cannot be read either.", undecodable[200].Sentence);
        Assert.Equal(100_003, reading.Lines.Count);
        Assert.Equal("2", Assert.Single(Assert.Single(reading.Controllers).Ports).Name);
    }

    [Fact]
    public void Escape_sequences_without_end_are_seen_through()
    {
        StringBuilder text = new(Head);
        for (int i = 1; i <= 2_000; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"\u001b[1;3{i % 8}m1:{i} on feed\u001b[31m\u001b[0ming 4 low 3\u001b[K0 12.5 99\b\b30\u001b]0;{new string('t', 500)}\u0007\n");
        }

        string path = _folder.Write("colours.txt", text.Append("told: 2000 ports\n").ToString());
        Reading reading = Read(path);
        Assert.Equal(2_000, Assert.Single(reading.Controllers).Ports.Count(port => port.LimitWatts == 30 && port.DrawWatts == 12.5m));
        Assert.DoesNotContain(reading.Lines, line => line.ReadAs == ReadAs.Unread);
    }

    [Fact]
    public void A_line_of_sequences_alone_costs_no_more_than_its_length()
    {
        string path = _folder.Write("sequences.txt", Head + string.Concat(Enumerable.Repeat("\u001b[D\u001b[2K\u001b[900C\u001b[@\u001b[P", 4_000)) + "\ntold: 0 ports\n");
        Reading reading = Read(path);
        Assert.All(reading.Lines, line => Assert.True(line.Text.Length <= 65_536));
        Assert.Equal(3, reading.Lines.Count);
    }

    private static Reading Read(string path) =>
        CaptureReader.Read(Kelpline, CaptureText.FromFile(path, Kelpline), new ReadingContext { Switch = "quay-1", KeepLines = true });
}
