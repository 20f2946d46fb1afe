using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Baselines;

namespace PoeOps.Core.Tests.Examples;

/// <summary>The images of the demo harbour, held against the baseline and made again by what <c>Make-Images.ps1</c> says.</summary>
public class HarbourImageTests
{
    private static readonly string[] Names = [.. Harbour.Images.Select(image => (string)image["file"]!).Distinct()];

    public static TheoryData<string> Files => [.. Names];

    [Fact]
    public void There_are_five_and_no_others_in_the_folder() =>
        Assert.Equal(
            Names.Order(StringComparer.Ordinal),
            Directory.EnumerateFiles(Harbour.PathOf("images")).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal));

    [Theory]
    [MemberData(nameof(Files))]
    public void Size_and_digest_are_those_of_the_baseline(string file)
    {
        byte[] image = File.ReadAllBytes(Harbour.PathOf("images", file));
        Assert.All(Harbour.Images.Where(one => (string)one["file"]! == file), one =>
        {
            Assert.Equal(image.Length, (int)one["bytes"]!);
            Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(image)), (string)one["sha256"]!);
        });
    }

    [Theory]
    [InlineData("kelp-2.0.4.img", "kelp-pse", "KL-24,KL-48", "2.0.4", "", 5999)]
    [InlineData("kelp-3.10.2.img", "kelp-pse", "KL-24,KL-48", "3.10.2", "2.0.0", 40000)]
    [InlineData("kelp-3.12.0.img", "kelp-pse", "KL-24,KL-48", "3.12.0", "2.0.0", 52013)]
    [InlineData("oakum-R2-B4.img", "oakum-pse", "OK-16,OK-32", "R2-B4", "", 9001)]
    [InlineData("oakum-R3-B10p2.img", "oakum-pse", "OK-16,OK-32", "R3-B10p2", "R2-B0", 300000)]
    public void Made_again_it_is_the_same_byte_for_byte(string file, string family, string models, string version, string loadsOn, int payload)
    {
        byte[] body = Payload(version, payload);
        string head = $"PSE-IMAGE 1\nfamily={family}\nmodels={models}\nversion={version}\n"
            + (loadsOn.Length > 0 ? $"loadsOn={loadsOn}\n" : "")
            + $"bytes={payload.ToString(CultureInfo.InvariantCulture)}\nsha256={Convert.ToHexStringLower(SHA256.HashData(body))}\n\n";
        Assert.Equal([.. Encoding.ASCII.GetBytes(head), .. body], File.ReadAllBytes(Harbour.PathOf("images", file)));
    }

    [Fact]
    public void One_is_a_whole_number_of_blocks_so_that_an_empty_block_ends_it() =>
        // RFC 1350, section 6: a block of less than 512 bytes ends a transfer.
        Assert.Equal(["kelp-2.0.4.img"], Names.Where(file => new FileInfo(Harbour.PathOf("images", file)).Length % 512 == 0));

    [Fact]
    public void No_two_blocks_of_one_are_alike_so_that_a_lost_or_doubled_one_shows() =>
        Assert.All(Names, file =>
        {
            string[] blocks = [.. File.ReadAllBytes(Harbour.PathOf("images", file)).Chunk(512).Select(Convert.ToHexString)];
            Assert.Equal(blocks.Length, blocks.Distinct().Count());
        });

    [Fact]
    public void The_reader_takes_the_baseline_without_a_problem() => Assert.Empty(BaselineFile.Read(Harbour.PathOf("winter.baseline.json")).Problems);

    // The formula of the script, written a second time.
    private static byte[] Payload(string version, int length)
    {
        long seed = version.Sum(letter => (long)letter);
        return [.. Enumerable.Range(0, length).Select(i => (long)i).Select(i => (byte)(((i * i) + (seed * i) + (i >> 8) + (i >> 16)) % 251))];
    }
}
