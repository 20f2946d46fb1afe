using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

public sealed class TftpTests : IDisposable
{
    private readonly ScratchFolder _folder = new();
    private readonly TftpServer _server = new(new TftpServerOptions());

    public TftpTests() => _server.Start();

    public void Dispose()
    {
        _server.Dispose();
        _folder.Dispose();
    }

    // RFC 1350 section 5: opcode, file name, NUL, mode, NUL. RFC 2347: option name, NUL, value, NUL. RFC 2348 and 2349: blksize and tsize.
    [Fact]
    public void A_request_is_written_as_the_standards_draw_it()
    {
        byte[] written = new TftpPacket(TftpOpcode.ReadRequest) { File = "a.img", Mode = "octet", Options = [new("blksize", "1428"), new("tsize", "0")] }.Write();
        Assert.Equal("\0\u0001a.img\0octet\0blksize\01428\0tsize\00\0"u8.ToArray(), written);
    }

    // RFC 1350 section 5: DATA is 3 and a block number, ACK is 4 and a block number, ERROR is 5, a code, a text and NUL. RFC 2347: OACK is 6.
    [Fact]
    public void The_other_packets_are_written_as_the_standards_draw_them()
    {
        Assert.Equal([0, 3, 1, 2, 9], new TftpPacket(TftpOpcode.Data) { Block = 258, Data = new([9]) }.Write());
        Assert.Equal([0, 4, 255, 255], new TftpPacket(TftpOpcode.Acknowledgement) { Block = 65535 }.Write());
        Assert.Equal("\0\u0005\0\u0001no\0"u8.ToArray(), new TftpPacket(TftpOpcode.Error) { Code = TftpErrorCode.FileNotFound, Text = "no" }.Write());
        Assert.Equal("\0\u0006tsize\03\0"u8.ToArray(), new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = [new("tsize", "3")] }.Write());
    }

    [Theory]
    [InlineData(0, 512)]
    [InlineData(1, 512)]
    [InlineData(511, 512)]
    [InlineData(512, 512)]
    [InlineData(513, 512)]
    [InlineData(2856, 1428)]
    [InlineData(70000, 65464)]
    [InlineData(530000, 8)]
    public void What_is_fetched_is_what_is_served(int bytes, int blockSize)
    {
        byte[] file = [.. Enumerable.Range(0, bytes).Select(i => (byte)(i * 31 ^ i >> 8))];
        using IDisposable offer = _server.Serve("a.img", _folder.Write("a.img", file), IPAddress.Loopback);
        using MemoryStream into = new();
        TftpFetch fetch = TftpClient.Fetch(_server.Endpoint!, "a.img", into, new TftpClientOptions { BlockSize = blockSize }, CancellationToken.None);
        Assert.Equal(file, into.ToArray());
        Assert.Equal((bytes, blockSize, Convert.ToHexStringLower(SHA256.HashData(file))), (fetch.Bytes, fetch.BlockSize, fetch.Sha256));
    }

    // RFC 1350 appendix: 1 is file not found, 2 is access violation, 4 is illegal operation.
    [Theory]
    [InlineData("\0\u0001b.img\0octet\0", 1)]
    [InlineData("\0\u0001../a.img\0octet\0", 1)]
    [InlineData("\0\u0001other.img\0octet\0", 2)]
    [InlineData("\0\u0002a.img\0octet\0", 2)]
    [InlineData("\0\u0001a.img\0netascii\0", 4)]
    [InlineData("\0\u0001a.img", 4)]
    public void What_is_not_offered_is_refused_with_its_code(string request, int code)
    {
        string path = _folder.Write("a.img", [1, 2, 3]);
        using IDisposable offer = _server.Serve("a.img", path, IPAddress.Loopback);
        using IDisposable other = _server.Serve("other.img", path, IPAddress.Parse("192.0.2.1"));
        using Socket socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 20000 };
        socket.SendTo([.. request.Select(c => (byte)c)], _server.Endpoint!);
        byte[] answer = new byte[600];
        int count = socket.Receive(answer);
        Assert.Equal((TftpOpcode.Error, (TftpErrorCode)code), (TftpPacket.Read(answer, count)!.Opcode, TftpPacket.Read(answer, count)!.Code));
    }

    [Fact]
    public void Twenty_thousand_random_packets_are_no_packets_and_stop_nothing()
    {
        Random random = new(7);
        byte[] bytes = new byte[700];
        for (int i = 0; i < 20000; i++)
        {
            random.NextBytes(bytes);
            bytes[0] = (byte)(random.Next(4) == 0 ? random.Next(256) : 0);
            bytes[1] = (byte)random.Next(8);
            _ = TftpPacket.Read(bytes, random.Next(bytes.Length + 1));
        }

        What_is_fetched_is_what_is_served(513, 512);
    }

    // FIPS 180-2 appendix B.1: SHA-256 of "abc".
    [Theory]
    [InlineData("abc", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", null)]
    [InlineData("abd", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", ProblemId.ImageWrongDigest)]
    [InlineData("abcd", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", ProblemId.ImageWrongSize)]
    [InlineData(null, 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", ProblemId.ImageNotFound)]
    public void An_image_is_checked_by_size_and_digest(string? content, long bytes, string sha256, ProblemId? problem)
    {
        if (content is not null)
        {
            _folder.Write("x.img", content);
        }

        Assert.Equal(problem, ImageCheck.Check(_folder.FullPath, new ImageSpec("x.img", bytes, sha256, "f")).Problem?.Id);
    }
}
