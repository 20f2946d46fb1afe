using System.Text;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>What an image says of itself, against what the baseline has it for: the octets are the approved ones throughout.</summary>
public sealed class ImageContentTests : IDisposable
{
    private const string Advice = "Correct the baseline, or ask whoever approved the image: until then it must not go to a unit.";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_header_that_fits_is_shown()
    {
        ImageVerdict verdict = Check("kelp-3.10.2.img", Image("kelp-pse", "3.10.2", "KL-24", "KL-48"), "KELP-PSE", ["kl_3_10_2"], ["kl-48"]);
        Assert.True(verdict.Good, verdict.Reason);
        Assert.Equal(
            ("kelp-pse", "3.10.2", "3.10.2", "kl_3_10_2", "kl-48", "KELP-PSE"),
            (verdict.HeaderFamily, verdict.HeaderVersion, verdict.NameVersion, verdict.ApprovedFirmware, verdict.Models, verdict.Family));
        Assert.Empty(verdict.Warnings);
    }

    [Fact]
    public void Another_family_is_told()
    {
        ImageVerdict verdict = Check("a.img", Image("oakum-pse", "3.10.2", "KL-24"), "kelp-pse", [], ["KL-24"]);
        Assert.Equal($"ImageOtherFamily - -: The image 'a.img' says in its header that it is for the family 'oakum-pse', and the baseline says 'kelp-pse'. {Advice}", Told.Of(verdict.Problem!));
        Assert.Equal((false, true, _folder.Path("a.img")), (verdict.Good, verdict.Found, verdict.Problem!.File));
    }

    [Fact]
    public void Another_model_is_told_with_the_ones_that_would_get_it()
    {
        ImageVerdict verdict = Check("a.img", Image("kelp-pse", "3.10.2", "KL-24", "KL-8"), "kelp-pse", [], ["KL-24", "KL-48", "KL-96"]);
        Assert.Equal($"ImageOtherModel - -: The image 'a.img' says in its header that it is for KL-24, KL-8, and the baseline has it for KL-48, KL-96. {Advice}", Told.Of(verdict.Problem!));
    }

    [Fact]
    public void Where_the_baseline_names_no_family_or_the_image_has_no_header_nothing_is_wrong()
    {
        Assert.True(Check("a.img", Image("oakum-pse", "3.10.2", "OK-16"), "", [], []).Good);
        ImageVerdict plain = Check("b.img", Encoding.ASCII.GetBytes("no header here"), "kelp-pse", ["3.10.2"], ["KL-24"]);
        Assert.Equal((true, null, null, null), (plain.Good, plain.HeaderFamily, plain.HeaderVersion, plain.NameVersion));
    }

    [Fact]
    public void An_image_of_another_size_or_digest_is_told_with_what_it_says_it_is()
    {
        byte[] octets = Image("oakum-pse", "R3-B10p2", "OK-16");
        _folder.Write("a.img", octets);
        ImageUse use = new(new ImageSpec("a.img", octets.Length + 1, FileBench.Digest(octets), "kelp-pse"), [], []);
        Assert.EndsWith($" has {octets.Length} bytes, and the baseline says {octets.Length + 1}. Its header says R3-B10p2 for oakum-pse.", ImageCheck.Check(_folder.FullPath, use, null).Reason);
        use = new ImageUse(new ImageSpec("a.img", octets.Length, new string('0', 64), "oakum-pse"), ["R3-B8"], []);
        Assert.EndsWith($", and the baseline says {new string('0', 64)}. Its header says R3-B10p2 for oakum-pse.", ImageCheck.Check(_folder.FullPath, use, null).Reason);
        Assert.EndsWith($", and the baseline says {new string('0', 64)}.", ImageCheck.Check(_folder.FullPath, use with { Firmware = ["3.10-p2"] }, null).Reason);
    }

    [Theory]
    [InlineData("xxREEF1", 2, "52454546", null)]
    [InlineData("REEF", 0, "52454546", null)]
    [InlineData("xxKELP1", 2, "52454546", "The image 'a.img' has 4b454c50 at offset 2, and the images of the family 'reef' have 52454546 there.")]
    [InlineData("xxRE", 2, "52454546", "The image 'a.img' has 5245 at offset 2, and the images of the family 'reef' have 52454546 there.")]
    [InlineData("x", 2, "52454546", "The image 'a.img' has nothing at offset 2, and the images of the family 'reef' have 52454546 there.")]
    public void What_a_family_is_known_by_must_stand_there(string content, int offset, string hex, string? sentence)
    {
        byte[] octets = Encoding.ASCII.GetBytes(content);
        _folder.Write("a.img", octets);
        ImageSpec spec = new("a.img", octets.Length, FileBench.Digest(octets), "reef") { Mark = new HeaderMark(offset, hex) };
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, spec);
        Assert.Equal(sentence is null ? null : $"ImageOtherFamily - -: {sentence} {Advice}", verdict.Problem is null ? null : Told.Of(verdict.Problem));
    }

    [Fact]
    public void Another_version_in_name_or_header_is_a_warning_with_both_spellings()
    {
        ImageVerdict verdict = Check("kelp-3.9.1.img", Image("kelp-pse", "3.8.0", "KL-24"), "kelp-pse", ["3.10.2", "kl_3_9_1"], ["KL-24"]);
        Assert.True(verdict.Good, verdict.Reason);
        const string Which = "Find out which of the two is right, and correct the name or the baseline.";
        Assert.Equal(
            [
                $"ImageVersionDiffers - -: The name of the image 'kelp-3.9.1.img' says version '3.9.1', and the baseline says '3.10.2'. {Which}",
                $"ImageVersionDiffers - -: The header of the image 'kelp-3.9.1.img' says version '3.8.0', and the baseline says '3.10.2'. {Which}",
                $"ImageVersionDiffers - -: The header of the image 'kelp-3.9.1.img' says version '3.8.0', and the baseline says 'kl_3_9_1'. {Which}",
            ],
            Told.Of(verdict.Warnings));
        Assert.All(verdict.Warnings, warning => Assert.Equal(_folder.Path("kelp-3.9.1.img"), warning.File));
    }

    // 65535 blocks, the last of which is shorter than the others: 65535 * 512 - 1 octets are the most (RFC 1350).
    [Theory]
    [InlineData(33_553_919, 512, null, 0)]
    [InlineData(33_553_920, 512, 65_536, 513)]
    [InlineData(93_583_979, 1428, null, 0)]
    [InlineData(93_583_980, 1428, 65_536, 1429)]
    [InlineData(93_583_980, 512, 182_782, 1429)]
    [InlineData(524_279, 8, null, 0)]
    [InlineData(524_280, 8, 65_536, 9)]
    public void An_image_of_too_many_blocks_is_a_warning_with_the_least_size_that_will_do(int bytes, int blockSize, int? blocks, int least)
    {
        using (FileStream stream = new(_folder.Path("a.img"), FileMode.CreateNew))
        {
            stream.SetLength(bytes);
        }

        // The digest is another, which this is not about.
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, new ImageUse(new ImageSpec("a.img", bytes + 1, new string('0', 64), ""), [], []), blockSize);
        Assert.Equal(blockSize, verdict.BlockSize);
        string[] told = blocks is null ? [] :
        [
            $"ImageNeedsWrap - -: The image 'a.img' of {bytes} bytes takes {blocks} blocks of {blockSize} bytes, and 65535 can be numbered: it comes whole only where server and unit both go on at 0 after that. " +
            $"Have server and unit agree on blocks of at least {least} bytes (blksize, RFC 2348), or use a protocol without such a bound.",
        ];
        Assert.Equal(told, Told.Of(verdict.Warnings));
    }

    private static byte[] Image(string family, string version, params string[] models) =>
        new ImageHeader { Family = family, Version = version, Models = models }.Write(Encoding.ASCII.GetBytes("payload"));

    private ImageVerdict Check(string name, byte[] octets, string family, string[] firmware, string[] models)
    {
        _folder.Write(name, octets);
        return ImageCheck.Check(_folder.FullPath, new ImageUse(new ImageSpec(name, octets.Length, FileBench.Digest(octets), family), firmware, models), null);
    }
}
