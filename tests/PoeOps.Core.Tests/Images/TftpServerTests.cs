using System.Net;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The server against a client that does exactly what the test says.</summary>
public sealed class TftpServerTests : IDisposable
{
    private readonly FileBench _bench = new();
    private readonly RawPeer _peer = new();

    public void Dispose()
    {
        _peer.Dispose();
        _bench.Dispose();
    }

    // RFC 1350 section 4: the server answers from a port of its own, not from the one that was asked.
    [Fact]
    public void A_request_without_options_is_answered_with_block_1_from_a_new_port()
    {
        byte[] octets = _bench.Offer("a.img", 700);
        _peer.Ask(_bench.Endpoint, "a.img", "octet");
        byte[] fetched = _peer.TakeRest(1, 512);
        Assert.Equal(octets, fetched);
        Assert.NotEqual(_bench.Endpoint.Port, _peer.From.Port);
        Assert.Equal(512, _bench.Next().BlockSize);
    }

    // RFC 1123 section 4.2.3.1: the sender must never send the current block again because of a duplicate acknowledgement.
    // The negotiated time of 200 seconds leaves no other reason to send one again.
    [Fact]
    public void A_duplicate_acknowledgement_makes_nothing_come_twice()
    {
        _bench.Offer("a.img", 100);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200", "blksize", "8");
        Assert.Equal("OACK timeout=200 blksize=8", _peer.Hear());
        _peer.Acknowledge(0);
        List<string> heard = [];
        for (int block = 1; block <= 13; block++)
        {
            heard.Add(_peer.Hear());
            _peer.Acknowledge(block);
            _peer.Acknowledge(block);
            _peer.Acknowledge(block - 1);
        }

        Assert.Equal(Enumerable.Range(1, 13).Select(block => $"DATA {block} of {(block < 13 ? 8 : 4)}"), heard);
        TftpTransfer transfer = _bench.Next();
        Assert.False(_peer.HasMore);
        Assert.Equal((true, 13L, 0), (transfer.Complete, transfer.Blocks, transfer.Retransmissions));
    }

    // RFC 1350 section 4: a packet from another source is answered with an error, and the transfer goes on undisturbed.
    [Fact]
    public void A_stranger_is_told_error_5_and_the_transfer_finishes()
    {
        byte[] octets = _bench.Offer("a.img", 1000);
        using RawPeer stranger = new();
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", _peer.Hear());
        stranger.Send([0, 4, 0, 0], _peer.From);
        Assert.Equal("ERROR 5 unknown transfer ID", stranger.Hear());
        // An error is never answered (section 7): two ports that did would go on for ever.
        stranger.Send([0, 5, 0, 0, 0], _peer.From);
        stranger.Send([9, 9, 9], _peer.From);
        Assert.Equal("ERROR 5 unknown transfer ID", stranger.Hear());
        Assert.False(stranger.HasMore);
        Assert.False(_peer.HasMore);
        _peer.Acknowledge(0);
        Assert.Equal(octets, _peer.TakeRest(1, 512));
        Assert.True(_bench.Next().Complete);
    }

    // RFC 2347: the acknowledgement of options is answered with ACK 0; what is not answered is sent again like any packet.
    [Fact]
    public void A_lost_acknowledgement_of_options_and_a_lost_block_are_sent_again()
    {
        byte[] octets = _bench.Offer("a.img", 20);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "1", "blksize", "16");
        Assert.Equal("OACK timeout=1 blksize=16", _peer.Hear());
        Assert.Equal("OACK timeout=1 blksize=16", _peer.Hear());
        _peer.Acknowledge(0);
        string heard = Behind("OACK timeout=1 blksize=16");
        Assert.Equal("DATA 1 of 16", heard);
        Assert.Equal("DATA 1 of 16", _peer.Hear());
        _peer.Acknowledge(1);
        Assert.Equal("DATA 2 of 4", Behind("DATA 1 of 16"));
        _peer.Acknowledge(2);
        TftpTransfer transfer = _bench.Next();
        Assert.Equal((true, (long)octets.Length), (transfer.Complete, transfer.Bytes));
        Assert.InRange(transfer.Retransmissions, 2, 12);
    }

    // RFC 2347: options that the server does not know are left out, not refused; 2348: blksize is 8 to 65464; 2349: timeout is 1 to 255, tsize is asked as 0.
    [Theory]
    [InlineData("multicast= blksize=1024 utimeout=9", "OACK blksize=1024")]
    [InlineData("BLKSIZE=1024 TimeOut=200 TSIZE=0", "OACK blksize=1024 timeout=200 tsize=2000")]
    [InlineData("tsize=0", "OACK tsize=2000")]
    [InlineData("blksize=8", "OACK blksize=8")]
    [InlineData("blksize=65464", "OACK blksize=65464")]
    [InlineData("blksize=65465 tsize=0", "OACK blksize=65464 tsize=2000")]
    [InlineData("blksize=7", "DATA 1 of 512")]
    [InlineData("blksize=0 tsize=0", "OACK tsize=2000")]
    [InlineData("blksize=-512", "DATA 1 of 512")]
    [InlineData("blksize=+1024", "DATA 1 of 512")]
    [InlineData("blksize=1e3", "DATA 1 of 512")]
    [InlineData("blksize=99999999999999999999", "DATA 1 of 512")]
    [InlineData("timeout=0 tsize=0", "OACK tsize=2000")]
    [InlineData("timeout=256 tsize=0", "OACK tsize=2000")]
    [InlineData("timeout=1", "OACK timeout=1")]
    [InlineData("timeout=255", "OACK timeout=255")]
    [InlineData("timeout=", "DATA 1 of 512")]
    [InlineData("tsize=5", "DATA 1 of 512")]
    [InlineData("tsize=x", "DATA 1 of 512")]
    [InlineData("windowsize=1", "OACK windowsize=1")]
    [InlineData("WindowSize=16", "OACK windowsize=16")]
    [InlineData("windowsize=0 tsize=0", "OACK tsize=2000")]
    [InlineData("windowsize=-1", "DATA 1 of 512")]
    [InlineData("windowsize=65535", "OACK windowsize=1024")]
    [InlineData("windowsize=65536", "OACK windowsize=1024")]
    [InlineData("windowsize=1024 blksize=8192", "OACK windowsize=128 blksize=8192")]
    [InlineData("blksize=65464 windowsize=64", "OACK blksize=65464 windowsize=16")]
    [InlineData("windowsize=99999999999999999999", "DATA 1 of 512")]
    [InlineData("tsize=0 windowsize=2 timeout=7 blksize=600", "OACK tsize=2000 windowsize=2 timeout=7 blksize=600")]
    public void Of_the_options_those_are_acknowledged_that_can_be_kept(string asked, string answer)
    {
        _bench.Offer("a.img", 2000);
        _peer.Ask(_bench.Endpoint, ["a.img", "OCTET", .. asked.Split(' ', '=')]);
        Assert.Equal(answer, _peer.Hear());
    }

    // RFC 2347: a server may leave out any option. curl 7.88 gives up at a tsize of 0.
    [Fact]
    public void The_size_of_an_empty_file_is_left_out()
    {
        _bench.Offer("a.img", 0);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "tsize", "0", "blksize", "1024");
        Assert.Equal("OACK blksize=1024", _peer.Hear());
    }

    [Theory]
    [InlineData(1, "a.img netascii", "ERROR 4 mode netascii would change an image; ask for octet")]
    [InlineData(1, "a.img NetASCII", "ERROR 4 mode netascii would change an image; ask for octet")]
    [InlineData(1, "a.img mail", "ERROR 4 mode mail would change an image; ask for octet")]
    [InlineData(2, "a.img octet", "ERROR 2 nothing can be written here")]
    [InlineData(2, "new.img octet tsize 9", "ERROR 2 nothing can be written here")]
    [InlineData(1, "b.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "A.IMG octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "../a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "./a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "/a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "..\\a.img octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "/etc/passwd octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "../../../../../../etc/passwd octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "secret.txt octet", "ERROR 1 no file of that name is offered")]
    [InlineData(1, "a.img/ octet", "ERROR 1 no file of that name is offered")]
    public void What_is_not_offered_is_refused_and_told(byte opcode, string request, string answer)
    {
        _bench.Offer("a.img", 10);
        _bench.Folder.Write("secret.txt", "not offered");
        _peer.Send(RawPeer.Request(opcode, request.Split(' ')), _bench.Endpoint);
        Assert.Equal(answer, _peer.Hear());
        TftpTransfer transfer = _bench.Next();
        Assert.Equal((false, 0L, "Refused: " + answer["ERROR N ".Length..] + "."), (transfer.Complete, transfer.Bytes, transfer.Outcome));
        Assert.Equal((ProblemId.TftpRefused, _peer.Endpoint.ToString()), (transfer.Problem!.Id, transfer.Problem.Target));
        Assert.Equal(_peer.Endpoint.ToString(), transfer.Client);
        Assert.Equal("not offered", File.ReadAllText(_bench.Folder.Path("secret.txt")));
        Assert.False(File.Exists(_bench.Folder.Path("new.img")));
    }

    [Fact]
    public void A_file_is_only_for_the_address_that_it_was_offered_to()
    {
        byte[] octets = _bench.Offer("a.img", 30, IPAddress.Parse("127.0.0.1"));
        using RawPeer other = new("127.0.0.2");
        other.Ask(_bench.Endpoint, "a.img", "octet");
        Assert.Equal("ERROR 2 that file is not for this address", other.Hear());
        Assert.Equal("Refused: that file is not for this address.", _bench.Next().Outcome);
        Assert.Equal(octets, _bench.Fetch("a.img").Octets);

        byte[] mapped = _bench.Offer("b.img", 31, IPAddress.Parse("::ffff:127.0.0.2"));
        other.Ask(_bench.Endpoint, "b.img", "octet");
        Assert.Equal(mapped, other.TakeRest(1, 512));
    }

    // RFC 2347: a request has at most 512 octets. RFC 1350 section 7: an error is never answered.
    [Fact]
    public void A_request_that_cannot_be_read_is_told_error_4_and_anything_else_is_passed_over()
    {
        byte[] octets = _bench.Offer("a.img", 10);
        byte[] request = RawPeer.Request(1, "a.img", "octet");
        foreach (byte[] bad in (byte[][])[request[..^1], [.. request, 65], RawPeer.Request(1, new string('a', 600), "octet"), [0, 1], [0, 2, 0, 0]])
        {
            _peer.Send(bad, _bench.Endpoint);
            Assert.Equal("ERROR 4 that request cannot be read", _peer.Hear());
            TftpTransfer noted = _bench.Next();
            Assert.Equal((ProblemId.TftpMalformed, _peer.Endpoint.ToString(), string.Empty), (noted.Problem!.Id, noted.Client, noted.File));
            Assert.StartsWith($"A datagram of {bad.Length} octets is no TFTP packet: ", noted.Outcome);
        }

        foreach (byte[] other in (byte[][])[[], [0], [0, 3, 0, 1, 65], [0, 4, 0, 1], [0, 5, 0, 4, 0], [0, 6, 65, 0, 65, 0], [1, 1, 65, 0], new byte[60_000]])
        {
            _peer.Send(other, _bench.Endpoint);
        }

        // The server takes one datagram after another: an answer to any of those would have come before this one.
        _peer.Ask(_bench.Endpoint, "a.img", "octet");
        Assert.Equal(octets, _peer.TakeRest(1, 512));
    }

    [Fact]
    public void A_hundred_thousand_random_packets_do_not_stop_it()
    {
        byte[] octets = _bench.Offer("a.img", 2000);
        byte[] noise = FileBench.Octets(10_200_000);
        using (RawPeer noisy = new())
        {
            for (int number = 0, at = 0; number < 100_000; number++)
            {
                byte[] datagram = noise[at..(at + (noise[at] % 100))];
                at += 1 + datagram.Length;
                if (datagram.Length > 1 && number % 2 == 0)
                {
                    // Half of them begin as a packet does.
                    (datagram[0], datagram[1]) = (0, (byte)(datagram[1] % 8));
                }

                noisy.Send(datagram, _bench.Endpoint);
            }
        }

        Assert.Equal(octets, _bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void The_same_request_again_begins_no_second_transfer()
    {
        byte[] octets = _bench.Offer("a.img", 600);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", _peer.Hear());
        using RawPeer later = new();
        later.Ask(_bench.Endpoint, "none", "octet");
        Assert.Equal("ERROR 1 no file of that name is offered", later.Hear());
        Assert.False(_peer.HasMore);
        _peer.Acknowledge(0);
        Assert.Equal(octets, _peer.TakeRest(1, 512));
    }

    // Some clients use one port for ever: after a restart the request comes from the port of the transfer that they have forgotten.
    [Fact]
    public void A_client_that_begins_anew_from_the_same_port_is_served_anew()
    {
        byte[] octets = _bench.Offer("a.img", 1600);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", _peer.Hear());
        _peer.Acknowledge(0);
        Assert.Equal("DATA 1 of 512", _peer.Hear());
        _peer.Ask(_bench.Endpoint, "a.img", "octet");
        Assert.Equal(octets, _peer.TakeRest(1, 512));
        TftpTransfer[] both = [_bench.Next(), _bench.Next()];
        Assert.Equal(["Broken off: the client asked again from the same port.", "Whole."], both.Select(transfer => transfer.Outcome).Order(StringComparer.Ordinal));
        Assert.False(_peer.HasMore);
    }

    [Fact]
    public void A_client_may_ask_for_the_next_file_from_the_same_port()
    {
        byte[] octets = _bench.Offer("a.img", 100);
        for (int i = 0; i < 20; i++)
        {
            _peer.Ask(_bench.Endpoint, "a.img", "octet");
            Assert.Equal(octets, _peer.TakeRest(1, 512));
        }

        for (int i = 0; i < 20; i++)
        {
            Assert.Equal("Whole.", _bench.Next().Outcome);
        }
    }

    [Fact]
    public void A_transfer_tells_what_was_agreed_and_when_by_the_clock_that_it_was_given()
    {
        DateTime start = new(2026, 12, 4, 22, 0, 0, DateTimeKind.Utc);
        ScaledClock clock = new(1, SystemClock.Instance.UtcNow, start);
        using var bench = new FileBench(new TftpServerOptions { Clock = clock });
        bench.Offer("a.img", 100);
        _peer.Ask(bench.Endpoint, "a.img", "octet", "blksize", "64", "speed", "9", "tsize", "0");
        Assert.Equal("OACK blksize=64 tsize=100", _peer.Hear());
        _peer.Acknowledge(0);
        Assert.Equal(100, _peer.TakeRest(1, 64).Length);
        _peer.Ask(bench.Endpoint, "b.img", "octet");
        Assert.Equal("ERROR 1 no file of that name is offered", _peer.Hear());
        foreach (TftpTransfer transfer in (TftpTransfer[])[bench.Next(), bench.Next()])
        {
            Assert.Equal(transfer.Complete ? "blksize=64 tsize=100" : string.Empty, transfer.Options);
            Assert.InRange(transfer.StartUtc, start, clock.UtcNow);
            Assert.InRange(transfer.Duration, TimeSpan.Zero, clock.UtcNow - start);
        }
    }

    [Fact]
    public void More_transfers_than_it_may_run_are_refused()
    {
        using var bench = new FileBench(new TftpServerOptions { MostTransfers = 1 });
        bench.Offer("a.img", 600);
        _peer.Ask(bench.Endpoint, "a.img", "octet", "timeout", "200");
        Assert.Equal("OACK timeout=200", _peer.Hear());
        using RawPeer other = new();
        other.Ask(bench.Endpoint, "a.img", "octet");
        Assert.Equal("ERROR 0 too many transfers at once; ask again later", other.Hear());
    }

    [Fact]
    public void An_error_of_the_client_ends_the_transfer_and_is_noted_with_its_text_escaped()
    {
        _bench.Offer("a.img", 2000);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        _peer.Hear();
        _peer.Acknowledge(0);
        Assert.Equal("DATA 1 of 512", _peer.Hear());
        _peer.Acknowledge(1);
        Assert.Equal("DATA 2 of 512", _peer.Hear());
        _peer.Send([0, 5, 0, 3, (byte)'f', 27, (byte)'l', 0], _peer.From);
        TftpTransfer transfer = _bench.Next();
        Assert.Equal(@"Broken off: the client ended it with error 3 'f\u001bl'.", transfer.Outcome);
        Assert.Equal((false, 512L, 1L), (transfer.Complete, transfer.Bytes, transfer.Blocks));
    }

    [Fact]
    public void Disposal_tells_the_client_and_ends_the_transfer()
    {
        _bench.Offer("a.img", 2000);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        _peer.Hear();
        _bench.Server.Dispose();
        _bench.Server.Dispose();
        Assert.Equal("ERROR 0 the server was stopped", _peer.Hear());
        Assert.Equal("Broken off: the server was stopped.", _bench.Next().Outcome);
    }

    [Fact]
    public void A_file_that_is_offered_no_longer_goes_to_nobody()
    {
        using IDisposable offer = _bench.Server.Serve("a.img", _bench.Folder.Write("a.img", FileBench.Octets(2000)), null);
        _peer.Ask(_bench.Endpoint, "a.img", "octet", "timeout", "200");
        _peer.Hear();
        offer.Dispose();
        offer.Dispose();
        Assert.Equal("ERROR 0 the file is no longer offered", _peer.Hear());
        _peer.Ask(_bench.Endpoint, "a.img", "octet");
        Assert.Equal("ERROR 1 no file of that name is offered", _peer.Hear());
    }

    [Fact]
    public void A_name_is_offered_once_at_a_time()
    {
        string path = _bench.Folder.Write("a.img", "abc");
        IDisposable first = _bench.Server.Serve("a.img", path, null);
        PoeOpsException refused = Assert.Throws<PoeOpsException>(() => _bench.Server.Serve("a.img", path, null));
        Assert.Equal(
            "NameTwice - -: A file is offered as 'a.img' already. Wait for the other transfer to end, or offer it by another name.", Told.Of(refused.Problem));
        first.Dispose();
        using IDisposable second = _bench.Server.Serve("a.img", path, null);

        // Disposing the first offer once more takes nothing away from the second.
        first.Dispose();
        Assert.Equal("abc"u8.ToArray(), _bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void A_file_that_is_not_there_is_not_offered()
    {
        PoeOpsException refused = Assert.Throws<PoeOpsException>(() => _bench.Server.Serve("a.img", _bench.Folder.Path("a.img"), null));
        Assert.Equal((ProblemId.ImageNotFound, _bench.Folder.Path("a.img")), (refused.Problem.Id, refused.Problem.File));
        Assert.Equal(ProblemId.ImageNotFound, Assert.Throws<PoeOpsException>(() => _bench.Server.Serve("a.img", _bench.Folder.FullPath, null)).Problem.Id);
    }

    // FIPS 180-4, the one-block example that NIST publishes with it: the message "abc".
    [Theory]
    [InlineData("abc", null)]
    [InlineData("abd", ProblemId.ImageWrongDigest)]
    [InlineData("abcd", ProblemId.ImageWrongSize)]
    [InlineData(null, ProblemId.ImageNotFound)]
    public void Only_the_approved_image_is_offered_and_what_was_checked_is_what_is_served(string? content, ProblemId? problem)
    {
        ImageSpec spec = new("a.img", 3, "BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD", "harbour");
        if (content is not null)
        {
            _bench.Folder.Write("a.img", content);
        }

        if (problem is not null)
        {
            Assert.Equal(problem, Assert.Throws<PoeOpsException>(() => _bench.Server.Serve(spec, _bench.Folder.FullPath, null)).Problem.Id);
            _peer.Ask(_bench.Endpoint, "a.img", "octet");
            Assert.Equal("ERROR 1 no file of that name is offered", _peer.Hear());
            return;
        }

        using IDisposable offer = _bench.Server.Serve(spec, _bench.Folder.FullPath, IPAddress.Loopback);
        Assert.Equal("abc"u8.ToArray(), _bench.Fetch("a.img").Octets);
    }

    [Fact]
    public void A_file_that_another_program_holds_is_not_offered()
    {
        string path = _bench.Folder.Write("a.img", "abc");
        using FileStream held = new(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
        Assert.Equal(ProblemId.FileUnreadable, Assert.Throws<PoeOpsException>(() => _bench.Server.Serve("a.img", path, null)).Problem.Id);
    }

    [Fact]
    public void A_port_that_is_taken_is_told_and_a_server_is_started_once()
    {
        using TftpServer second = new(new TftpServerOptions { Port = _bench.Endpoint.Port });
        PoeOpsException refused = Assert.Throws<PoeOpsException>(second.Start);
        Assert.Equal(ProblemId.TftpCannotListen, refused.Problem.Id);
        Assert.StartsWith($"The file server cannot listen at 127.0.0.1:{_bench.Endpoint.Port}: ", refused.Problem.Sentence);
        Assert.Equal("Another file server runs on that port: stop it, or choose another port.", refused.Problem.Advice);
        Assert.Throws<InvalidOperationException>(_bench.Server.Start);
    }

    // The first packet that is not one of those that were sent before and are sent again meanwhile.
    private string Behind(string again)
    {
        string heard = _peer.Hear();
        for (int times = 0; heard == again && times < 6; times++)
        {
            heard = _peer.Hear();
        }

        return heard;
    }
}
