using System.Net;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Images on a file server, fetched as a unit would.</summary>
public sealed class ServerCheckTests : IDisposable
{
    private readonly FileBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private string Root => $"tftp://127.0.0.1:{_bench.Endpoint.Port}/";

    [Fact]
    public void Each_image_of_a_server_has_a_row()
    {
        byte[] good = _bench.Offer("good.img", 3000);
        byte[] cut = _bench.Offer("cut.img", 100);
        byte[] longer = _bench.Offer("longer.img", 102);
        byte[] long2 = _bench.Offer("long.img", 5000);
        byte[] other = _bench.Offer("other.img", 700);
        ImageUse[] uses =
        [
            Use("good.img", good), Use("cut.img", FileBench.Octets(101)), Use("longer.img", FileBench.Octets(101)), Use("long.img", FileBench.Octets(4000)),
            Use("other.img", [.. other[..^1], (byte)~other[^1]]), Use("none.img", good),
        ];
        ImageVerdict[] rows = Check(Root, uses);
        Assert.Equal(uses.Select(use => Root + use.Image.File), rows.Select(row => row.Path));
        Assert.Equal(
            [
                "It is the approved image: 3000 bytes, and the digest is the baseline's.",
                "ImageWrongSize: The image 'cut.img' has 100 bytes, and the baseline says 101.",
                "ImageWrongSize: The image 'longer.img' has 102 bytes, and the baseline says 101.",
                "ImageWrongSize: The image 'long.img' has more bytes than the 4000 that the baseline says.",
                $"ImageWrongDigest: The image 'other.img' has the SHA-256 {FileBench.Digest(other)}, and the baseline says {uses[4].Image.Sha256}.",
                $"TftpRefused: The file server {_bench.Endpoint}, asked for 'none.img', refused with error 1 'no file of that name is offered'.",
            ],
            rows.Select(row => row.Problem is null ? row.Reason : $"{row.Problem.Id}: {row.Reason}"));
        Assert.Equal([true, true, true, true, true, false], rows.Select(row => row.Found));
        Assert.Equal(((long?)3000, FileBench.Digest(good), (int?)1428), (rows[0].Bytes, rows[0].Sha256, rows[0].BlockSize));
        Assert.Equal(Root + "cut.img", rows[1].Problem!.File);
        Assert.Equal((101, 102, 5000), (cut.Length + 1, longer.Length, long2.Length));
    }

    [Fact]
    public void A_header_that_came_over_the_line_is_read_like_one_on_disk()
    {
        byte[] octets = new ImageHeader { Family = "oakum-pse", Version = "R3-B10p2", Models = ["OK-16"] }.Write(FileBench.Octets(9000));
        _ = _bench.Server.Serve("kelp.img", _bench.Folder.Write("kelp.img", octets), null);
        ImageVerdict row = Assert.Single(Check(Root, [new ImageUse(new ImageSpec("kelp.img", octets.Length, FileBench.Digest(octets), "kelp-pse"), [], ["KL-24"])]));
        Assert.Equal((ProblemId.ImageOtherFamily, "oakum-pse", "R3-B10p2"), (row.Problem!.Id, row.HeaderFamily, row.HeaderVersion));
    }

    [Fact]
    public void A_folder_and_a_name_are_asked_for_as_they_are_decoded()
    {
        byte[] octets = FileBench.Octets(10);
        _bench.Folder.Write("a.img", octets);
        _ = _bench.Server.Serve("a.img", _bench.Folder.Path("a.img"), null);
        ImageVerdict row = Assert.Single(Check(Root + "old%20ones/a.img", [Use("a.img", octets), Use("b.img", octets)]));
        Assert.Contains("asked for 'old ones/a.img', refused with error 1", row.Reason);
        Assert.Equal("old ones/a.img", _bench.Next().File);
        Assert.True(Assert.Single(Check(Root + "a.img", [Use("a.img", octets), Use("b.img", octets)])).Good);
    }

    [Fact]
    public void A_server_that_does_not_answer_is_asked_once()
    {
        using RawPeer silent = new();
        TimeSpan start = SystemClock.Instance.Elapsed;
        ImageVerdict[] rows = Check($"tftp://127.0.0.1:{silent.Endpoint.Port}", [Use("a.img", [1]), Use("b.img", [2]), Use("c.img", [3])], TimeSpan.FromSeconds(1));
        Assert.Equal(
            [
                $"TftpTimedOut: The file server {silent.Endpoint}, asked for 'a.img', did not send the whole file within 00:00:01.",
                $"TftpTimedOut: The file server {silent.Endpoint} was not asked for 'b.img', as it did not answer before.",
                $"TftpTimedOut: The file server {silent.Endpoint} was not asked for 'c.img', as it did not answer before.",
            ],
            rows.Select(row => $"{row.Problem!.Id}: {row.Reason}"));
        Assert.InRange((SystemClock.Instance.Elapsed - start).TotalSeconds, 1, 30);
        Assert.Equal(TftpOpcode.ReadRequest, silent.Receive().Opcode);
    }

    [Fact]
    public void A_host_that_nobody_knows_is_told_before_anything_is_fetched()
    {
        PoeOpsException wrong = Assert.Throws<PoeOpsException>(() => ServerCheck.CheckAll(ImageAddress.Parse("tftp://nobody.invalid/"), [], new TftpClientOptions(), CancellationToken.None));
        Assert.Equal("ImageServerUnreadable - -: Nobody knows the file server 'nobody.invalid'. Correct the name, or give its address.", Told.Of(wrong.Problem));
    }

    [Fact]
    public void Over_IPv6_as_well()
    {
        using FileBench bench = new(new TftpServerOptions { Bind = IPAddress.IPv6Loopback });
        byte[] octets = bench.Offer("a.img", 2000);
        ImageVerdict row = Assert.Single(Check($"tftp://[::1]:{bench.Endpoint.Port}/a.img", [Use("a.img", octets)]));
        Assert.True(row.Good, row.Reason);
        Assert.Equal($"tftp://[::1]:{bench.Endpoint.Port}/a.img", row.Path);
    }

    private static ImageUse Use(string file, byte[] approved) => new(new ImageSpec(file, approved.Length, FileBench.Digest(approved), string.Empty), [], []);

    private static ImageVerdict[] Check(string address, IEnumerable<ImageUse> uses, TimeSpan? deadline = null) =>
        [.. ServerCheck.CheckAll(ImageAddress.Parse(address), uses, new TftpClientOptions { Deadline = deadline ?? FileBench.Patience }, CancellationToken.None)];
}
