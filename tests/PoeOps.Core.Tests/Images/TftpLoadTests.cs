using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Very many clients, and very strange ones.</summary>
public sealed class TftpLoadTests : IDisposable
{
    private readonly FileBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void Two_hundred_transfers_run_at_once()
    {
        byte[] octets = _bench.Offer("a.img", 3000);
        RawPeer[] peers = [.. Enumerable.Range(0, 200).Select(_ => new RawPeer())];
        foreach (RawPeer peer in peers)
        {
            peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        }

        // All have been answered before the first one answers.
        Assert.All(peers, peer => Assert.Equal("OACK timeout=200", peer.Hear()));
        Assert.Equal(200, peers.Select(peer => peer.From.Port).Distinct().Count());
        Assert.All(peers, peer => peer.Acknowledge(0));
        Assert.All(peers, peer => Assert.Equal(octets, peer.TakeRest(1, 512)));
        Assert.All(peers, _ => Assert.Equal("Whole.", _bench.Next().Outcome));
        Array.ForEach(peers, peer => peer.Dispose());
    }

    [Fact]
    public void Two_hundred_of_our_clients_fetch_at_once()
    {
        byte[] octets = _bench.Offer("a.img", 40_000);
        string[] digests = new string[200];
        Thread[] threads = [.. Enumerable.Range(0, digests.Length).Select(number => new Thread(() => digests[number] = _bench.Fetch("a.img").Told.Sha256))];
        Array.ForEach(threads, thread => thread.Start());
        Array.ForEach(threads, thread => thread.Join());
        Assert.All(digests, digest => Assert.Equal(FileBench.Digest(octets), digest));
    }

    // RFC 2347: what cannot be is left out of the acknowledgement, and here nothing is left.
    [Fact]
    public void A_request_with_each_option_malformed_is_served_as_if_it_had_none()
    {
        byte[] octets = _bench.Offer("a.img", 700);
        using RawPeer peer = new();
        peer.Ask(_bench.Endpoint, "a.img", "octet", "blksize", "-1", "timeout", "0", "tsize", "big", "windowsize", "0", "blksize ", "1024", "\u001b[2J", "\u001b[2J", "x", "");
        Assert.Equal(octets, peer.TakeRest(1, 512));
        Assert.Equal(string.Empty, _bench.Next().Options);
    }

    // Nobody waits for a client that has gone; its own transfer is given up after its tries.
    [Fact]
    public void A_client_that_vanishes_holds_nobody_up()
    {
        byte[] octets = _bench.Offer("a.img", 2000);
        using (RawPeer vanishing = new())
        {
            vanishing.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
            vanishing.Hear();
        }

        Assert.Equal(octets, _bench.Fetch("a.img").Octets);
        Assert.Equal("Whole.", _bench.Next().Outcome);
    }

    // RFC 1123 section 4.2.3.2: the time doubles with each try. 1, 2, 4, 8 and 16 seconds, and 16 once more.
    [HeavyFact]
    public void A_client_that_vanishes_is_given_up_after_six_tries()
    {
        _bench.Offer("a.img", 20);
        using RawPeer vanishing = new();
        vanishing.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "1", "blksize", "16");
        vanishing.Hear();
        vanishing.Acknowledge(0);
        Assert.Equal("DATA 1 of 16", vanishing.Hear());
        vanishing.Acknowledge(1);
        TftpTransfer transfer = _bench.Next();
        Assert.Equal(
            (ProblemId.TftpTimedOut, "Broken off: no acknowledgement behind block 1 came in 6 tries. It was the last block, so that the client may have the whole file."),
            (transfer.Problem!.Id, transfer.Outcome));
        Assert.Equal((16L, 1L, 5), (transfer.Bytes, transfer.Blocks, transfer.Retransmissions));
    }
}
