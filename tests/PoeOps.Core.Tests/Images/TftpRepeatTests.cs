using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Requests that come again: copies that the network made or the client sent, and clients that begin anew.</summary>
public sealed class TftpRepeatTests : PeerTests
{
    [Fact]
    public void The_same_request_again_begins_no_second_transfer()
    {
        byte[] octets = Bench.Offer("a.img", 600);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", Peer.Hear());
        using RawPeer later = new();
        later.Ask(Bench.Endpoint, "none", "octet");
        Assert.Equal("ERROR 1 no file of that name is offered", later.Hear());
        Assert.False(Peer.HasMore);
        Peer.Acknowledge(0);
        Assert.Equal(octets, Peer.TakeRest(1, 512));
    }

    // Some clients use one port for ever: after a restart the request comes from the port of the transfer that they have forgotten.
    [Fact]
    public void A_client_that_begins_anew_from_the_same_port_is_served_anew()
    {
        byte[] octets = Bench.Offer("a.img", 1600);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", Peer.Hear());
        Peer.Acknowledge(0);
        Assert.Equal("DATA 1 of 512", Peer.Hear());
        Peer.Ask(Bench.Endpoint, "a.img", "octet");
        Assert.Equal(octets, Peer.TakeRest(1, 512));
        TftpTransfer[] both = [Bench.Next(), Bench.Next()];
        Assert.Equal(["Broken off: the client asked again from the same port.", "Whole."], both.Select(transfer => transfer.Outcome).Order(StringComparer.Ordinal));
        Assert.False(Peer.HasMore);
    }

    // What the client said last of one file and its request for the next come together, and which is looked at first is chance.
    [Fact]
    public void A_client_may_ask_for_the_next_file_from_the_same_port()
    {
        byte[] small = Bench.Offer("a.img", 100);
        byte[] larger = Bench.Offer("b.img", 1600);
        for (int i = 0; i < 200; i++)
        {
            Peer.Ask(Bench.Endpoint, "a.img", "octet");
            Assert.Equal(small, Peer.TakeRest(1, 512));
            Peer.Ask(Bench.Endpoint, "b.img", "octet");
            Assert.Equal(larger, Peer.TakeRest(1, 512));
        }

        for (int i = 0; i < 400; i++)
        {
            Assert.Equal("Whole.", Bench.Next().Outcome);
        }
    }

    // A copy of the request was long on its way: the client turns its answer away with error 5 (RFC 1350 section 4), and the transfer goes on.
    [Fact]
    public void A_late_copy_of_a_request_does_not_end_its_transfer()
    {
        byte[] octets = Bench.Offer("a.img", 1600);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", Peer.Hear());
        System.Net.IPEndPoint transfer = Peer.From;
        Peer.Acknowledge(0);
        Assert.Equal("DATA 1 of 512", Peer.Hear());

        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", Peer.Hear());
        Assert.NotEqual(transfer, Peer.From);
        Peer.Send([0, 5, 0, 5, 0], Peer.From);
        Assert.Equal("Broken off: the client ended it with error 5 ''.", Bench.Next().Outcome);

        Peer.Send([0, 4, 0, 1], transfer);
        Assert.Equal(octets[512..], Peer.TakeRest(2, 512));
        Assert.Equal(transfer, Peer.From);
        Assert.True(Bench.Next().Complete);
    }

    [Fact]
    public void A_client_that_asks_for_another_file_before_it_answered_gets_that_one()
    {
        Bench.Offer("a.img", 100);
        byte[] octets = Bench.Offer("b.img", 700);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", Peer.Hear());
        Peer.Ask(Bench.Endpoint, "b.img", "octet");
        Assert.Equal(octets, Peer.TakeRest(1, 512));
        TftpTransfer[] both = [Bench.Next(), Bench.Next()];
        Assert.Equal(
            [("a.img", "Broken off: the client asked again from the same port."), ("b.img", "Whole.")],
            both.Select(transfer => (transfer.File, transfer.Outcome)).Order());
    }

    // Nothing grows: of a client that only asks, one answer is open at a time.
    [Fact]
    public void A_client_that_only_asks_holds_one_transfer()
    {
        using var bench = new FileBench(new TftpServerOptions { MostTransfers = 2 });
        byte[] octets = bench.Offer("a.img", 100);
        for (int times = 0; times < 1000; times++)
        {
            Peer.Ask(bench.Endpoint, "a.img", "octet", "timeout", "200");
        }

        Assert.Equal("OACK timeout=200", Peer.Hear());
        Assert.Equal(octets, bench.Fetch("a.img").Octets);
        Assert.Equal("Whole.", bench.Next().Outcome);
        Assert.False(Peer.HasMore);
    }
}
