using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

public sealed class ImageCheckTests : IDisposable
{
    // FIPS 180-4, the one-block example that NIST publishes with it: the message "abc".
    private const string DigestOfAbc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    // The two-block example beside it: "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq".
    private const string DigestOfTwoBlocks = "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("abc", DigestOfAbc)]
    [InlineData("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", DigestOfTwoBlocks)]
    public void The_approved_image_is_good(string text, string digest)
    {
        string path = _folder.Write("a.img", text);
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, new ImageSpec("a.img", text.Length, digest.ToUpperInvariant(), "harbour"));
        Assert.True(verdict.Good, verdict.Reason);
        Assert.Null(verdict.Problem);
        Assert.Equal(("a.img", path, true, (long?)text.Length, (long)text.Length), (verdict.File, verdict.Path, verdict.Found, verdict.Bytes, verdict.ExpectedBytes));
        Assert.Equal((digest, digest), (verdict.Sha256, verdict.ExpectedSha256));
        Assert.Equal($"It is the approved image: {text.Length} bytes, and the digest is the baseline's.", verdict.Reason);
        ImageVerdict alone = ImageCheck.Check(path, new ImageSpec("a.img", text.Length, digest, "harbour"));
        Assert.Equal(verdict with { Warnings = [] }, alone with { Warnings = [] });
        Assert.Empty(verdict.Warnings);
    }

    [Fact]
    public void A_missing_image_is_said_with_the_place_where_it_was_looked_for()
    {
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, Abc());
        Assert.Equal((false, false, null, null), (verdict.Good, verdict.Found, verdict.Bytes, verdict.Sha256));
        Assert.Equal(
            $"ImageNotFound - -: The image 'a.img' is not at '{_folder.Path("a.img")}'. Copy it there, or name the right folder.", Told.Of(verdict.Problem!));
    }

    [Fact]
    public void An_image_of_another_size_is_not_worth_a_digest()
    {
        _folder.Write("a.img", "ab");
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, Abc());
        Assert.Equal((false, true, (long?)2, null), (verdict.Good, verdict.Found, verdict.Bytes, verdict.Sha256));
        Assert.Equal(
            "ImageWrongSize - -: The image 'a.img' has 2 bytes, and the baseline says 3. Copy the approved image again; this one is cut or another.",
            Told.Of(verdict.Problem!));
    }

    [Fact]
    public void An_image_with_one_other_bit_is_not_the_approved_one()
    {
        _folder.Write("a.img", "abb");
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, Abc());
        Assert.Equal(ProblemId.ImageWrongDigest, verdict.Problem!.Id);
        Assert.Equal(
            $"The image 'a.img' has the SHA-256 {FileBench.Digest("abb"u8.ToArray())}, and the baseline says {DigestOfAbc}.", verdict.Problem.Sentence);
        Assert.Equal(verdict.Problem.Sentence, verdict.Reason);
        Assert.Equal(_folder.Path("a.img"), verdict.Problem.File);
    }

    [Fact]
    public void A_folder_in_the_place_of_an_image_is_no_image()
    {
        Directory.CreateDirectory(_folder.Path("a.img"));
        Assert.Equal(ProblemId.ImageNotFound, ImageCheck.Check(_folder.FullPath, Abc()).Problem!.Id);
    }

    [Fact]
    public void An_image_that_another_program_holds_is_unreadable_and_not_missing()
    {
        using FileStream held = new(_folder.Write("a.img", "abc"), FileMode.Open, FileAccess.ReadWrite, FileShare.None);
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, Abc());
        Assert.Equal((ProblemId.FileUnreadable, false, null), (verdict.Problem!.Id, verdict.Good, verdict.Sha256));
        Assert.StartsWith($"The image '{_folder.Path("a.img")}' cannot be read: ", verdict.Reason);
    }

    [Theory]
    [InlineData("a\0b")]
    [InlineData("a|b:c*?<>\"")]
    [InlineData("")]
    [InlineData("\ud800")]
    public void A_name_that_no_file_can_have_is_a_verdict_too(string name)
    {
        ImageVerdict verdict = ImageCheck.Check(_folder.FullPath, Abc() with { File = name });
        Assert.Contains(verdict.Problem!.Id, (ProblemId[])[ProblemId.ImageNotFound, ProblemId.FileUnreadable]);
        Assert.False(verdict.Good);
    }

    [Fact]
    public void Every_image_of_a_list_is_checked_in_its_order()
    {
        _folder.Write("a.img", "abc");
        _folder.Write("c.img", "abd");
        _folder.Write("unlisted.img", "x");
        ImageSpec missing = Abc() with { File = "b.img" };
        IEnumerable<ImageVerdict> verdicts = ImageCheck.CheckAll(_folder.FullPath, Uses(Abc(), missing, Abc() with { File = "c.img" }), null);
        Assert.Equal(
            [("a.img", null), ("b.img", ProblemId.ImageNotFound), ("c.img", (ProblemId?)ProblemId.ImageWrongDigest)],
            verdicts.Select(verdict => (verdict.File, verdict.Problem?.Id)));
    }

    [Fact]
    public void One_file_is_checked_alone_and_must_be_in_the_list()
    {
        string path = _folder.Write("a.img", "abc");
        Assert.Equal("a.img", Assert.Single(ImageCheck.CheckAll(path, Uses(Abc() with { File = "b.img" }, Abc()), null)).File);

        string other = _folder.Write("other.img", "abc");
        ImageVerdict verdict = Assert.Single(ImageCheck.CheckAll(other, Uses(Abc()), null));
        Assert.True(verdict.Found);
        Assert.Equal("ImageNotFound - -: The baseline names no image 'other.img'. Name a folder, or a file that the baseline names.", Told.Of(verdict.Problem!));
    }

    [Fact]
    public void A_path_that_leads_nowhere_is_told_as_such()
    {
        string nowhere = _folder.Path("nofolder");
        ImageVerdict verdict = Assert.Single(ImageCheck.CheckAll(nowhere, Uses(Abc()), null));
        Assert.Equal((false, "nofolder", false), (verdict.Found, verdict.File, verdict.Good));
        Assert.Equal($"ImageNotFound - -: '{nowhere}' does not exist, neither as a folder nor as a file. Name the folder that holds the images, or one of them.", Told.Of(verdict.Problem!));
    }

    private static ImageUse[] Uses(params ImageSpec[] specs) => [.. specs.Select(spec => new ImageUse(spec, [], []))];

    private static ImageSpec Abc() => new("a.img", 3, DigestOfAbc, "harbour");
}
