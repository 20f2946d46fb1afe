using System.Net;
using System.Net.Sockets;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The server and the client against each other.</summary>
public sealed class TftpExchangeTests : IDisposable
{
    private readonly FileBench _bench = new();

    public void Dispose() => _bench.Dispose();

    // RFC 1350 section 6: a block shorter than the others ends the file, so that a multiple of the block size ends with an empty one.
    [Theory]
    [InlineData(0, 512, 1)]
    [InlineData(1, 512, 1)]
    [InlineData(511, 512, 1)]
    [InlineData(512, 512, 2)]
    [InlineData(513, 512, 2)]
    [InlineData(1024, 512, 3)]
    [InlineData(0, 8, 1)]
    [InlineData(7, 8, 1)]
    [InlineData(8, 8, 2)]
    [InlineData(801, 8, 101)]
    [InlineData(1428, 1428, 2)]
    [InlineData(5711, 1428, 4)]
    [InlineData(5712, 1428, 5)]
    [InlineData(65463, 65464, 1)]
    [InlineData(65464, 65464, 2)]
    [InlineData(300000, 65464, 5)]
    public void A_file_comes_whole_in_as_many_blocks_as_it_takes(int count, int blockSize, int blocks)
    {
        byte[] octets = _bench.Offer("a.img", count);
        (byte[] fetched, TftpFetch told) = _bench.Fetch("a.img", new TftpClientOptions { BlockSize = blockSize });
        Assert.Equal(octets, fetched);
        Assert.Equal(new TftpFetch(count, blockSize, FileBench.Digest(octets)), told);

        TftpTransfer transfer = _bench.Next();
        Assert.Equal(("a.img", (long)count, (long)blocks, blockSize), (transfer.File, transfer.Bytes, transfer.Blocks, transfer.BlockSize));
        Assert.True(transfer.Complete, transfer.Outcome);
        Assert.Equal("Whole.", transfer.Outcome);
    }

    // No RFC says what follows block 65535; the common practice is 0. 600000 octets in blocks of 8 are 75001 blocks.
    [Fact]
    public void Block_numbers_go_on_with_0_behind_65535()
    {
        byte[] octets = _bench.Offer("a.img", 600_000);
        (byte[] fetched, TftpFetch told) = _bench.Fetch("a.img", new TftpClientOptions { BlockSize = 8 });
        Assert.Equal(FileBench.Digest(octets), FileBench.Digest(fetched));
        Assert.Equal((600_000, 8), (told.Bytes, told.BlockSize));
        Assert.Equal(75_001, _bench.Next().Blocks);
    }

    // The block after 65535 of a file that ends right there: 65536 blocks, the last one empty and numbered 0.
    [Fact]
    public void A_file_may_end_with_the_block_that_is_numbered_0()
    {
        byte[] octets = _bench.Offer("a.img", 65_535 * 8);
        Assert.Equal(FileBench.Digest(octets), _bench.Fetch("a.img", new TftpClientOptions { BlockSize = 8 }).Told.Sha256);
        Assert.Equal(65_536, _bench.Next().Blocks);
    }

    [Fact]
    public void Progress_tells_each_block_and_the_size_that_was_asked_for()
    {
        _bench.Offer("a.img", 20);
        List<(long, long?)> told = [];
        _bench.Fetch("a.img", new TftpClientOptions { BlockSize = 8, Progress = (bytes, size) => told.Add((bytes, size)) });
        Assert.Equal([(8, 20), (16, 20), (20, 20)], told);

        told.Clear();
        _bench.Fetch("a.img", new TftpClientOptions { BlockSize = 512, AskSize = false, Progress = (bytes, size) => told.Add((bytes, size)) });
        Assert.Equal([(20, null)], told);
    }

    [Fact]
    public void Several_clients_get_their_files_at_one_time()
    {
        byte[][] octets = [.. Enumerable.Range(0, 6).Select(number => _bench.Offer($"{number}.img", 40_000 + number))];
        string[] digests = new string[6];
        Parallel.For(0, 6, number => digests[number] = _bench.Fetch($"{number}.img").Told.Sha256);
        Assert.Equal(octets.Select(FileBench.Digest), digests);
    }

    [Fact]
    public void A_file_comes_over_IPv6_too()
    {
        if (!Socket.OSSupportsIPv6)
        {
            return;
        }

        using var bench = new FileBench(new TftpServerOptions { Bind = IPAddress.IPv6Loopback });
        byte[] octets = bench.Offer("a.img", 3000, IPAddress.IPv6Loopback);
        Assert.Equal(octets, bench.Fetch("a.img").Octets);
        Assert.StartsWith("[::1]:", bench.Next().Client);
    }
}
