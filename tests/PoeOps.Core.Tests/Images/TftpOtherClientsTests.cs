using System.Globalization;
using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The server against clients that other people wrote: they say what the RFCs mean in practice.</summary>
public sealed class TftpOtherClientsTests : IDisposable
{
    private readonly FileBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private string Port => _bench.Endpoint.Port.ToString(CultureInfo.InvariantCulture);

    // It asks for no option unless told to, so these are plain RFC 1350 transfers.
    [OtherProgramTheory("tftp")]
    [InlineData(0, 1)]
    [InlineData(1, 1)]
    [InlineData(511, 1)]
    [InlineData(512, 2)]
    [InlineData(513, 2)]
    [InlineData(70_000, 137)]
    public void Tftp_fetches_a_file(int count, int blocks)
    {
        byte[] octets = _bench.Offer("a.img", count);
        (_, string printed) = OtherProgram.Run("tftp", _bench.Folder.FullPath, "-m", "binary", "127.0.0.1", Port, "-c", "get", "a.img", "got");
        AssertFetched(octets, blocks, 512, printed);
    }

    // 65536 blocks of 512 octets: the number goes from 65535 to 0, which no RFC says and this client does too.
    [OtherProgramTheory("tftp")]
    [InlineData(33_554_432, 65_537)]
    public void Tftp_fetches_a_file_whose_block_numbers_wrap(int count, int blocks) => Tftp_fetches_a_file(count, blocks);

    [OtherProgramTheory("tftp")]
    [InlineData("binary", "get", "b.img got", "no file of that name is offered")]
    [InlineData("ascii", "get", "a.img got", "mode netascii would change an image; ask for octet")]
    [InlineData("binary", "put", "a.img new.img", "nothing can be written here")]
    public void Tftp_shows_why_it_is_refused(string mode, string verb, string files, string reason)
    {
        byte[] octets = _bench.Offer("a.img", 600);
        (_, string printed) = OtherProgram.Run("tftp", _bench.Folder.FullPath, ["-m", mode, "127.0.0.1", Port, "-c", verb, .. files.Split(' ')]);
        Assert.Contains(reason, printed);
        Assert.Equal($"Refused: {reason}.", _bench.Next().Outcome);
        Assert.Equal(octets, File.ReadAllBytes(_bench.Folder.Path("a.img")));
    }

    [OtherProgramTheory("atftp")]
    [InlineData(0, 1428, 1)]
    [InlineData(1, 1428, 1)]
    [InlineData(512, 512, 2)]
    [InlineData(1427, 1428, 1)]
    [InlineData(1428, 1428, 2)]
    [InlineData(100_000, 1428, 71)]
    [InlineData(300_000, 65_464, 5)]
    [InlineData(600_000, 8, 75_001)]
    public void Atftp_fetches_a_file_with_options(int count, int blockSize, int blocks)
    {
        byte[] octets = _bench.Offer("a.img", count);
        (int exitCode, string printed) = OtherProgram.Run(
            "atftp", _bench.Folder.FullPath, "--option", $"blksize {blockSize}", "--option", "tsize 0", "--option", "timeout 5", "-g", "-r", "a.img", "-l", "got", "127.0.0.1", Port);
        Assert.True(exitCode == 0, printed);
        AssertFetched(octets, blocks, blockSize, printed);
    }

    [OtherProgramTheory("curl")]
    [InlineData(1, 512, 1)]
    [InlineData(512, 512, 2)]
    [InlineData(1428, 1428, 2)]
    [InlineData(100_000, 1428, 71)]
    [InlineData(300_000, 65_464, 5)]
    [InlineData(600_000, 8, 75_001)]
    public void Curl_fetches_a_file_with_options(int count, int blockSize, int blocks)
    {
        byte[] octets = _bench.Offer("a.img", count);
        string size = blockSize.ToString(CultureInfo.InvariantCulture);
        (int exitCode, string printed) = Curl("--tftp-blksize", size, "--output", "got", $"tftp://127.0.0.1:{Port}/a.img");
        Assert.True(exitCode == 0, printed);
        AssertFetched(octets, blocks, blockSize, printed);
    }

    [OtherProgramTheory("curl")]
    [InlineData(100_000, 196)]
    public void Curl_fetches_a_file_without_options(int count, int blocks)
    {
        byte[] octets = _bench.Offer("a.img", count);
        (int exitCode, string printed) = Curl("--tftp-no-options", "--output", "got", $"tftp://127.0.0.1:{Port}/a.img");
        Assert.True(exitCode == 0, printed);
        AssertFetched(octets, blocks, 512, printed);
    }

    // curl's exit codes 68, 69 and 71 are TFTP's errors 1, 2 and 4 (curl's manual, "Exit codes").
    [OtherProgramTheory("curl")]
    [InlineData(68, "b.img")]
    [InlineData(68, "..%2Fa.img")]
    [InlineData(68, "%2Fetc%2Fpasswd")]
    [InlineData(69, "other.img")]
    [InlineData(71, "a.img;mode=netascii")]
    public void Curl_is_refused_with_the_code_that_fits(int exitCode, string file)
    {
        _bench.Offer("a.img", 600);
        _bench.Offer("other.img", 600, IPAddress.Parse("192.0.2.1"));
        Assert.Equal(exitCode, Curl("--output", "got", $"tftp://127.0.0.1:{Port}/{file}").ExitCode);
        Assert.False(_bench.Next().Complete);
    }

    [OtherProgramTheory("curl")]
    [InlineData(69)]
    public void Curl_writes_nothing(int exitCode)
    {
        _bench.Folder.Write("mine.img", "abc");
        Assert.Equal(exitCode, Curl("--upload-file", "mine.img", $"tftp://127.0.0.1:{Port}/new.img").ExitCode);
        Assert.Equal("Refused: nothing can be written here.", _bench.Next().Outcome);
        Assert.False(File.Exists(_bench.Folder.Path("new.img")));
    }

    private (int ExitCode, string Printed) Curl(params string[] arguments) =>
        OtherProgram.Run("curl", _bench.Folder.FullPath, ["--silent", "--show-error", "--noproxy", "*", "--max-time", "120", .. arguments]);

    private void AssertFetched(byte[] octets, int blocks, int blockSize, string printed)
    {
        TftpTransfer transfer = _bench.Next();
        Assert.True(transfer.Complete, transfer.Outcome + " " + printed);
        Assert.Equal((octets.LongLength, (long)blocks, blockSize), (transfer.Bytes, transfer.Blocks, transfer.BlockSize));
        Assert.Equal(FileBench.Digest(octets), FileBench.Digest(File.ReadAllBytes(_bench.Folder.Path("got"))));
    }
}
