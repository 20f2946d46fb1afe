using System.Globalization;
using System.Net;
using PoeOps.Images;
using Xunit.Abstractions;

namespace PoeOps.Core.Tests.Images;

/// <summary>
/// Sizes at which transfers break, with programs by others: their clients from our server, and our client from their servers. What each one fetched
/// has the digest of what was served.
/// </summary>
public sealed class TftpInteropTests : IDisposable
{
    private readonly FileBench _bench = new();
    private readonly ITestOutputHelper _output;

    public TftpInteropTests(ITestOutputHelper output) => _output = output;

    public static TheoryData<long, int> All => TransferSizes.All;

    public static TheoryData<long, int> From64 => TransferSizes.From64;

    public static TheoryData<long, int> Plain => TransferSizes.Plain;

    public void Dispose() => _bench.Dispose();

    private string Port => _bench.Endpoint.Port.ToString(CultureInfo.InvariantCulture);

    // This client asks for no option, so these are plain transfers of RFC 1350.
    [OtherProgramTheory("tftp")]
    [MemberData(nameof(Plain))]
    public void Tftp_fetches(long bytes, int blockSize)
    {
        _output.WriteLine(TransferSizes.Told(Plain));
        string digest = Offer(bytes);
        (_, string printed) = OtherProgram.Run("tftp", _bench.Folder.FullPath, "-m", "binary", "127.0.0.1", Port, "-c", "get", "a.img", "got");
        AssertServed(bytes, blockSize, 1, digest, printed);
    }

    [OtherProgramTheory("atftp")]
    [MemberData(nameof(All))]
    public void Atftp_fetches(long bytes, int blockSize)
    {
        _output.WriteLine(TransferSizes.Told(All));
        string digest = Offer(bytes);
        AssertServed(bytes, blockSize, 1, digest, Atftp($"blksize {blockSize}", "tsize 0"));
    }

    // RFC 7440, by another's hand.
    [OtherProgramTheory("atftp")]
    [InlineData(0, 512, 4)]
    [InlineData(8 * 1428, 1428, 8)]
    [InlineData(500_000, 1428, 16)]
    [InlineData(3_000_000, 512, 64)]
    public void Atftp_fetches_in_windows(long bytes, int blockSize, int windowSize)
    {
        string digest = Offer(bytes);
        AssertServed(bytes, blockSize, windowSize, digest, Atftp($"blksize {blockSize}", $"windowsize {windowSize}"));
    }

    [OtherProgramTheory("curl")]
    [MemberData(nameof(All))]
    public void Curl_fetches(long bytes, int blockSize)
    {
        _output.WriteLine(TransferSizes.Told(All));
        string digest = Offer(bytes);
        if (bytes == 0)
        {
            // Of nothing it makes no file.
            _bench.Folder.Write("got", []);
        }

        string size = blockSize.ToString(CultureInfo.InvariantCulture);
        (int exitCode, string printed) = OtherProgram.Run(
            "curl", _bench.Folder.FullPath, "--silent", "--show-error", "--noproxy", "*", "--tftp-blksize", size, "--output", "got", $"tftp://127.0.0.1:{Port}/a.img");
        Assert.True(exitCode == 0, printed);
        AssertServed(bytes, blockSize, 1, digest, printed);
    }

    [Theory]
    [MemberData(nameof(All))]
    public void Our_client_fetches(long bytes, int blockSize)
    {
        _output.WriteLine(TransferSizes.Told(All));
        string digest = Offer(bytes);
        FetchTo(_bench.Endpoint, new TftpClientOptions { BlockSize = blockSize }, digest, bytes);
        AssertServed(bytes, blockSize, 1, digest, "nothing");
    }

    [OtherServerTheory]
    [MemberData(nameof(All))]
    public void Our_client_fetches_from_tftpd_hpa(long bytes, int blockSize) => FetchFrom("in.tftpd", bytes, blockSize, 1);

    [OtherServerTheory]
    [MemberData(nameof(From64))]
    public void Our_client_fetches_from_atftpd(long bytes, int blockSize) => FetchFrom("atftpd", bytes, blockSize, 1);

    [OtherServerTheory]
    [InlineData(0, 512, 4)]
    [InlineData(8 * 1428, 1428, 8)]
    [InlineData(500_000, 1428, 16)]
    [InlineData(3_000_000, 512, 64)]
    public void Our_client_fetches_from_atftpd_in_windows(long bytes, int blockSize, int windowSize) => FetchFrom("atftpd", bytes, blockSize, windowSize);

    // It refuses so small a block with error 8, and is asked again without options (RFC 2347).
    [OtherServerTheory]
    [InlineData(5000)]
    public void Our_client_asks_atftpd_without_options_where_it_refuses_them(long bytes)
    {
        string digest = _bench.Write("a.img", bytes);
        using OtherServer server = new("atftpd", _bench.Folder.FullPath);
        Assert.Equal(512, FetchTo(server.Endpoint, new TftpClientOptions { BlockSize = 8, WindowSize = 4 }, digest, bytes).BlockSize);
    }

    [OtherServerTheory]
    [InlineData("in.tftpd", "refused with error 1 'File not found'")]
    [InlineData("atftpd", "refused with error 1 'File not found'")]
    public void Our_client_is_refused_by_them_in_their_words(string program, string told)
    {
        using OtherServer server = new(program, _bench.Folder.FullPath);
        Problem problem = Assert.Throws<PoeOpsException>(
            () => TftpClient.Fetch(server.Endpoint, "b.img", Stream.Null, new TftpClientOptions(), CancellationToken.None)).Problem;
        Assert.Equal((ProblemId.TftpRefused, $"The file server {server.Endpoint}, asked for 'b.img', {told}."), (problem.Id, problem.Sentence));
    }

    private string Offer(long bytes)
    {
        string digest = _bench.Write("a.img", bytes);
        _ = _bench.Server.Serve("a.img", _bench.Folder.Path("a.img"), IPAddress.Loopback);
        return digest;
    }

    private string Atftp(params string[] options)
    {
        string[] asked = [.. options.SelectMany(option => (string[])["--option", option])];
        (int exitCode, string printed) = OtherProgram.Run("atftp", _bench.Folder.FullPath, [.. asked, "-g", "-r", "a.img", "-l", "got", "127.0.0.1", Port]);
        Assert.True(exitCode == 0, printed);
        return printed;
    }

    private void FetchFrom(string program, long bytes, int blockSize, int windowSize)
    {
        string digest = _bench.Write("a.img", bytes);
        using OtherServer server = new(program, _bench.Folder.FullPath);
        // From 2 GiB on atftpd tells a size below nothing, which our client does not take.
        bool askSize = program != "atftpd" || bytes <= int.MaxValue;
        TftpFetch told = FetchTo(server.Endpoint, new TftpClientOptions { BlockSize = blockSize, WindowSize = windowSize, AskSize = askSize }, digest, bytes);
        Assert.Equal((blockSize, windowSize), (told.BlockSize, told.WindowSize));
    }

    private TftpFetch FetchTo(IPEndPoint server, TftpClientOptions options, string digest, long bytes)
    {
        using FileStream got = File.Create(_bench.Folder.Path("got"));
        TftpFetch told = TftpClient.Fetch(
            server, "a.img", got, options with { MostBytes = long.MaxValue, ExpectedBytes = bytes, ExpectedSha256 = digest, Deadline = TimeSpan.FromMinutes(15) }, CancellationToken.None);
        Assert.Equal((bytes, digest), (told.Bytes, told.Sha256));
        return told;
    }

    private void AssertServed(long bytes, int blockSize, int windowSize, string digest, string printed)
    {
        TftpTransfer transfer = _bench.Next();
        Assert.True(transfer.Complete, $"{transfer.Outcome} The client printed: {printed}");
        Assert.Equal(
            (bytes, TransferSizes.Blocks(bytes, blockSize), blockSize, windowSize), (transfer.Bytes, transfer.Blocks, transfer.BlockSize, transfer.WindowSize));
        Assert.Equal(digest, _bench.DigestOf("got"));
    }
}
