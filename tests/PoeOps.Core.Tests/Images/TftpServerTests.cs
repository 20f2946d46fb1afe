using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Transfers: what the server sends, and what it makes of what the client answers.</summary>
public sealed class TftpServerTests : PeerTests
{
    // RFC 1350 section 4: the server answers from a port of its own, not from the one that was asked.
    [Fact]
    public void A_request_without_options_is_answered_with_block_1_from_a_new_port()
    {
        byte[] octets = Bench.Offer("a.img", 700);
        Peer.Ask(Bench.Endpoint, "a.img", "octet");
        byte[] fetched = Peer.TakeRest(1, 512);
        Assert.Equal(octets, fetched);
        Assert.NotEqual(Bench.Endpoint.Port, Peer.From.Port);
        Assert.Equal(512, Bench.Next().BlockSize);
    }

    // RFC 1123 section 4.2.3.1: the sender must never send the current block again because of a duplicate acknowledgement.
    // The negotiated time of 200 seconds leaves no other reason to send one again.
    [Fact]
    public void A_duplicate_acknowledgement_makes_nothing_come_twice()
    {
        Bench.Offer("a.img", 100);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200", "blksize", "8");
        Assert.Equal("OACK timeout=200 blksize=8", Peer.Hear());
        Peer.Acknowledge(0);
        List<string> heard = [];
        for (int block = 1; block <= 13; block++)
        {
            heard.Add(Peer.Hear());
            Peer.Acknowledge(block);
            Peer.Acknowledge(block);
            Peer.Acknowledge(block - 1);
        }

        Assert.Equal(Enumerable.Range(1, 13).Select(block => $"DATA {block} of {(block < 13 ? 8 : 4)}"), heard);
        TftpTransfer transfer = Bench.Next();
        Assert.False(Peer.HasMore);
        Assert.Equal((true, 13L, 0), (transfer.Complete, transfer.Blocks, transfer.Retransmissions));
    }

    // RFC 1350 section 4: a packet from another source is answered with an error, and the transfer goes on undisturbed.
    [Fact]
    public void A_stranger_is_told_error_5_and_the_transfer_finishes()
    {
        byte[] octets = Bench.Offer("a.img", 1000);
        using RawPeer stranger = new();
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", Peer.Hear());
        stranger.Send([0, 4, 0, 0], Peer.From);
        Assert.Equal("ERROR 5 unknown transfer ID", stranger.Hear());
        // An error is never answered (section 7): two ports that did would go on for ever.
        stranger.Send([0, 5, 0, 0, 0], Peer.From);
        stranger.Send([9, 9, 9], Peer.From);
        Assert.Equal("ERROR 5 unknown transfer ID", stranger.Hear());
        Assert.False(stranger.HasMore);
        Assert.False(Peer.HasMore);
        Peer.Acknowledge(0);
        Assert.Equal(octets, Peer.TakeRest(1, 512));
        Assert.True(Bench.Next().Complete);
    }

    // RFC 2347: the acknowledgement of options is answered with ACK 0; what is not answered is sent again like any packet.
    [Fact]
    public void A_lost_acknowledgement_of_options_and_a_lost_block_are_sent_again()
    {
        byte[] octets = Bench.Offer("a.img", 20);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "1", "blksize", "16");
        Assert.Equal("OACK timeout=1 blksize=16", Peer.Hear());
        Assert.Equal("OACK timeout=1 blksize=16", Peer.Hear());
        Peer.Acknowledge(0);
        string heard = Peer.Behind("OACK timeout=1 blksize=16");
        Assert.Equal("DATA 1 of 16", heard);
        Assert.Equal("DATA 1 of 16", Peer.Hear());
        Peer.Acknowledge(1);
        Assert.Equal("DATA 2 of 4", Peer.Behind("DATA 1 of 16"));
        Peer.Acknowledge(2);
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((true, (long)octets.Length), (transfer.Complete, transfer.Bytes));
        Assert.InRange(transfer.Retransmissions, 2, 12);
    }

    // RFC 2347: options that the server does not know are left out, not refused; 2348: blksize is 8 to 65464; 2349: timeout is 1 to 255, tsize is asked as 0.
    [Theory]
    [InlineData("multicast= blksize=1024 utimeout=9", "OACK blksize=1024")]
    [InlineData("BLKSIZE=1024 TimeOut=200 TSIZE=0", "OACK blksize=1024 timeout=200 tsize=2000")]
    [InlineData("tsize=0", "OACK tsize=2000")]
    [InlineData("blksize=8", "OACK blksize=8")]
    [InlineData("blksize=65464", "OACK blksize=65464")]
    [InlineData("blksize=65465 tsize=0", "OACK blksize=65464 tsize=2000")]
    [InlineData("blksize=7", "DATA 1 of 512")]
    [InlineData("blksize=0 tsize=0", "OACK tsize=2000")]
    [InlineData("blksize=-512", "DATA 1 of 512")]
    [InlineData("blksize=+1024", "DATA 1 of 512")]
    [InlineData("blksize=1e3", "DATA 1 of 512")]
    [InlineData("blksize=99999999999999999999", "DATA 1 of 512")]
    [InlineData("timeout=0 tsize=0", "OACK tsize=2000")]
    [InlineData("timeout=256 tsize=0", "OACK tsize=2000")]
    [InlineData("timeout=1", "OACK timeout=1")]
    [InlineData("timeout=255", "OACK timeout=255")]
    [InlineData("timeout=", "DATA 1 of 512")]
    [InlineData("tsize=5", "DATA 1 of 512")]
    [InlineData("tsize=x", "DATA 1 of 512")]
    [InlineData("windowsize=1", "OACK windowsize=1")]
    [InlineData("WindowSize=16", "OACK windowsize=16")]
    [InlineData("windowsize=0 tsize=0", "OACK tsize=2000")]
    [InlineData("windowsize=-1", "DATA 1 of 512")]
    [InlineData("windowsize=65535", "OACK windowsize=1024")]
    [InlineData("windowsize=65536", "OACK windowsize=1024")]
    [InlineData("windowsize=1024 blksize=8192", "OACK windowsize=128 blksize=8192")]
    [InlineData("blksize=65464 windowsize=64", "OACK blksize=65464 windowsize=16")]
    [InlineData("windowsize=99999999999999999999", "DATA 1 of 512")]
    [InlineData("tsize=0 windowsize=2 timeout=7 blksize=600", "OACK tsize=2000 windowsize=2 timeout=7 blksize=600")]
    public void Of_the_options_those_are_acknowledged_that_can_be_kept(string asked, string answer)
    {
        Bench.Offer("a.img", 2000);
        Peer.Ask(Bench.Endpoint, ["a.img", "OCTET", .. asked.Split(' ', '=')]);
        Assert.Equal(answer, Peer.Hear());
    }

    // RFC 2347: a server may leave out any option. curl 7.88 gives up at a tsize of 0.
    [Fact]
    public void The_size_of_an_empty_file_is_left_out()
    {
        Bench.Offer("a.img", 0);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "tsize", "0", "blksize", "1024");
        Assert.Equal("OACK blksize=1024", Peer.Hear());
    }

    [Fact]
    public void A_transfer_tells_what_was_agreed_and_when_by_the_clock_that_it_was_given()
    {
        DateTime start = new(2026, 12, 4, 22, 0, 0, DateTimeKind.Utc);
        ScaledClock clock = new(1, SystemClock.Instance.UtcNow, start);
        using var bench = new FileBench(new TftpServerOptions { Clock = clock });
        bench.Offer("a.img", 100);
        Peer.Ask(bench.Endpoint, "a.img", "octet", "blksize", "64", "speed", "9", "tsize", "0");
        Assert.Equal("OACK blksize=64 tsize=100", Peer.Hear());
        Peer.Acknowledge(0);
        Assert.Equal(100, Peer.TakeRest(1, 64).Length);
        Peer.Ask(bench.Endpoint, "b.img", "octet");
        Assert.Equal("ERROR 1 no file of that name is offered", Peer.Hear());
        foreach (TftpTransfer transfer in (TftpTransfer[])[bench.Next(), bench.Next()])
        {
            Assert.Equal(transfer.Complete ? "blksize=64 tsize=100" : string.Empty, transfer.Options);
            Assert.InRange(transfer.StartUtc, start, clock.UtcNow);
            Assert.InRange(transfer.Duration, TimeSpan.Zero, clock.UtcNow - start);
        }
    }

    [Fact]
    public void An_error_of_the_client_ends_the_transfer_and_is_noted_with_its_text_escaped()
    {
        Bench.Offer("a.img", 2000);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Peer.Hear();
        Peer.Acknowledge(0);
        Assert.Equal("DATA 1 of 512", Peer.Hear());
        Peer.Acknowledge(1);
        Assert.Equal("DATA 2 of 512", Peer.Hear());
        Peer.Send([0, 5, 0, 3, (byte)'f', 27, (byte)'l', 0], Peer.From);
        TftpTransfer transfer = Bench.Next();
        Assert.Equal(@"Broken off: the client ended it with error 3 'f\u001bl'.", transfer.Outcome);
        Assert.Equal((false, 512L, 1L), (transfer.Complete, transfer.Bytes, transfer.Blocks));
    }

    [Fact]
    public void Disposal_tells_the_client_and_ends_the_transfer()
    {
        Bench.Offer("a.img", 2000);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Peer.Hear();
        Bench.Server.Dispose();
        Bench.Server.Dispose();
        Assert.Equal("ERROR 0 the server was stopped", Peer.Hear());
        Assert.Equal("Broken off: the server was stopped.", Bench.Next().Outcome);
    }
}
