using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Windows of several blocks (RFC 7440): the server against a client that does exactly what the test says. The agreed time of 200 seconds
/// leaves no other reason to send anything again than what the client says.</summary>
public sealed class TftpWindowTests : PeerTests
{
    // RFC 7440 section 4: the receiver acknowledges the last block of a window, and the last block of the file.
    [Fact]
    public void A_window_of_blocks_comes_before_one_acknowledgement()
    {
        byte[] octets = Begin(count: 8 * 10 + 3, windowSize: 4);
        Assert.Equal("1 2 3 4", Hear(4));
        Peer.Acknowledge(4);
        Assert.Equal("5 6 7 8", Hear(4));
        Peer.Acknowledge(8);
        Assert.Equal("9 10 11", Hear(3));
        Peer.Acknowledge(11);
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((true, (long)octets.Length, 11L, 0, 4), (transfer.Complete, transfer.Bytes, transfer.Blocks, transfer.Retransmissions, transfer.WindowSize));
        Assert.Equal("blksize=8 timeout=200 windowsize=4", transfer.Options);
        Assert.False(Peer.HasMore);
    }

    // RFC 7440 section 4: a block that is missing inside a window; the next window begins with it.
    [Fact]
    public void After_an_acknowledgement_inside_a_window_the_next_window_begins_behind_it()
    {
        Begin(count: 8 * 10 + 3, windowSize: 4);
        Assert.Equal("1 2 3 4", Hear(4));
        Peer.Acknowledge(2);
        Assert.Equal("3 4 5 6", Hear(4));
        Peer.Acknowledge(6);
        Assert.Equal("7 8 9 10", Hear(4));
        Peer.Acknowledge(9);
        Assert.Equal("10 11", Hear(2));
        Peer.Acknowledge(11);
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((true, 11L, 3), (transfer.Complete, transfer.Blocks, transfer.Retransmissions));
    }

    // RFC 1123 section 4.2.3.1; and an acknowledgement from the past or of a block that was not sent says nothing.
    [Fact]
    public void Acknowledgements_from_the_past_or_the_future_make_nothing_come()
    {
        Begin(count: 8 * 10 + 3, windowSize: 4);
        Assert.Equal("1 2 3 4", Hear(4));
        foreach (int block in (int[])[0, 0, 5, 11, 65535, 32768])
        {
            Peer.Acknowledge(block);
        }

        Peer.Acknowledge(4);
        Assert.Equal("5 6 7 8", Hear(4));
        foreach (int block in (int[])[4, 4, 3, 1, 0, 9])
        {
            Peer.Acknowledge(block);
        }

        Peer.Acknowledge(8);
        Assert.Equal("9 10 11", Hear(3));
        Peer.Acknowledge(11);
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((true, 0), (transfer.Complete, transfer.Retransmissions));
        Assert.False(Peer.HasMore);
    }

    // A client that acknowledges each block of a window, as if there were none, gets the file, and nothing multiplies.
    [Fact]
    public void A_client_that_acknowledges_each_block_does_not_drown()
    {
        const int Blocks = 2001;
        byte[] octets = Begin(count: 8 * (Blocks - 1), windowSize: 16);
        List<byte> taken = [];
        int heard = 0;
        for (int next = 1; next <= Blocks;)
        {
            TftpPacket packet = Peer.Receive();
            heard++;
            if (packet.Block == next)
            {
                taken.AddRange(packet.Data);
                next++;
            }

            Peer.Acknowledge(next - 1);
        }

        Assert.Equal(octets, taken);
        Assert.True(Bench.Next().Complete);
        Assert.InRange(heard, Blocks, 16 * Blocks);
    }

    [Fact]
    public void Numbers_wrap_inside_a_window()
    {
        // Blocks 65535 and 0 stand in one window, the one that begins with 65521.
        byte[] octets = Begin(count: 8 * 65_550, windowSize: 16);
        int taken = 0;
        for (int window = 0; window < 4095; window++)
        {
            for (int block = 0; block < 16; block++)
            {
                taken += Peer.Receive().Data.Count;
            }

            Peer.Acknowledge((window + 1) * 16);
        }

        Assert.Equal(Numbers(65_521, 16), Hear(16));
        Peer.Acknowledge(65_533);
        Assert.Equal("65534 65535 0 1 2 3 4 5 6 7 8 9 10 11 12 13", Hear(16));
        Peer.Acknowledge(0);
        Assert.Equal("1 2 3 4 5 6 7 8 9 10 11 12 13 14 15", Hear(15));
        Peer.Acknowledge(15);
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((true, 65_551L, (long)octets.Length), (transfer.Complete, transfer.Blocks, transfer.Bytes));
        Assert.Equal(65_520 * 8, taken);
    }

    // The time of a window is over: all of it that is not acknowledged comes again.
    [Fact]
    public void A_window_that_nobody_acknowledges_comes_again()
    {
        Bench.Offer("a.img", 20);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "blksize", "8", "windowsize", "3", "timeout", "1");
        Peer.Hear();
        Peer.Acknowledge(0);
        Assert.Equal("1 2 3 1 2 3", Hear(6));
        Peer.Acknowledge(3);
        Assert.InRange(Bench.Next().Retransmissions, 3, 12);
    }

    [Theory]
    [InlineData(1, 1428, 1, 0)]
    [InlineData(4, 512, 4, 512)]
    [InlineData(16, 1428, 16, 200_000)]
    [InlineData(64, 8, 64, 600_000)]
    [InlineData(65535, 512, 1024, 1_000_000)]
    [InlineData(65535, 65464, 16, 3_000_000)]
    public void Our_own_client_takes_windows(int asked, int blockSize, int agreed, int count)
    {
        byte[] octets = Bench.Offer("a.img", count);
        (byte[] fetched, TftpFetch told) = Bench.Fetch("a.img", new TftpClientOptions { BlockSize = blockSize, WindowSize = asked });
        Assert.Equal(octets, fetched);
        Assert.Equal((agreed, blockSize, FileBench.Digest(octets)), (told.WindowSize, told.BlockSize, told.Sha256));
        TftpTransfer transfer = Bench.Next();
        Assert.Equal((true, (long)count, agreed), (transfer.Complete, transfer.Bytes, transfer.WindowSize));
    }

    private byte[] Begin(int count, int windowSize)
    {
        byte[] octets = Bench.Offer("a.img", count);
        string window = windowSize.ToString(System.Globalization.CultureInfo.InvariantCulture);
        Peer.Ask(Bench.Endpoint, "a.img", "octet", "blksize", "8", "timeout", "200", "windowsize", window);
        Assert.Equal($"OACK blksize=8 timeout=200 windowsize={window}", Peer.Hear());
        Peer.Acknowledge(0);
        return octets;
    }

    private string Hear(int count) => string.Join(" ", Enumerable.Range(0, count).Select(_ => Peer.Receive()).Select(packet => packet.Opcode == TftpOpcode.Data ? $"{packet.Block}" : $"{packet.Opcode}"));

    private static string Numbers(int first, int count) => string.Join(" ", Enumerable.Range(first, count).Select(block => (ushort)block));
}
