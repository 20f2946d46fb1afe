using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Windows of several blocks (RFC 7440), and what is expected of a file: the client against a server that does exactly what the test says.</summary>
public sealed class TftpClientWindowTests : IDisposable
{
    private readonly RawPeer _server = new();
    private readonly MemoryStream _into = new();

    public void Dispose()
    {
        _server.Dispose();
        _into.Dispose();
    }

    [Fact]
    public async Task The_last_block_of_a_window_is_acknowledged_and_the_last_of_the_file()
    {
        Task<TftpFetch> fetch = Begin(3, out string asked);
        Assert.Equal("ReadRequest a.img octet blksize=8 windowsize=3", asked);
        Agree("blksize", "8", "windowsize", "3");
        SendBlocks(1, 2, 3);
        Assert.Equal("ACK 3", _server.Hear());
        SendBlocks(4);
        Send([0, 3, 0, 5, 9]);
        Assert.Equal("ACK 5", _server.Hear());
        Assert.Equal((33, 3), ((await fetch).Bytes, (await fetch).WindowSize));
        Assert.False(_server.HasMore);
    }

    // RFC 7440 section 4: the last block in order is acknowledged at once; what comes behind the gap is not taken, and not acknowledged either.
    [Fact]
    public async Task A_gap_is_told_at_once_and_once()
    {
        Task<TftpFetch> fetch = Begin(4, out _);
        Agree("blksize", "8", "windowsize", "4");
        SendBlocks(1, 3, 4);
        Assert.Equal("ACK 1", _server.Hear());
        SendBlocks(2, 3, 4, 5);
        Assert.Equal("ACK 5", _server.Hear());
        SendBlocks(7, 8, 9);
        Assert.Equal("ACK 5", _server.Hear());
        Send([0, 3, 0, 6]);
        Assert.Equal("ACK 6", _server.Hear());
        Assert.Equal(40, (await fetch).Bytes);
        Assert.Equal(Enumerable.Range(1, 5).SelectMany(block => Enumerable.Repeat((byte)block, 8)), _into.ToArray());
        Assert.False(_server.HasMore);
    }

    // Its acknowledgement was lost, and all of the window comes again: one acknowledgement is enough.
    [Fact]
    public async Task A_window_that_comes_twice_is_acknowledged_twice_and_taken_once()
    {
        Task<TftpFetch> fetch = Begin(3, out _);
        Agree("blksize", "8", "windowsize", "3");
        SendBlocks(1, 2, 3, 1, 2, 3);
        Assert.Equal("ACK 3", _server.Hear());
        Assert.Equal("ACK 3", _server.Hear());
        Send([0, 3, 0, 4]);
        Assert.Equal("ACK 4", _server.Hear());
        Assert.Equal(24, (await fetch).Bytes);
        Assert.False(_server.HasMore);
    }

    // The end of a window is lost: nothing shows a gap, so after a time what came is acknowledged.
    [Fact]
    public async Task Half_a_window_is_acknowledged_after_a_time()
    {
        Task<TftpFetch> fetch = Begin(3, out _, timeoutSeconds: 1);
        Agree("blksize", "8", "windowsize", "3");
        SendBlocks(1, 2);
        Assert.Equal("ACK 2", _server.Hear());
        Send([0, 3, 0, 3]);
        string heard = _server.Hear();
        for (int times = 0; heard == "ACK 2" && times < 6; times++)
        {
            heard = _server.Hear();
        }

        Assert.Equal("ACK 3", heard);
        Assert.Equal(16, (await fetch).Bytes);
    }

    // RFC 7440 section 3: the server may grant less, and without its word there is no window.
    [Theory]
    [InlineData("2", "ACK 2")]
    [InlineData(null, "ACK 1")]
    public async Task A_smaller_window_than_was_asked_for_is_taken(string? granted, string first)
    {
        Task<TftpFetch> fetch = Begin(3, out _);
        Agree(granted is null ? ["blksize", "8"] : ["blksize", "8", "windowsize", granted]);
        SendBlocks(1);
        if (granted is not null)
        {
            SendBlocks(2);
        }

        Assert.Equal(first, _server.Hear());
        Send([0, 3, 0, (byte)(granted is null ? 2 : 3)]);
        _server.Hear();
        Assert.Equal(granted is null ? 1 : 2, (await fetch).WindowSize);
    }

    [Theory]
    [InlineData("4")]
    [InlineData("0")]
    [InlineData("x")]
    public async Task A_window_beyond_what_was_asked_for_is_refused_with_error_8(string granted)
    {
        Task<TftpFetch> fetch = Begin(3, out _);
        Send(RawPeer.Request(6, "windowsize", granted));
        Assert.Equal("ERROR 8 option not asked for", _server.Hear());
        Assert.Equal(ProblemId.TftpMalformed, (await Assert.ThrowsAsync<PoeOpsException>(() => fetch)).Problem.Id);
    }

    [Fact]
    public async Task An_acknowledgement_of_options_that_comes_again_is_answered_again()
    {
        Task<TftpFetch> fetch = Begin(3, out _);
        Agree("blksize", "8");
        Agree("blksize", "8");
        Send([0, 3, 0, 1]);
        Assert.Equal("ACK 1", _server.Hear());
        Assert.Equal(0, (await fetch).Bytes);
    }

    // SHA-256 of "abc": FIPS 180-4, the one-block example that NIST publishes with it.
    [Theory]
    [InlineData("abc", null, "BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD", null, null)]
    [InlineData("abd", null, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "not the digest that was expected", ProblemId.ImageWrongDigest)]
    [InlineData("abc", 3L, null, null, null)]
    [InlineData("abcd", 3L, null, "not the size that was expected", ProblemId.ImageWrongSize)]
    public async Task What_is_not_expected_is_told_to_the_server_before_it_takes_it_for_a_success(string sent, long? bytes, string? digest, string? told, ProblemId? id)
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, ExpectedBytes = bytes, ExpectedSha256 = digest }, out _);
        Send([0, 3, 0, 1, .. sent.Select(letter => (byte)letter)]);
        if (told is null)
        {
            Assert.Equal("ACK 1", _server.Hear());
            Assert.Equal(3, (await fetch).Bytes);
            return;
        }

        Assert.Equal("ERROR 0 " + told, _server.Hear());
        Assert.Equal(id, (await Assert.ThrowsAsync<PoeOpsException>(() => fetch)).Problem.Id);
        Assert.Empty(_into.ToArray());
    }

    [Fact]
    public async Task A_size_that_is_announced_and_not_expected_is_refused_before_the_file_comes()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { ExpectedBytes = 3 }, out _);
        Send(RawPeer.Request(6, "tsize", "4"));
        Assert.Equal("ERROR 0 not the size that was expected", _server.Hear());
        Problem problem = (await Assert.ThrowsAsync<PoeOpsException>(() => fetch)).Problem;
        Assert.Equal(
            (ProblemId.ImageWrongSize, $"The file server {_server.Endpoint}, asked for 'a.img', has a file of 4 octets, and 3 are expected."), (problem.Id, problem.Sentence));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(65536)]
    public void A_window_that_the_standard_does_not_have_is_not_asked_for(int windowSize) =>
        Assert.Throws<ArgumentOutOfRangeException>(
            () => TftpClient.Fetch(_server.Endpoint, "a.img", _into, new TftpClientOptions { WindowSize = windowSize }, CancellationToken.None));

    private Task<TftpFetch> Begin(int windowSize, out string asked, int timeoutSeconds = 200) =>
        Begin(new TftpClientOptions { BlockSize = 8, WindowSize = windowSize, AskSize = false, TimeoutSeconds = timeoutSeconds }, out asked);

    // On a thread of its own, so that a small thread pool does not keep it waiting.
    private Task<TftpFetch> Begin(TftpClientOptions options, out string asked)
    {
        Task<TftpFetch> fetch = Task.Factory.StartNew(
            () => TftpClient.Fetch(_server.Endpoint, "a.img", _into, options, CancellationToken.None), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        asked = _server.Hear();
        return fetch;
    }

    private void Agree(params string[] options)
    {
        Send(RawPeer.Request(6, options));
        Assert.Equal("ACK 0", _server.Hear());
    }

    private void SendBlocks(params int[] blocks)
    {
        foreach (int block in blocks)
        {
            Send([0, 3, 0, (byte)block, .. Enumerable.Repeat((byte)block, 8)]);
        }
    }

    private void Send(byte[] packet) => _server.Send(packet, _server.From);
}
