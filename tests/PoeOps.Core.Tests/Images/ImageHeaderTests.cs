using System.Text;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Images for simulated units are made and read.</summary>
public sealed class ImageHeaderTests
{
    // SHA-256 of the three octets "abc": FIPS 180-4, its worked example.
    private const string Abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    [Fact]
    public void What_is_written_is_this_text_and_the_payload()
    {
        byte[] image = new ImageHeader { Family = "kelp-pse", Models = ["KL-8", "KL-24"], Version = "3.10.2", LoadsOn = "2.0.4" }.Write(Encoding.ASCII.GetBytes("abc"));

        Assert.Equal($"PSE-IMAGE 1\nfamily=kelp-pse\nmodels=KL-8,KL-24\nversion=3.10.2\nloadsOn=2.0.4\nbytes=3\nsha256={Abc}\n\nabc", Encoding.ASCII.GetString(image));
    }

    [Fact]
    public void What_was_written_is_read_back()
    {
        byte[] image = new ImageHeader { Family = "oakum-pse", Models = ["OK-16"], Version = "R3-B10p2" }.Write(Encoding.ASCII.GetBytes("abc"));

        ImageHeader header = ImageHeader.Read(image, out int start)!;

        Assert.Equal(("oakum-pse", "R3-B10p2", null, 3L, Abc), (header.Family, header.Version, header.LoadsOn, header.PayloadBytes, header.PayloadSha256));
        Assert.Equal(["OK-16"], header.Models);
        Assert.Equal("abc", Encoding.ASCII.GetString(image[start..]));
    }

    [Theory]
    [InlineData("")]
    [InlineData("\n\n")]
    [InlineData("PSE-IMAGE 1")]
    [InlineData("PSE-IMAGE 2\nfamily=a\nmodels=b\nversion=1\nbytes=0\nsha256=0\n\n")]
    [InlineData("PSE-IMAGE 1\nfamily=a\nmodels=b\nversion=1\nbytes=-1\nsha256=0\n\n")]
    [InlineData("PSE-IMAGE 1\nfamily=a\nmodels=b\nversion=1\nsha256=0\n\n")]
    [InlineData("PSE-IMAGE 1\nfamily=a\nfamily=b\nmodels=b\nversion=1\nbytes=0\nsha256=0\n\n")]
    [InlineData("PSE-IMAGE 1\nfamily\nmodels=b\nversion=1\nbytes=0\nsha256=0\n\n")]
    public void Anything_else_is_no_image(string text) => Assert.Null(ImageHeader.Read(Encoding.ASCII.GetBytes(text), out _));

    [Fact]
    public void A_header_without_an_end_is_no_image_however_long_it_is() =>
        Assert.Null(ImageHeader.Read(Encoding.ASCII.GetBytes("PSE-IMAGE 1\n" + new string('x', 100_000) + "\n\n"), out _));
}
