using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The client against a server that does exactly what the test says.</summary>
public sealed class TftpClientTests : IDisposable
{
    private readonly RawPeer _door = new();
    private readonly RawPeer _server = new();
    private readonly MemoryStream _into = new();
    private readonly CancellationTokenSource _cancel = new();
    private IPEndPoint _client = new(IPAddress.None, 0);

    public void Dispose()
    {
        _door.Dispose();
        _server.Dispose();
        _into.Dispose();
        _cancel.Dispose();
    }

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
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", _server.Hear());
        Assert.Equal((513, 512), ((await fetch).Bytes, (await fetch).BlockSize));
        Assert.Equal(FileBench.Digest([.. new byte[512], 7]), (await fetch).Sha256);
    }

    // RFC 2348: the server may choose a smaller block than was asked for. RFC 2347: ACK 0 answers the acknowledgement of options.
    [Fact]
    public async Task A_smaller_block_than_was_asked_for_is_taken()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 1428, AskTimeout = true });
        Send(Options("tsize", "17", "BLKSIZE", "16", "timeout", "1"));
        Assert.Equal("ACK 0", _server.Hear());
        Send([0, 3, 0, 1, .. new byte[16]]);
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", _server.Hear());
        Assert.Equal((17, 16), ((await fetch).Bytes, (await fetch).BlockSize));
    }

    // RFC 2347: what was not asked for ends the transfer with error 8. RFC 2348: at most what was asked for, at least 8. RFC 2349: the very time that was asked for.
    [Theory]
    [InlineData("windowsize", "4")]
    [InlineData("blksize", "1429")]
    [InlineData("blksize", "7")]
    [InlineData("blksize", "-8")]
    [InlineData("blksize", "")]
    [InlineData("timeout", "2")]
    [InlineData("timeout", "256")]
    [InlineData("tsize", "1e3")]
    [InlineData("tsize", "99999999999999999999")]
    public async Task An_option_beyond_what_was_asked_for_is_refused_with_error_8(string name, string value)
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 1428, AskTimeout = true });
        Send(Options(name, value));
        Assert.Equal("ERROR 8 option not asked for", _server.Hear());
        Problem problem = await Problem(fetch);
        Assert.Equal(
            $"The file server {_door.Endpoint}, asked for 'a.img', answered with the option {name}={value}, which was not asked for so.", problem.Sentence);
        Assert.Equal(ProblemId.TftpMalformed, problem.Id);
    }

    [Theory]
    [InlineData("timeout", "1")]
    [InlineData("blksize", "512")]
    [InlineData("tsize", "17")]
    public async Task An_option_that_was_not_asked_for_at_all_is_refused_with_error_8(string name, string value)
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false });
        Send(Options(name, value));
        Assert.Equal("ERROR 8 option not asked for", _server.Hear());
        Assert.Equal(ProblemId.TftpMalformed, (await Problem(fetch)).Id);
    }

    // RFC 2347: after an error 8 the client may try again without options.
    [Fact]
    public async Task A_server_that_refuses_options_is_asked_without_them_once()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 1428, AskTimeout = true });
        Send([0, 5, 0, 8, 0]);
        Assert.Equal("ReadRequest a.img octet ", _door.Hear());
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", _server.Hear());
        Assert.Equal((513, 512), ((await fetch).Bytes, (await fetch).BlockSize));
    }

    [Fact]
    public async Task A_server_that_refuses_the_request_without_options_too_is_left()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512 });
        Send([0, 5, 0, 8, 0]);
        _door.Hear();
        Send([0, 5, 0, 8, 0]);
        Assert.Equal(ProblemId.TftpRefused, (await Problem(fetch)).Id);
    }

    // RFC 1350 section 4: a packet from another source is answered with error 5 and does not disturb.
    [Fact]
    public async Task A_stranger_is_told_error_5_and_the_transfer_finishes()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", _server.Hear());
        using RawPeer stranger = new();
        foreach (byte[] packet in (byte[][])[[0, 3, 0, 2, 9, 9], [0, 4, 0, 0], [9]])
        {
            // An error is never answered (section 7): two ports that did would go on for ever.
            stranger.Send([0, 5, 0, 0, 0], _client);
            stranger.Send(packet, _client);
            Assert.Equal("ERROR 5 unknown transfer ID", stranger.Hear());
            Assert.False(stranger.HasMore);
        }

        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", _server.Hear());
        Assert.Equal(FileBench.Digest([.. new byte[512], 7]), (await fetch).Sha256);
    }

    // RFC 1350 section 2: a block that comes twice is acknowledged again, and taken once.
    [Fact]
    public async Task A_block_that_comes_twice_is_taken_once()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, TimeoutSeconds = 200 });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 3, 1, 2, 3]);
        Send([0, 3, 0, 2, 7]);
        Assert.Equal("ACK 2", _server.Hear());
        Assert.Equal(513, (await fetch).Bytes);
        Assert.Equal([.. new byte[512], 7], _into.ToArray());
    }

    [Fact]
    public async Task A_request_and_an_acknowledgement_that_nobody_answers_are_sent_again()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false }, out string asked);
        Assert.Equal(asked, _door.Hear());
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", _server.Hear());
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 2]);
        Assert.Equal("ACK 2", Behind("ACK 1"));
        Assert.Equal(512, (await fetch).Bytes);
    }

    // RFC 1350 section 6: who acknowledged the last block stays a while, for the case that the acknowledgement was lost.
    [Fact]
    public async Task A_last_block_that_comes_again_is_acknowledged_again()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, TimeoutSeconds = 20 });
        Send([0, 3, 0, 1, 7]);
        Assert.Equal("ACK 1", _server.Hear());
        Assert.Equal(1, (await fetch).Bytes);
        Send([0, 3, 0, 1, 7]);
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 1, 7]);
        Assert.Equal("ACK 1", _server.Hear());
        await _cancel.CancelAsync();
    }

    [Fact]
    public async Task A_refusal_is_told_with_its_code_and_its_text_escaped()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions());
        Send([0, 5, 0, 1, (byte)'n', (byte)'o', 27, (byte)'[', (byte)'2', (byte)'J', 10, 0]);
        Problem problem = await Problem(fetch);
        Assert.Equal(ProblemId.TftpRefused, problem.Id);
        Assert.Equal(
            $@"The file server {_door.Endpoint}, asked for 'a.img', refused with error 1 'no\u001b[2J\n'. Check the file's name and the server's rules.", problem.ToString());
    }

    [Fact]
    public async Task A_silent_server_is_left_at_the_deadline()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { Deadline = TimeSpan.FromSeconds(1) });
        Problem problem = await Problem(fetch);
        Assert.Equal(ProblemId.TftpTimedOut, problem.Id);
        Assert.Equal($"The file server {_door.Endpoint}, asked for 'a.img', did not send the whole file within 00:00:01.", problem.Sentence);
    }

    [Fact]
    public async Task A_cancelled_transfer_ends_and_the_server_is_told()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, TimeoutSeconds = 200 });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", _server.Hear());
        await _cancel.CancelAsync();
        Assert.Equal("ERROR 0 cancelled", _server.Hear());
        Assert.Equal(ProblemId.TftpTimedOut, (await Problem(fetch)).Id);
    }

    [Fact]
    public async Task A_block_larger_than_agreed_ends_the_transfer()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false });
        Send([0, 3, 0, 1, .. new byte[513]]);
        Assert.Equal("ERROR 4 block larger than agreed", _server.Hear());
        Assert.Equal(
            (ProblemId.TftpMalformed, $"The file server {_door.Endpoint}, asked for 'a.img', sent a block of 513 octets where 512 were agreed."),
            await IdAndSentence(fetch));
        Assert.Empty(_into.ToArray());
    }

    [Theory]
    [InlineData("2")]
    [InlineData("4")]
    public async Task A_file_of_another_size_than_was_announced_is_not_taken_for_whole(string size)
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions());
        Send(Options("tsize", size));
        Assert.Equal("ACK 0", _server.Hear());
        Send([0, 3, 0, 1, 1, 2, 3]);
        Assert.Equal("ERROR 0 size is not as announced", _server.Hear());
        Assert.Equal(
            (ProblemId.TftpMalformed, $"The file server {_door.Endpoint}, asked for 'a.img', said the file has {size} octets and sent 3."), await IdAndSentence(fetch));
    }

    [Fact]
    public async Task A_file_that_is_announced_too_large_is_refused_before_it_comes()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { MostBytes = 1000 });
        Send(Options("tsize", "1001"));
        Assert.Equal("ERROR 3 file too large", _server.Hear());
        Assert.Equal(ProblemId.TftpFileTooLarge, (await Problem(fetch)).Id);
    }

    [Fact]
    public async Task A_file_that_turns_out_too_large_is_refused_while_it_comes()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, MostBytes = 1000 });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", _server.Hear());
        Send([0, 3, 0, 2, .. new byte[512]]);
        Assert.Equal("ERROR 3 file too large", _server.Hear());
        Assert.Equal(ProblemId.TftpFileTooLarge, (await Problem(fetch)).Id);
        Assert.Equal(512, _into.ToArray().Length);
    }

    [Fact]
    public async Task Answers_that_are_no_packets_are_told_as_such()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { Deadline = TimeSpan.FromSeconds(5) });
        Send([9, 9, 9, 9]);
        Send([0, 6, 65]);
        Assert.Equal(
            (ProblemId.TftpMalformed, $"The file server {_door.Endpoint}, asked for 'a.img', sent 2 packets that cannot be read, and no other."),
            await IdAndSentence(fetch));
    }

    [Theory]
    [InlineData(7, 1)]
    [InlineData(65465, 1)]
    [InlineData(512, 0)]
    [InlineData(512, 256)]
    public void Options_that_the_standards_do_not_have_are_not_asked_for(int blockSize, int timeout) =>
        Assert.Throws<ArgumentOutOfRangeException>(
            () => TftpClient.Fetch(_door.Endpoint, "a.img", _into, new TftpClientOptions { BlockSize = blockSize, TimeoutSeconds = timeout }, CancellationToken.None));

    private Task<TftpFetch> Begin(TftpClientOptions options) => Begin(options, out _);

    // On a thread of its own, so that a small thread pool does not keep it waiting.
    private Task<TftpFetch> Begin(TftpClientOptions options, out string asked)
    {
        Task<TftpFetch> fetch = Task.Factory.StartNew(
            () => TftpClient.Fetch(_door.Endpoint, "a.img", _into, options, _cancel.Token), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        asked = _door.Hear();
        _client = _door.From;
        return fetch;
    }

    private void Send(byte[] packet) => _server.Send(packet, _client);

    private static byte[] Options(params string[] words) => RawPeer.Request(6, words);

    private static async Task<Problem> Problem(Task<TftpFetch> fetch) =>
        (await Assert.ThrowsAsync<PoeOpsException>(() => fetch.WaitAsync(FileBench.Patience))).Problem;

    private static async Task<(ProblemId Id, string Sentence)> IdAndSentence(Task<TftpFetch> fetch)
    {
        Problem problem = await Problem(fetch);
        return (problem.Id, problem.Sentence);
    }

    private string Behind(string again)
    {
        string heard = _server.Hear();
        for (int times = 0; heard == again && times < 6; times++)
        {
            heard = _server.Hear();
        }

        return heard;
    }
}
