using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Images on a server that other people wrote.</summary>
public sealed class TftpOtherServersTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [OtherServerTheory]
    [InlineData(1428, 1024)]
    [InlineData(512, 512)]
    [InlineData(8192, 1024)]
    public void Each_image_there_has_a_row(int asked, int agreed)
    {
        using OtherServer server = new("in.tftpd", _folder.FullPath, "--blocksize", "1024");
        byte[] good = FileBench.Octets(5000);
        Directory.CreateDirectory(_folder.Path("pse"));
        File.WriteAllBytes(Path.Combine(_folder.Path("pse"), "good.img"), good);
        File.WriteAllBytes(Path.Combine(_folder.Path("pse"), "cut.img"), good[..^1]);
        ImageUse[] uses = [Use("good.img", good), Use("cut.img", good), Use("none.img", good)];
        ImageVerdict[] rows =
        [
            .. ServerCheck.CheckAll(ImageAddress.Parse($"tftp://127.0.0.1:{server.Port}/pse/"), uses, new TftpClientOptions { BlockSize = asked, Deadline = FileBench.Patience }, CancellationToken.None),
        ];
        Assert.Equal(
            ["", "ImageWrongSize The image 'cut.img' has 4999 bytes, and the baseline says 5000.", $"TftpRefused The file server 127.0.0.1:{server.Port}, asked for 'pse/none.img', refused with error 1 'File not found'."],
            rows.Select(row => row.Problem is { } problem ? $"{problem.Id} {problem.Sentence}" : ""));
        Assert.Equal((int?)Math.Min(asked, agreed), rows[0].BlockSize);
    }

    // 33,554,432 octets are 65,537 blocks of 512: this server goes on at 0, and others do not.
    [OtherServerTheory]
    [InlineData("--refuse", "blksize", 33_554_432, 1)]
    [InlineData("--blocksize", "1428", 33_554_432, 0)]
    public void Too_many_blocks_are_warned_of_although_this_server_goes_on_at_0(string option, string value, int bytes, int warnings)
    {
        using OtherServer server = new("in.tftpd", _folder.FullPath, option, value);
        byte[] octets = FileBench.Octets(bytes);
        _folder.Write("large.img", octets);
        ImageVerdict row = Assert.Single(ServerCheck.CheckAll(
            ImageAddress.Parse($"tftp://127.0.0.1:{server.Port}/large.img"), [Use("large.img", octets)], new TftpClientOptions { Deadline = FileBench.Patience }, CancellationToken.None));
        Assert.True(row.Good, row.Reason);
        Assert.Equal(
            Enumerable.Repeat(
                "The image 'large.img' of 33554432 bytes takes 65537 blocks of 512 bytes, and 65535 can be numbered: it comes whole only where server and unit both go on at 0 after that. " +
                "Have server and unit agree on blocks of at least 513 bytes (blksize, RFC 2348), or use a protocol without such a bound.", warnings),
            row.Warnings.Select(warning => $"{warning.Sentence} {warning.Advice}"));
    }

    private static ImageUse Use(string file, byte[] approved) => new(new ImageSpec(file, approved.Length, FileBench.Digest(approved), string.Empty), [], []);
}
