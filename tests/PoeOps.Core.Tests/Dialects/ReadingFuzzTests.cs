using System.Text;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Captures and dialect files with random changes, the same ones at each run.</summary>
public sealed class ReadingFuzzTests : IDisposable
{
    private static readonly string[] Pieces = ["\n", "\r\n", "\r", "\b\b", "\u001b[2K", "\u001b[", "\u001b]0;x", "\u009b3G", "\0", "\u00ff", "-", " ", "9", "W", "lug 1", "Lugs: 2", "== pin a1", "Guests", "{", "}", "\"", "null", "=== 1 mouths", "  "];

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("gimbal", "plain")]
    [InlineData("gimbal", "noisy")]
    [InlineData("thole", "any-order")]
    [InlineData("brack", "plain")]
    [InlineData("cleat", "plain")]
    public void A_changed_capture_throws_nothing_and_loses_no_line(string family, string name)
    {
        Dialect dialect = DialectFile.Read(Repository.Path("tests", "captures", family, family + ".dialect.json")).Dialect!;
        byte[] capture = File.ReadAllBytes(Repository.Path("tests", "captures", family, name + ".txt"));
        var random = new Random(20261125);
        for (int i = 0; i < 1000; i++)
        {
            byte[] changed = Change(capture, random, Encoding.Latin1, 4);
            if (changed.Length > 0)
            {
                CheckAccount(dialect, changed);
            }
        }
    }

    [Fact]
    public void A_changed_dialect_throws_nothing_and_still_reads()
    {
        byte[] whole = Encoding.UTF8.GetBytes(SampleDialect.Text);
        var random = new Random(20261126);
        int read = 0;
        for (int i = 0; i < 1000; i++)
        {
            DialectResult result = DialectFile.Parse(Encoding.UTF8.GetString(Change(whole, random, Encoding.UTF8, 1)), "a.dialect.json");
            Assert.True(result.Dialect is null == result.Problems.Count > 0);
            if (result.Dialect is { } dialect)
            {
                read++;
                CheckAccount(dialect, Encoding.UTF8.GetBytes("box awaits; recite\nEdition of a: 1\ndeck edition mood may give\n1 v1.2 calm 40\n-- feeds\neyes of deck 2\neye 7 is live\n gives 4200\n-- eyes\n"));
            }
        }

        Assert.InRange(read, 50, 950);
    }

    private void CheckAccount(Dialect dialect, byte[] capture)
    {
        string path = _folder.Write("capture.txt", capture);
        CaptureText text = CaptureText.FromFile(path, dialect);
        Reading reading = CaptureReader.Read(dialect, text, new ReadingContext { Switch = "s", KeepLines = true });
        Assert.Equal(text.Lines.Count, reading.Lines.Count);
        Assert.True(text.Lines.Count > 0 || text.Problems.Count > 0);
        if (text.Problems.All(problem => problem.Id != ProblemId.CaptureBinary))
        {
            Assert.Equal(capture.Count(one => one == '\n') + (capture[^1] == '\n' ? 0 : 1), reading.Lines.Count);
        }

        Assert.All(reading.Lines.Where(line => line.ReadAs == ReadAs.Blank), line => Assert.True(string.IsNullOrWhiteSpace(line.Text)));
        Assert.True(reading.Lines.All(line => line.ReadAs != ReadAs.Unread) || reading.Problems.Count > 0);
        Assert.All(reading.Controllers, controller => Assert.True(reading.Problems.Count == 0 || controller.ReadingProblems <= reading.Problems.Count));
        Assert.True(reading.Problems.Count == 0 || reading.Controllers.Count == 0 || reading.Controllers.Sum(Counted) >= reading.Problems.Count);
    }

    private static int Counted(Controller controller) => controller.ReadingProblems;

    private static byte[] Change(byte[] whole, Random random, Encoding encoding, int most)
    {
        List<byte> bytes = [.. whole];
        for (int times = random.Next(1, most + 1); times > 0 && bytes.Count > 1; times--)
        {
            int at = random.Next(bytes.Count);
            int length = Math.Min(random.Next(1, 40), bytes.Count - at);
            switch (random.Next(5))
            {
                case 0:
                    bytes.RemoveRange(at, length);
                    break;
                case 1:
                    bytes.InsertRange(at, bytes.GetRange(at, length));
                    break;
                case 2:
                    bytes[at] = (byte)random.Next(256);
                    break;
                case 3:
                    bytes.InsertRange(at, encoding.GetBytes(Pieces[random.Next(Pieces.Length)]));
                    break;
                default:
                    (bytes[at], bytes[at + length - 1]) = (bytes[at + length - 1], bytes[at]);
                    break;
            }
        }

        return [.. bytes];
    }
}
