using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>What becomes of a file while it is offered: it is served as it was checked, or not at all.</summary>
public sealed class ServedFileTests : PeerTests
{
    // Pieces of 65536 octets are checked one by one.
    private const int Count = 200_000;

    public ServedFileTests()
        : base(new TftpServerOptions { MostHeldBytes = 0 })
    {
    }

    [Theory]
    [InlineData(0, 0, 0, 65_535)]
    [InlineData(65_535, 0, 0, 65_535)]
    [InlineData(65_536, 65_536, 65_536, 131_071)]
    [InlineData(199_999, 196_608, 196_608, 199_999)]
    public void An_octet_that_is_another_one_is_never_sent(int at, int sent, int first, int last)
    {
        Bench.Offer("a.img", Count);
        string path = Bench.Folder.Path("a.img");
        Overwrite(path, stream =>
        {
            stream.Position = at;
            int was = stream.ReadByte();
            stream.Position = at;
            stream.WriteByte((byte)(was ^ 1));
        });
        PoeOpsException refused = Assert.Throws<PoeOpsException>(() => Bench.Fetch("a.img", new TftpClientOptions { BlockSize = 1024 }));
        Assert.Contains("refused with error 0 'the file cannot be read as it was offered'", refused.Problem.Sentence);

        TftpTransfer transfer = Bench.Next();
        Assert.Equal((false, (long)sent), (transfer.Complete, transfer.Bytes));
        Assert.Equal(
            (ProblemId.ImageChanged, $"The image '{path}' is another one in the octets from {first} to {last}, since it was offered.", path),
            (transfer.Problem!.Id, transfer.Outcome, transfer.Problem.File));
    }

    [Theory]
    [InlineData(0, 65_536)]
    [InlineData(70_000, 131_072)]
    public void A_file_that_was_cut_is_not_served_to_its_end(int left, int end)
    {
        Bench.Offer("a.img", Count);
        string path = Bench.Folder.Path("a.img");
        Overwrite(path, stream => stream.SetLength(left));
        Assert.Throws<PoeOpsException>(() => Bench.Fetch("a.img"));
        Assert.Equal(
            $"The image '{path}' ends before octet {end}, since it was offered.", Bench.Next().Outcome);
    }

    [Theory]
    [InlineData(Count, true)]
    [InlineData(Count + 1, false)]
    public void A_small_file_is_held_and_served_as_it_was_checked(int size, bool held)
    {
        using FileBench bench = new(new TftpServerOptions { MostHeldBytes = Count });
        byte[] octets = bench.Offer("a.img", size);
        Overwrite(bench.Folder.Path("a.img"), stream => stream.Write(new byte[size]));
        if (held)
        {
            Assert.Equal(octets, bench.Fetch("a.img").Octets);
        }
        else
        {
            Assert.Throws<PoeOpsException>(() => bench.Fetch("a.img"));
            Assert.Equal(ProblemId.ImageChanged, bench.Next().Problem!.Id);
        }
    }

    [Fact]
    public void What_grows_behind_a_file_is_not_served()
    {
        byte[] octets = Bench.Offer("a.img", Count);
        Overwrite(Bench.Folder.Path("a.img"), stream =>
        {
            stream.Seek(0, SeekOrigin.End);
            stream.Write(new byte[1000]);
        });
        Assert.Equal(octets, Bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void A_file_that_changes_in_the_middle_of_a_transfer_breaks_it_off()
    {
        byte[] octets = Bench.Offer("a.img", Count);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "blksize", "32768", "timeout", "200");
        Assert.Equal("OACK blksize=32768 timeout=200", Peer.Hear());
        Peer.Acknowledge(0);
        Assert.Equal(octets[..32768], Peer.Receive().Data.ToArray());
        Overwrite(Bench.Folder.Path("a.img"), stream => stream.Write(new byte[Count]));
        Peer.Acknowledge(1);

        // Of the same piece, which was read before and is what was checked.
        Assert.Equal(octets[32768..65536], Peer.Receive().Data.ToArray());
        Peer.Acknowledge(2);
        Assert.Equal("ERROR 0 the file cannot be read as it was offered", Peer.Hear());
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((ProblemId.ImageChanged, 65_536L, 2L), (transfer.Problem!.Id, transfer.Bytes, transfer.Blocks));
    }

    // Blocks go over the borders of pieces, and one is sent again from the piece before.
    [Fact]
    public void Blocks_over_the_borders_of_pieces_come_whole_and_again()
    {
        byte[] octets = Bench.Offer("a.img", Count);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "blksize", "60000", "windowsize", "3", "timeout", "200");
        Assert.Equal("OACK blksize=60000 windowsize=3 timeout=200", Peer.Hear());
        Peer.Acknowledge(0);
        Assert.Equal(octets[..60_000], Peer.Receive().Data.ToArray());
        Assert.Equal(octets[60_000..120_000], Peer.Receive().Data.ToArray());
        Assert.Equal(octets[120_000..180_000], Peer.Receive().Data.ToArray());
        Peer.Acknowledge(1);
        Assert.Equal(octets[60_000..120_000], Peer.Receive().Data.ToArray());
        Assert.Equal(octets[120_000..180_000], Peer.Receive().Data.ToArray());
        Assert.Equal(octets[180_000..], Peer.Receive().Data.ToArray());
        Peer.Acknowledge(4);
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((true, 2), (transfer.Complete, transfer.Retransmissions));
    }

    // Where the system lets it happen; where it does not, the file is as safe.
    [Fact]
    public void A_file_that_is_replaced_by_another_of_its_name_is_served_as_it_was()
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        byte[] octets = Bench.Offer("a.img", Count);
        File.Move(Bench.Folder.Write("other.img", "another"), Bench.Folder.Path("a.img"), overwrite: true);
        Assert.Equal(octets, Bench.Fetch("a.img").Octets);
        File.Delete(Bench.Folder.Path("a.img"));
        Assert.Equal(octets, Bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void A_file_is_let_go_when_it_is_offered_no_longer()
    {
        string path = Bench.Folder.Write("a.img", "abc");
        IDisposable offer = Bench.Server.Serve("a.img", path, null);
        Assert.Throws<IOException>(() => File.Open(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None).Dispose());
        offer.Dispose();
        File.Open(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None).Dispose();

        _ = Bench.Server.Serve("a.img", path, null);
        Assert.Throws<PoeOpsException>(() => Bench.Server.Serve("a.img", path, null));
        Bench.Server.Dispose();
        File.Open(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None).Dispose();
        Assert.Throws<ObjectDisposedException>(() => Bench.Server.Serve("a.img", path, null));
        File.Open(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None).Dispose();
    }

    // Microsoft Learn, "Naming Files, Paths, and Namespaces".
    [Theory]
    [InlineData("", "The name '' is empty, so it is not served.")]
    [InlineData("../a.img", "The name '../a.img' holds a way through folders, so it is not served.")]
    [InlineData("b/a.img", "The name 'b/a.img' holds a way through folders, so it is not served.")]
    [InlineData("/a.img", "The name '/a.img' holds a way through folders, so it is not served.")]
    [InlineData("b\\a.img", "The name 'b\\a.img' holds a way through folders, so it is not served.")]
    [InlineData("c:a.img", "The name 'c:a.img' holds a way through folders, so it is not served.")]
    [InlineData("a.img:stream", "The name 'a.img:stream' holds a way through folders, so it is not served.")]
    [InlineData(".", "The name '.' means a folder, so it is not served.")]
    [InlineData("..", "The name '..' means a folder, so it is not served.")]
    [InlineData("a\u001b.img", @"The name 'a\u001b.img' holds control characters, so it is not served.")]
    [InlineData("a\0.img", @"The name 'a\u0000.img' holds control characters, so it is not served.")]
    [InlineData("a.img.", "The name 'a.img.' ends with a dot or a space, which some systems take away, so it is not served.")]
    [InlineData("a.img ", "The name 'a.img ' ends with a dot or a space, which some systems take away, so it is not served.")]
    [InlineData("CON", "The name 'CON' is a device on Windows, so it is not served.")]
    [InlineData("nul.img", "The name 'nul.img' is a device on Windows, so it is not served.")]
    [InlineData("Com1.tar.gz", "The name 'Com1.tar.gz' is a device on Windows, so it is not served.")]
    [InlineData("LPT³", "The name 'LPT³' is a device on Windows, so it is not served.")]
    [InlineData("aux .img", "The name 'aux .img' is a device on Windows, so it is not served.")]
    [InlineData("conin$", "The name 'conin$' is a device on Windows, so it is not served.")]
    public void A_name_that_is_no_plain_one_is_not_offered(string name, string sentence)
    {
        string path = Bench.Folder.Write("a.img", "abc");
        Problem problem = Assert.Throws<PoeOpsException>(() => Bench.Server.Serve(name, path, null)).Problem;
        Assert.Equal((ProblemId.ImageNotServable, sentence), (problem.Id, problem.Sentence));
    }

    [Theory]
    [InlineData("a.img")]
    [InlineData("console.img")]
    [InlineData("com10.img")]
    [InlineData(".img")]
    [InlineData("..img")]
    [InlineData("a b.img")]
    [InlineData("Größe-1.0_(2).img")]
    public void A_plain_name_is_offered(string name)
    {
        using IDisposable offer = Bench.Server.Serve(name, Bench.Folder.Write("a.img", "abc"), null);
        Assert.Equal("abc"u8.ToArray(), Bench.Fetch(name).Octets);
    }

    [Fact]
    public void A_link_is_not_offered()
    {
        string link = Bench.Folder.Path("link.img");
        try
        {
            File.CreateSymbolicLink(link, Bench.Folder.Write("a.img", "abc"));
        }
        catch (IOException)
        {
            // Windows lets not everybody make links.
            return;
        }

        Problem problem = Assert.Throws<PoeOpsException>(() => Bench.Server.Serve("link.img", link, null)).Problem;
        Assert.Equal((ProblemId.ImageNotServable, $"'{link}' is a link, and where it leads can change, so it is not served."), (problem.Id, problem.Sentence));
    }

    [Theory]
    [InlineData("nul")]
    [InlineData("COM1.img")]
    public void A_file_with_the_name_of_a_device_is_not_offered(string file)
    {
        string path = Bench.Folder.Path(file);
        Problem problem = Assert.Throws<PoeOpsException>(() => Bench.Server.Serve("a.img", path, null)).Problem;
        Assert.Equal((ProblemId.ImageNotServable, path), (problem.Id, problem.File));
        Assert.EndsWith("is a device on Windows, so it is not served.", problem.Sentence);
    }

    // As another program would: one that does not ask whether the file is in use.
    private static void Overwrite(string path, Action<FileStream> change)
    {
        using FileStream stream = new(path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite | FileShare.Delete);
        change(stream);
    }
}
