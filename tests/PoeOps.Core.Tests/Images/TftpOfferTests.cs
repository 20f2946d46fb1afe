using System.Net;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>What the server can be told to offer, and for how long.</summary>
public sealed class TftpOfferTests : PeerTests
{
    [Fact]
    public void A_file_that_is_offered_no_longer_goes_to_nobody()
    {
        using IDisposable offer = Bench.Server.Serve("a.img", Bench.Folder.Write("a.img", FileBench.Octets(2000)), null);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Peer.Hear();
        offer.Dispose();
        offer.Dispose();
        Assert.Equal("ERROR 0 the file is no longer offered", Peer.Hear());
        Peer.Ask(Bench.Endpoint, "a.img", "octet");
        Assert.Equal("ERROR 1 no file of that name is offered", Peer.Hear());
    }

    [Fact]
    public void A_name_is_offered_once_at_a_time()
    {
        string path = Bench.Folder.Write("a.img", "abc");
        IDisposable first = Bench.Server.Serve("a.img", path, null);
        PoeOpsException refused = Assert.Throws<PoeOpsException>(() => Bench.Server.Serve("a.img", path, null));
        Assert.Equal(
            "NameTwice - -: A file is offered as 'a.img' already. Wait for the other transfer to end, or offer it by another name.", Told.Of(refused.Problem));
        first.Dispose();
        using IDisposable second = Bench.Server.Serve("a.img", path, null);

        // Disposing the first offer once more takes nothing away from the second.
        first.Dispose();
        Assert.Equal("abc"u8.ToArray(), Bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void A_file_that_is_not_there_is_not_offered()
    {
        PoeOpsException refused = Assert.Throws<PoeOpsException>(() => Bench.Server.Serve("a.img", Bench.Folder.Path("a.img"), null));
        Assert.Equal((ProblemId.ImageNotFound, Bench.Folder.Path("a.img")), (refused.Problem.Id, refused.Problem.File));
        Assert.Equal(ProblemId.ImageNotFound, Assert.Throws<PoeOpsException>(() => Bench.Server.Serve("a.img", Bench.Folder.FullPath, null)).Problem.Id);
    }

    // FIPS 180-4, the one-block example that NIST publishes with it: the message "abc".
    [Theory]
    [InlineData("abc", null)]
    [InlineData("abd", ProblemId.ImageWrongDigest)]
    [InlineData("abcd", ProblemId.ImageWrongSize)]
    [InlineData(null, ProblemId.ImageNotFound)]
    public void Only_the_approved_image_is_offered_and_what_was_checked_is_what_is_served(string? content, ProblemId? problem)
    {
        ImageSpec spec = new("a.img", 3, "BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD", "harbour");
        if (content is not null)
        {
            Bench.Folder.Write("a.img", content);
        }

        if (problem is not null)
        {
            Assert.Equal(problem, Assert.Throws<PoeOpsException>(() => Bench.Server.Serve(spec, Bench.Folder.FullPath, null)).Problem.Id);
            Peer.Ask(Bench.Endpoint, "a.img", "octet");
            Assert.Equal("ERROR 1 no file of that name is offered", Peer.Hear());
            return;
        }

        using IDisposable offer = Bench.Server.Serve(spec, Bench.Folder.FullPath, IPAddress.Loopback);
        Assert.Equal("abc"u8.ToArray(), Bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void A_file_that_another_program_holds_is_not_offered()
    {
        string path = Bench.Folder.Write("a.img", "abc");
        using FileStream held = new(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
        Assert.Equal(ProblemId.FileUnreadable, Assert.Throws<PoeOpsException>(() => Bench.Server.Serve("a.img", path, null)).Problem.Id);
    }

    [Fact]
    public void A_port_that_is_taken_is_told_and_a_server_is_started_once()
    {
        using TftpServer second = new(new TftpServerOptions { Port = Bench.Endpoint.Port });
        PoeOpsException refused = Assert.Throws<PoeOpsException>(second.Start);
        Assert.Equal(ProblemId.TftpCannotListen, refused.Problem.Id);
        Assert.StartsWith($"The file server cannot listen at 127.0.0.1:{Bench.Endpoint.Port}: ", refused.Problem.Sentence);
        Assert.Equal("Another file server runs on that port: stop it, or choose another port.", refused.Problem.Advice);
        Assert.Throws<InvalidOperationException>(Bench.Server.Start);
    }
}
