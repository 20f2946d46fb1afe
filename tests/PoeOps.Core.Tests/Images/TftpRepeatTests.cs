using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Requests that come again: copies that the network made or the client sent, and clients that begin anew.</summary>
public sealed class TftpRepeatTests : IDisposable
{
    private readonly FileBench _bench = new();
    private readonly RawPeer _peer = new();

    public void Dispose()
    {
        _peer.Dispose();
        _bench.Dispose();
    }

    // A copy of the request was long on its way: the client turns its answer away with error 5 (RFC 1350 section 4), and the transfer goes on.
    [Fact]
    public void A_late_copy_of_a_request_does_not_end_its_transfer()
    {
        byte[] octets = _bench.Offer("a.img", 1600);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", _peer.Hear());
        System.Net.IPEndPoint transfer = _peer.From;
        _peer.Acknowledge(0);
        Assert.Equal("DATA 1 of 512", _peer.Hear());

        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", _peer.Hear());
        Assert.NotEqual(transfer, _peer.From);
        _peer.Send([0, 5, 0, 5, 0], _peer.From);
        Assert.Equal("Broken off: the client ended it with error 5 ''.", _bench.Next().Outcome);

        _peer.Send([0, 4, 0, 1], transfer);
        Assert.Equal(octets[512..], _peer.TakeRest(2, 512));
        Assert.Equal(transfer, _peer.From);
        Assert.True(_bench.Next().Complete);
    }

    [Fact]
    public void A_client_that_asks_for_another_file_before_it_answered_gets_that_one()
    {
        _bench.Offer("a.img", 100);
        byte[] octets = _bench.Offer("b.img", 700);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", _peer.Hear());
        _peer.Ask(_bench.Endpoint, "b.img", "octet");
        Assert.Equal(octets, _peer.TakeRest(1, 512));
        TftpTransfer[] both = [_bench.Next(), _bench.Next()];
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
            _peer.Ask(bench.Endpoint, "a.img", "octet", "timeout", "200");
        }

        Assert.Equal("OACK timeout=200", _peer.Hear());
        Assert.Equal(octets, bench.Fetch("a.img").Octets);
        Assert.Equal("Whole.", bench.Next().Outcome);
        Assert.False(_peer.HasMore);
    }
}
