using System.Text;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Captures and dialect files with random changes, the same ones at each run.</summary>
public sealed class ReadingFuzzTests : IDisposable
{
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
            byte[] changed = Mutation.OfBytes(capture, random, Encoding.Latin1, 4);
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
            DialectResult result = DialectFile.Parse(Encoding.UTF8.GetString(Mutation.OfBytes(whole, random, Encoding.UTF8, 1)), "a.dialect.json");
            Assert.True(result.Dialect is null == result.Problems.Count > 0);
            if (result.Dialect is { } dialect)
            {
                read++;
                CheckAccount(dialect, Encoding.UTF8.GetBytes("box awaits; recite\nEdition of a: 1\ndeck edition mood may give\n1 v1.2 calm 40\n-- feeds\neyes of deck 2\neye 7 is live\n gives 4200\n-- eyes\n"));
            }
        }

        Assert.InRange(read, 50, 950);
    }

    [Fact]
    public void A_dialect_of_another_shape_throws_nothing_and_still_reads()
    {
        var random = new Random(20261127);
        int read = 0;
        for (int i = 0; i < 300; i++)
        {
            DialectResult result = DialectFile.Parse(Mutation.OfShape(SampleDialect.Text, random), "a.dialect.json");
            Assert.True(result.Dialect is null == result.Problems.Count > 0);
            read += result.Dialect is null ? 0 : 1;
        }

        Assert.InRange(read, 10, 290);
    }

    private void CheckAccount(Dialect dialect, byte[] capture) => Assert.Null(ReadingAccount.Wrong(dialect, _folder.Write("capture.txt", capture)));
}
