using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Transfers: what the client asks for, and what it makes of what the server sends.</summary>
public sealed class TftpClientTests : ClientTests
{
    // RFC 1350 section 5, RFC 2347 (name and value after the mode), RFC 2348 (blksize), RFC 2349 (timeout; tsize 0 asks for the size).
    [Theory]
    [InlineData(512, false, false, "")]
    [InlineData(1428, false, true, "blksize=1428 tsize=0")]
    [InlineData(8, true, false, "blksize=8 timeout=7")]
    [InlineData(65464, true, true, "blksize=65464 timeout=7 tsize=0")]
    public async Task It_asks_for_the_options_that_it_was_told_to(int blockSize, bool askTimeout, bool askSize, string options)
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = blockSize, TimeoutSeconds = 7, AskTimeout = askTimeout, AskSize = askSize }, out string asked);
        Assert.Equal($"ReadRequest a.img octet {options}", asked);
        Send([0, 5, 0, 1, 0]);
        await Problem(fetch);
    }

    // RFC 2347: a server that knows no options answers with the first block, and all of RFC 1350's defaults hold.
    [Fact]
    public async Task A_server_that_passes_over_the_options_is_followed_with_blocks_of_512()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 1428 });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", Server.Hear());
        Assert.Equal((513, 512), ((await fetch).Bytes, (await fetch).BlockSize));
        Assert.Equal(FileBench.Digest([.. new byte[512], 7]), (await fetch).Sha256);
    }

    // RFC 2348: the server may choose a smaller block than was asked for. RFC 2347: ACK 0 answers the acknowledgement of options.
    [Fact]
    public async Task A_smaller_block_than_was_asked_for_is_taken()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 1428, AskTimeout = true });
        Send(Options("tsize", "17", "BLKSIZE", "16", "timeout", "1"));
        Assert.Equal("ACK 0", Server.Hear());
        Send([0, 3, 0, 1, .. new byte[16]]);
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", Server.Hear());
        Assert.Equal((17, 16), ((await fetch).Bytes, (await fetch).BlockSize));
    }

    // RFC 2347: after an error 8 the client may try again without options.
    [Fact]
    public async Task A_server_that_refuses_options_is_asked_without_them_once()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 1428, AskTimeout = true });
        Send([0, 5, 0, 8, 0]);
        Assert.Equal("ReadRequest a.img octet ", Door.Hear());
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", Server.Hear());
        Assert.Equal((513, 512), ((await fetch).Bytes, (await fetch).BlockSize));
    }

    [Fact]
    public async Task A_server_that_refuses_the_request_without_options_too_is_left()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512 });
        Send([0, 5, 0, 8, 0]);
        Door.Hear();
        Send([0, 5, 0, 8, 0]);
        Assert.Equal(ProblemId.TftpRefused, (await Problem(fetch)).Id);
    }

    // RFC 1350 section 4: a packet from another source is answered with error 5 and does not disturb.
    [Fact]
    public async Task A_stranger_is_told_error_5_and_the_transfer_finishes()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        using RawPeer stranger = new();
        foreach (byte[] packet in (byte[][])[[0, 3, 0, 2, 9, 9], [0, 4, 0, 0], [9]])
        {
            // An error is never answered (section 7): two ports that did would go on for ever.
            stranger.Send([0, 5, 0, 0, 0], Client);
            stranger.Send(packet, Client);
            Assert.Equal("ERROR 5 unknown transfer ID", stranger.Hear());
            Assert.False(stranger.HasMore);
        }

        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", Server.Hear());
        Assert.Equal(FileBench.Digest([.. new byte[512], 7]), (await fetch).Sha256);
    }

    // RFC 1350 section 2: a block that comes twice is acknowledged again, and taken once.
    [Fact]
    public async Task A_block_that_comes_twice_is_taken_once()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, TimeoutSeconds = 200 });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 3, 1, 2, 3]);
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", Server.Hear());
        Assert.Equal(513, (await fetch).Bytes);
        Assert.Equal([.. new byte[512], 7], Into.ToArray());
    }

    [Fact]
    public async Task A_request_and_an_acknowledgement_that_nobody_answers_are_sent_again()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false }, out string asked);
        Assert.Equal(asked, Door.Hear());
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 2]);
        Assert.Equal("ACK 2", Server.Behind("ACK 1"));
        Assert.Equal(512, (await fetch).Bytes);
    }

    // RFC 1350 section 6: who acknowledged the last block stays a while, for the case that the acknowledgement was lost.
    [Fact]
    public async Task A_last_block_that_comes_again_is_acknowledged_again()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, TimeoutSeconds = 20 });
        Send([0, 3, 0, 1, 7]);
        Assert.Equal("ACK 1", Server.Hear());
        Assert.Equal(1, (await fetch).Bytes);
        Send([0, 3, 0, 1, 7]);
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 1, 7]);
        Assert.Equal("ACK 1", Server.Hear());
        await Cancel.CancelAsync();
    }

    [Fact]
    public async Task A_cancelled_transfer_ends_and_the_server_is_told()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, TimeoutSeconds = 200 });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        await Cancel.CancelAsync();
        Assert.Equal("ERROR 0 cancelled", Server.Hear());
        Assert.Equal(ProblemId.TftpTimedOut, (await Problem(fetch)).Id);
    }
}
