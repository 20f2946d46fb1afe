using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>What the client does not take from a server, and how that is told.</summary>
public sealed class TftpClientTroubleTests : ClientTests
{
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
        Assert.Equal("ERROR 8 option not asked for", Server.Hear());
        Problem problem = await Problem(fetch);
        Assert.Equal(
            $"The file server {Door.Endpoint}, asked for 'a.img', answered with the option {name}={value}, which was not asked for so.", problem.Sentence);
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
        Assert.Equal("ERROR 8 option not asked for", Server.Hear());
        Assert.Equal(ProblemId.TftpMalformed, (await Problem(fetch)).Id);
    }

    [Fact]
    public async Task A_refusal_is_told_with_its_code_and_its_text_escaped()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions());
        Send([0, 5, 0, 1, (byte)'n', (byte)'o', 27, (byte)'[', (byte)'2', (byte)'J', 10, 0]);
        Problem problem = await Problem(fetch);
        Assert.Equal(ProblemId.TftpRefused, problem.Id);
        Assert.Equal(
            $@"The file server {Door.Endpoint}, asked for 'a.img', refused with error 1 'no\u001b[2J\n'. Check the file's name and the server's rules.", problem.ToString());
    }

    [Fact]
    public async Task A_silent_server_is_left_at_the_deadline()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { Deadline = TimeSpan.FromSeconds(1) });
        Problem problem = await Problem(fetch);
        Assert.Equal(ProblemId.TftpTimedOut, problem.Id);
        Assert.Equal($"The file server {Door.Endpoint}, asked for 'a.img', did not send the whole file within 00:00:01.", problem.Sentence);
    }

    [Fact]
    public async Task A_block_larger_than_agreed_ends_the_transfer()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false });
        Send([0, 3, 0, 1, .. new byte[513]]);
        Assert.Equal("ERROR 4 block larger than agreed", Server.Hear());
        Assert.Equal(
            (ProblemId.TftpMalformed, $"The file server {Door.Endpoint}, asked for 'a.img', sent a block of 513 octets where 512 were agreed."),
            await IdAndSentence(fetch));
        Assert.Empty(Into.ToArray());
    }

    [Theory]
    [InlineData("2")]
    [InlineData("4")]
    public async Task A_file_of_another_size_than_was_announced_is_not_taken_for_whole(string size)
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions());
        Send(Options("tsize", size));
        Assert.Equal("ACK 0", Server.Hear());
        Send([0, 3, 0, 1, 1, 2, 3]);
        Assert.Equal("ERROR 0 size is not as announced", Server.Hear());
        Assert.Equal(
            (ProblemId.TftpMalformed, $"The file server {Door.Endpoint}, asked for 'a.img', said the file has {size} octets and sent 3."), await IdAndSentence(fetch));
    }

    [Fact]
    public async Task A_file_that_is_announced_too_large_is_refused_before_it_comes()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { MostBytes = 1000 });
        Send(Options("tsize", "1001"));
        Assert.Equal("ERROR 3 file too large", Server.Hear());
        Assert.Equal(ProblemId.TftpFileTooLarge, (await Problem(fetch)).Id);
    }

    [Fact]
    public async Task A_file_that_turns_out_too_large_is_refused_while_it_comes()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { BlockSize = 512, AskSize = false, MostBytes = 1000 });
        Send([0, 3, 0, 1, .. new byte[512]]);
        Assert.Equal("ACK 1", Server.Hear());
        Send([0, 3, 0, 2, .. new byte[512]]);
        Assert.Equal("ERROR 3 file too large", Server.Hear());
        Assert.Equal(ProblemId.TftpFileTooLarge, (await Problem(fetch)).Id);
        Assert.Equal(512, Into.ToArray().Length);
    }

    [Fact]
    public async Task Answers_that_are_no_packets_are_told_as_such()
    {
        Task<TftpFetch> fetch = Begin(new TftpClientOptions { Deadline = TimeSpan.FromSeconds(5) });
        Send([9, 9, 9, 9]);
        Send([0, 6, 65]);
        Assert.Equal(
            (ProblemId.TftpMalformed, $"The file server {Door.Endpoint}, asked for 'a.img', sent 2 packets that cannot be read, and no other."),
            await IdAndSentence(fetch));
    }

    [Theory]
    [InlineData(7, 1)]
    [InlineData(65465, 1)]
    [InlineData(512, 0)]
    [InlineData(512, 256)]
    public void Options_that_the_standards_do_not_have_are_not_asked_for(int blockSize, int timeout) =>
        Assert.Throws<ArgumentOutOfRangeException>(
            () => TftpClient.Fetch(Door.Endpoint, "a.img", Into, new TftpClientOptions { BlockSize = blockSize, TimeoutSeconds = timeout }, CancellationToken.None));
}
