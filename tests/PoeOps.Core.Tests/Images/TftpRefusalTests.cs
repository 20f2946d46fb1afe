using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Requests that the server does not follow, and what it tells of them.</summary>
public sealed class TftpRefusalTests : PeerTests
{
    [Theory]
    [InlineData(1, "a.img netascii", "ERROR 4 mode netascii would change an image; ask for octet")]
    [InlineData(1, "a.img NetASCII", "ERROR 4 mode netascii would change an image; ask for octet")]
    [InlineData(1, "a.img mail", "ERROR 4 mode mail would change an image; ask for octet")]
    [InlineData(2, "a.img octet", "ERROR 2 nothing can be written here")]
    [InlineData(2, "new.img octet tsize 9", "ERROR 2 nothing can be written here")]
    [InlineData(1, "b.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "A.IMG octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "../a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "./a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "/a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "..\\a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "/etc/passwd octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "../../../../../../etc/passwd octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "secret.txt octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "a.img/ octet", "ERROR 1 no file of that name is offered")]
    public void What_is_not_offered_is_refused_and_told(byte opcode, string request, string answer)
    {
        Bench.Offer("a.img", 10);
        Bench.Folder.Write("secret.txt", "not offered");
        Peer.Send(RawPeer.Request(opcode, request.Split(' ')), Bench.Endpoint);
        Assert.Equal(answer, Peer.Hear());
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((false, 0L, "Refused: " + answer["ERROR N ".Length..] + "."), (transfer.Complete, transfer.Bytes, transfer.Outcome));
        Assert.Equal((ProblemId.TftpRefused, Peer.Endpoint.ToString()), (transfer.Problem!.Id, transfer.Problem.Target));
        Assert.Equal(Peer.Endpoint.ToString(), transfer.Client);
        Assert.Equal("not offered", File.ReadAllText(Bench.Folder.Path("secret.txt")));
        Assert.False(File.Exists(Bench.Folder.Path("new.img")));
    }

    [Fact]
    public void A_file_is_only_for_the_address_that_it_was_offered_to()
    {
        byte[] octets = Bench.Offer("a.img", 30, IPAddress.Parse("127.0.0.1"));
        using RawPeer other = new("127.0.0.2");
        other.Ask(Bench.Endpoint, "a.img", "octet");
        Assert.Equal("ERROR 2 that file is not for this address", other.Hear());
        Assert.Equal("Refused: that file is not for this address.", Bench.Next().Outcome);
        Assert.Equal(octets, Bench.Fetch("a.img").Octets);

        byte[] mapped = Bench.Offer("b.img", 31, IPAddress.Parse("::ffff:127.0.0.2"));
        other.Ask(Bench.Endpoint, "b.img", "octet");
        Assert.Equal(mapped, other.TakeRest(1, 512));
    }

    // RFC 2347: a request has at most 512 octets. RFC 1350 section 7: an error is never answered.
    [Fact]
    public void A_request_that_cannot_be_read_is_told_error_4_and_anything_else_is_passed_over()
    {
        byte[] octets = Bench.Offer("a.img", 10);
        byte[] request = RawPeer.Request(1, "a.img", "octet");
        foreach (byte[] bad in (byte[][])[request[..^1], [.. request, 65], RawPeer.Request(1, new string('a', 600), "octet"), [0, 1], [0, 2, 0, 0]])
        {
            Peer.Send(bad, Bench.Endpoint);
            Assert.Equal("ERROR 4 that request cannot be read", Peer.Hear());
            TftpTransfer noted = Bench.Next();
            Assert.Equal((ProblemId.TftpMalformed, Peer.Endpoint.ToString(), string.Empty), (noted.Problem!.Id, noted.Client, noted.File));
            Assert.StartsWith($"A datagram of {bad.Length} octets is no TFTP packet: ", noted.Outcome);
        }

        foreach (byte[] other in (byte[][])[[], [0], [0, 3, 0, 1, 65], [0, 4, 0, 1], [0, 5, 0, 4, 0], [0, 6, 65, 0, 65, 0], [1, 1, 65, 0], new byte[60_000]])
        {
            Peer.Send(other, Bench.Endpoint);
        }

        // The server takes one datagram after another: an answer to any of those would have come before this one.
        Peer.Ask(Bench.Endpoint, "a.img", "octet");
        Assert.Equal(octets, Peer.TakeRest(1, 512));
    }

    [Fact]
    public void A_hundred_thousand_random_packets_do_not_stop_it()
    {
        byte[] octets = Bench.Offer("a.img", 2000);
        byte[] noise = FileBench.Octets(10_200_000);
        using (RawPeer noisy = new())
        {
            for (int number = 0, at = 0; number < 100_000; number++)
            {
                byte[] datagram = noise[at..(at + (noise[at] % 100))];
                at += 1 + datagram.Length;
                if (datagram.Length > 1 && number % 2 == 0)
                {
                    // Half of them begin as a packet does.
                    (datagram[0], datagram[1]) = (0, (byte)(datagram[1] % 8));
                }

                noisy.Send(datagram, Bench.Endpoint);
            }
        }

        Assert.Equal(octets, Bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void More_transfers_than_it_may_run_are_refused()
    {
        using var bench = new FileBench(new TftpServerOptions { MostTransfers = 1 });
        bench.Offer("a.img", 600);
        Peer.Ask(bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", Peer.Hear());
        using RawPeer other = new();
        other.Ask(bench.Endpoint, "a.img", "octet");
        Assert.Equal("ERROR 0 too many transfers at once; ask again later", other.Hear());
    }
}
