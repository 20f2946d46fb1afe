using System.Globalization;
using System.Net;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The image server on its own: what it lets out, to whom, and from where.</summary>
public sealed class ImageServerTests : IDisposable
{
    private readonly ScratchFolder _folder = new();
    private ImageServer? _server;

    public void Dispose()
    {
        _server?.Dispose();
        _folder.Dispose();
    }

    [Theory]
    [InlineData("127.0.0.1", "127.0.0.1")]
    [InlineData("127.0.0.2", "127.0.0.1")]
    [InlineData("::1", "::1")]
    [InlineData("localhost", "127.0.0.1")]
    public void It_listens_at_the_one_address_that_reaches_its_clients_and_says_which(string client, string address)
    {
        byte[] octets = FileBench.Octets(3000);
        string path = _folder.Write("a.img", octets);
        _server = Started(new ImageServerOptions { Paths = [path], Clients = [client], Port = 0 });
        Assert.Equal(address, _server.Address);
        Assert.Equal(["a.img"], _server.Files);
        Assert.Equal(octets, Fetch(_server, "a.img"));
        TftpTransfer transfer = Ended(_server, 1)[0];
        Assert.Equal(("a.img", 3000L, 3L, 0, "blksize=1428 tsize=3000", "Whole."), (transfer.File, transfer.Bytes, transfer.Blocks, transfer.Retransmissions, transfer.Options, transfer.Outcome));
        Assert.StartsWith(new IPEndPoint(IPAddress.Parse(_server.Clients[0]), 0).ToString().TrimEnd('0'), transfer.Client);
    }

    [Fact]
    public void Each_of_its_clients_may_fetch_and_nobody_else()
    {
        _server = Started(new ImageServerOptions { Paths = [_folder.Write("a.img", "abc")], Clients = ["127.0.0.1", "127.0.0.3"], Address = IPAddress.Loopback, Port = 0 });
        Assert.Equal(["127.0.0.1", "127.0.0.3"], _server.Clients);
        foreach ((string address, string heard) in (IEnumerable<(string, string)>)[("127.0.0.1", "DATA 1 of 3"), ("127.0.0.2", "ERROR 2 that file is not for this address"), ("127.0.0.3", "DATA 1 of 3")])
        {
            using RawPeer peer = new(address);
            peer.Ask(new IPEndPoint(IPAddress.Loopback, _server.Port), "a.img", "octet");
            Assert.Equal(heard, peer.Hear());
            if (heard.StartsWith("DATA", StringComparison.Ordinal))
            {
                peer.Acknowledge(1);
            }
        }

        Assert.Equal(["Refused: that file is not for this address.", "Whole.", "Whole."], Ended(_server, 3).Select(transfer => transfer.Outcome).Order(StringComparer.Ordinal));
    }

    // Each of these would be the file or another one, were it looked up on disk.
    [Theory]
    [InlineData("../images/a.img")]
    [InlineData("./a.img")]
    [InlineData("/a.img")]
    [InlineData("..\\a.img")]
    [InlineData("a.img/")]
    [InlineData("a.img ")]
    [InlineData("a.img.")]
    [InlineData("A.IMG")]
    [InlineData("a.img::$DATA")]
    [InlineData("secret.txt")]
    [InlineData("../secret.txt")]
    [InlineData("/etc/passwd")]
    [InlineData("C:\\Windows\\win.ini")]
    [InlineData("\\\\192.0.2.1\\share\\a.img")]
    [InlineData("NUL")]
    [InlineData("%2e%2e/secret.txt")]
    public void A_name_is_looked_up_among_those_that_are_served_and_never_on_disk(string name)
    {
        _folder.Write("secret.txt", "nobody reads this");
        _server = Started(new ImageServerOptions { Paths = [_folder.Write("a.img", "abc")], Clients = ["127.0.0.1"], Port = 0 });
        using RawPeer peer = new();
        peer.Ask(new IPEndPoint(IPAddress.Loopback, _server.Port), name, "octet");
        Assert.Equal("ERROR 1 no file of that name is offered", peer.Hear());
    }

    [Theory]
    [InlineData("a b.img", "'a b.img' is no plain file name, and is not served.")]
    [InlineData(".hidden", "'.hidden' is no plain file name, and is not served.")]
    [InlineData("é.img", "'é.img' is no plain file name, and is not served.")]
    [InlineData("nul.img", "'nul.img' is a name that Windows keeps for a device, and is not served.")]
    [InlineData("COM1", "'COM1' is a name that Windows keeps for a device, and is not served.")]
    [InlineData("lpt9.tar.gz", "'lpt9.tar.gz' is a name that Windows keeps for a device, and is not served.")]
    public void A_name_that_is_more_than_a_name_is_not_served(string name, string sentence)
    {
        ImageServerResult result = ImageServer.Start(new ImageServerOptions { Paths = [_folder.Write(name, "abc")], Clients = ["127.0.0.1"], Port = 0 });
        Assert.Null(result.Server);
        Assert.Equal($"ImageNotServable - -: {sentence} Give a plain file name of letters, digits, full stops, hyphens and underscores; the first is a letter or digit.", Told.Of(Assert.Single(result.Problems)));
    }

    [Fact]
    public void What_is_no_file_of_its_own_is_told_and_the_others_are_served()
    {
        string real = _folder.Write("a.img", "abc");
        string link = _folder.Path("link.img");
        File.CreateSymbolicLink(link, real);
        string dangling = _folder.Path("dangling.img");
        File.CreateSymbolicLink(dangling, _folder.Path("nowhere.img"));
        ImageServerResult result = ImageServer.Start(new ImageServerOptions { Paths = [link, _folder.FullPath, _folder.Path("none.img"), dangling, real, real], Clients = ["127.0.0.1"], Port = 0 });
        _server = result.Server!;
        Assert.Equal(["a.img"], _server.Files);
        Assert.Equal(
            [ProblemId.ImageNotServable, ProblemId.ImageNotServable, ProblemId.ImageNotFound, ProblemId.ImageNotServable, ProblemId.NameTwice], result.Problems.Select(problem => problem.Id));
        Assert.Contains($"'{link}' is a link, and where it leads can change, so it is not served. Name the file that it leads to.", result.Problems.Select(problem => $"{problem.Sentence} {problem.Advice}"));
        Assert.Contains($"'{_folder.FullPath}' is a folder, and files are served. Name files, or a baseline, so that its approved images in the folder are served.", result.Problems.Select(problem => $"{problem.Sentence} {problem.Advice}"));
    }

    [Fact]
    public void Of_a_baseline_its_approved_images_are_served_and_nothing_else_in_the_folder()
    {
        byte[] good = FileBench.Octets(700);
        _folder.Write("good.img", good);
        _folder.Write("bad.img", "abd");
        _folder.Write("notes.txt", "not an image");
        var baseline = new Baseline { Entries = [Entry("good.img", good), Entry("bad.img", "abc"u8.ToArray()), Entry("none.img", good)] };
        ImageServerResult result = ImageServer.Start(new ImageServerOptions { Paths = [_folder.FullPath, _folder.Path("notes.txt")], Baseline = baseline, Clients = ["127.0.0.1"], Port = 0 });
        _server = result.Server!;
        Assert.Equal(["good.img"], _server.Files);
        Assert.Equal([ProblemId.ImageWrongDigest, ProblemId.ImageNotFound, ProblemId.ImageNotFound], result.Problems.Select(problem => problem.Id).OrderByDescending(id => id));
        Assert.Equal("The baseline names no image 'notes.txt'.", Assert.Single(result.Problems, problem => problem.File == _folder.Path("notes.txt")).Sentence);

        // What was checked is what is served, whatever becomes of the file.
        _folder.Write("good.img", "something else");
        Assert.Equal(good, Fetch(_server, "good.img"));
    }

    [Fact]
    public void An_image_of_another_model_is_not_served_although_it_is_whole()
    {
        byte[] octets = new ImageHeader { Family = "kelp-pse", Version = "1.0", Models = ["KL-24"] }.Write([1, 2, 3]);
        _folder.Write("a.img", octets);
        ImageServerResult result = ImageServer.Start(new ImageServerOptions { Paths = [_folder.FullPath], Baseline = new Baseline { Entries = [Entry("a.img", octets)] }, Clients = ["127.0.0.1"], Port = 0 });
        Assert.Null(result.Server);
        Assert.Equal(ProblemId.ImageOtherModel, Assert.Single(result.Problems).Id);
    }

    [Theory]
    [InlineData(null, "", "ClientUnknown - -: No client is named, and nothing is served to just anybody. Name the addresses of the switches, or their estate.")]
    [InlineData(null, "nobody.invalid", "ClientUnknown - -: 'nobody.invalid' is no address, and nobody knows it as a name. Correct it.")]
    [InlineData("0.0.0.0", "127.0.0.1", "TftpCannotListen - -: 0.0.0.0 is every address of this machine, and images are served from one. Name the one that the switches reach.")]
    [InlineData("::", "::1", "TftpCannotListen - -: :: is every address of this machine, and images are served from one. Name the one that the switches reach.")]
    [InlineData("127.0.0.1", "::1", "TftpCannotListen - -: ::1 cannot reach 127.0.0.1: one is IPv4 and the other IPv6. Start a server for each.")]
    [InlineData(null, "127.0.0.1 ::1", "TftpCannotListen - -: 127.0.0.1 is reached from 127.0.0.1 and ::1 from ::1, and images are served from one address. Start a server for each, or name the address that both reach.")]
    public void An_address_that_cannot_be_is_told(string? address, string clients, string told)
    {
        PoeOpsException wrong = Assert.Throws<PoeOpsException>(() => ImageServer.Start(new ImageServerOptions
        {
            Paths = [_folder.Write("a.img", "abc")],
            Clients = clients.Split(' ', StringSplitOptions.RemoveEmptyEntries),
            Address = address is null ? null : IPAddress.Parse(address),
            Port = 0,
        }));
        Assert.Equal(told, Told.Of(wrong.Problem));
    }

    [Fact]
    public void An_address_of_another_machine_or_a_port_that_is_taken_is_told_with_what_to_do()
    {
        string path = _folder.Write("a.img", "abc");
        PoeOpsException wrong = Assert.Throws<PoeOpsException>(() => ImageServer.Start(new ImageServerOptions { Paths = [path], Clients = ["192.0.2.1"], Address = IPAddress.Parse("192.0.2.77"), Port = 0 }));
        Assert.StartsWith("The file server cannot listen at 192.0.2.77:0: ", wrong.Problem.Sentence);
        Assert.Equal("Choose an address of this machine.", wrong.Problem.Advice);

        _server = Started(new ImageServerOptions { Paths = [path], Clients = ["127.0.0.1"], Port = 0 });
        wrong = Assert.Throws<PoeOpsException>(() => ImageServer.Start(new ImageServerOptions { Paths = [path], Clients = ["127.0.0.1"], Port = _server.Port }));
        Assert.StartsWith($"The file server cannot listen at 127.0.0.1:{_server.Port}: ", wrong.Problem.Sentence);
        Assert.Equal((ProblemId.TftpCannotListen, "Another file server runs on that port: stop it, or choose another port."), (wrong.Problem.Id, wrong.Problem.Advice));
    }

    [Fact]
    public void Its_end_breaks_transfers_off_and_leaves_them_to_be_read()
    {
        _server = Started(new ImageServerOptions { Paths = [_folder.Write("a.img", FileBench.Octets(5000))], Clients = ["127.0.0.1"], Port = 0 });
        Assert.Contains(_server, ImageServer.All);
        using RawPeer peer = new();
        peer.Ask(new IPEndPoint(IPAddress.Loopback, _server.Port), "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", peer.Hear());
        _server.Dispose();
        Assert.Equal("ERROR 0 the server was stopped", peer.Hear());
        Assert.Equal("Broken off: the server was stopped.", Assert.Single(_server.Transfers).Outcome);
        Assert.DoesNotContain(_server, ImageServer.All);
        Assert.True(_server.Ended);
        _server.Dispose();
    }

    private static ImageServer Started(ImageServerOptions options)
    {
        ImageServerResult result = ImageServer.Start(options);
        Assert.Empty(Told.Of(result.Problems));
        return result.Server!;
    }

    private static BaselineEntry Entry(string file, byte[] approved) =>
        new() { Model = "KL-48", Firmware = "1.0", Image = new ImageSpec(file, approved.Length, FileBench.Digest(approved), string.Empty) };

    private static byte[] Fetch(ImageServer server, string file)
    {
        using MemoryStream into = new();
        var local = IPAddress.Parse(server.Clients[0]);
        TftpClient.Fetch(new IPEndPoint(IPAddress.Parse(server.Address), server.Port), file, into, new TftpClientOptions { Bind = local }, CancellationToken.None);
        return into.ToArray();
    }

    // A transfer ends for the server a moment after the client has all of it.
    private static IReadOnlyList<TftpTransfer> Ended(ImageServer server, int count)
    {
        Deadline deadline = SystemClock.Instance.DeadlineIn(FileBench.Patience);
        while (server.Transfers.Count < count)
        {
            Assert.False(deadline.HasPassed, string.Create(CultureInfo.InvariantCulture, $"Only {server.Transfers.Count} transfers ended."));
            SystemClock.Instance.Wait(TimeSpan.FromMilliseconds(10), CancellationToken.None);
        }

        return server.Transfers;
    }
}
