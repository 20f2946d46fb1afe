using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Where the server listens, whom it serves, and from where it answers.</summary>
public sealed class TftpAddressTests : IDisposable
{
    private readonly FileBench _everywhere = new(new TftpServerOptions { Bind = IPAddress.Any });
    private readonly RawPeer _peer = new();

    public void Dispose()
    {
        _peer.Dispose();
        _everywhere.Dispose();
    }

    // RFC 1123 section 4.2.3.5: a TFTP request to a broadcast address should be silently ignored. 127.255.255.255 is the one of the loopback's network.
    [Theory]
    [InlineData("127.255.255.255")]
    [InlineData("255.255.255.255")]
    public void A_request_to_all_hosts_is_passed_over_in_silence(string all)
    {
        byte[] octets = _everywhere.Offer("a.img", 10);
        using (Socket socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { EnableBroadcast = true })
        {
            socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
            try
            {
                socket.SendTo(RawPeer.Request(1, "a.img", "octet"), new IPEndPoint(IPAddress.Parse(all), _everywhere.Endpoint.Port));
            }
            catch (SocketException)
            {
                // A machine without that way cannot be asked by it.
            }

            _peer.Ask(new IPEndPoint(IPAddress.Loopback, _everywhere.Endpoint.Port), "a.img", "octet");
            Assert.Equal(octets, _peer.TakeRest(1, 512));
            Assert.Equal(_peer.Endpoint.ToString(), _everywhere.Next().Client);
            Assert.False(socket.Poll(0, SelectMode.SelectRead));
            Assert.Single(_everywhere.Server.Transfers);
        }
    }

    // A client hears only the address that it asked.
    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("127.0.0.3")]
    public void The_answer_comes_from_the_address_that_was_asked(string address)
    {
        if (address != "127.0.0.1" && !OperatingSystem.IsLinux())
        {
            return;
        }

        byte[] octets = _everywhere.Offer("a.img", 600);
        _peer.Ask(new IPEndPoint(IPAddress.Parse(address), _everywhere.Endpoint.Port), "a.img", "octet");
        Assert.Equal(octets, _peer.TakeRest(1, 512));
        Assert.Equal(address, _peer.From.Address.ToString());
    }

    [Fact]
    public void Whom_the_server_was_not_told_to_serve_gets_nothing()
    {
        using var bench = new FileBench(new TftpServerOptions { Clients = [IPAddress.Parse("127.0.0.2"), IPAddress.Parse("::ffff:127.0.0.4")] });
        byte[] octets = bench.Offer("a.img", 10);
        _peer.Ask(bench.Endpoint, "a.img", "octet");
        Assert.Equal("ERROR 2 nothing is for this address", _peer.Hear());
        TftpTransfer refused = bench.Next();
        Assert.Equal((ProblemId.TftpRefused, "Refused: nothing is for this address."), (refused.Problem!.Id, refused.Outcome));
        foreach (string told in (string[])["127.0.0.2", "127.0.0.4"])
        {
            using RawPeer other = new(told);
            other.Ask(bench.Endpoint, "a.img", "octet");
            Assert.Equal(octets, other.TakeRest(1, 512));
        }
    }

    [Theory]
    [InlineData("127.0.0.1", "127.0.0.1")]
    [InlineData("::1", "::1")]
    public void The_local_address_that_reaches_another_is_found(string remote, string local) =>
        Assert.Equal(local, HostAddress.Reaching(IPAddress.Parse(remote)).ToString());

    [Fact]
    public void An_address_that_nothing_reaches_is_told()
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => HostAddress.Reaching(IPAddress.Parse("255.255.255.255"))).Problem;
        Assert.Equal(ProblemId.TftpCannotListen, problem.Id);
        Assert.StartsWith("No local address reaches 255.255.255.255: ", problem.Sentence);
    }

    [Fact]
    public void An_address_of_another_machine_cannot_be_listened_at()
    {
        using TftpServer server = new(new TftpServerOptions { Bind = IPAddress.Parse("192.0.2.1"), Port = 0 });
        Problem problem = Assert.Throws<PoeOpsException>(server.Start).Problem;
        Assert.Equal((ProblemId.TftpCannotListen, "Choose an address of this machine."), (problem.Id, problem.Advice));
        Assert.StartsWith("The file server cannot listen at 192.0.2.1:0: ", problem.Sentence);
    }

    [Theory]
    [InlineData(SocketError.AccessDenied, 69, "Ports below 1024 may need an administrator's rights: run as one, or choose a port above, if the devices can be told one.")]
    [InlineData(SocketError.AccessDenied, 6969, "Another program holds that port for itself, or a rule of this machine forbids it: choose another port.")]
    [InlineData(SocketError.AddressAlreadyInUse, 69, "Another file server runs on that port: stop it, or choose another port.")]
    [InlineData(SocketError.AddressNotAvailable, 69, "Choose an address of this machine.")]
    [InlineData(SocketError.NoBufferSpaceAvailable, 69, "Choose an address of this machine, and another port.")]
    public void What_to_do_about_a_port_that_cannot_be_had_is_said(SocketError error, int port, string advice)
    {
        SocketException exception = new((int)error);
        Problem problem = TftpServerOptions.CannotListen(new IPEndPoint(IPAddress.Loopback, port), exception);
        Assert.Equal(
            (ProblemId.TftpCannotListen, $"The file server cannot listen at 127.0.0.1:{port}: {exception.Message.TrimEnd('.')}.", advice), (problem.Id, problem.Sentence, problem.Advice));
    }

    // RFC 4007: a link-local address means something only with its interface.
    [Fact]
    public void A_file_comes_over_a_link_local_address()
    {
        if (LinkLocal() is not { } local)
        {
            return;
        }

        Assert.Equal(local, HostAddress.Reaching(local));
        using var bench = new FileBench(new TftpServerOptions { Bind = local });
        byte[] octets = bench.Offer("a.img", 3000, new IPAddress(local.GetAddressBytes()));
        Assert.Equal(octets, bench.Fetch("a.img").Octets);
        Assert.StartsWith($"[{local}]:", bench.Next().Client);

        using var six = new FileBench(new TftpServerOptions { Bind = IPAddress.IPv6Any });
        six.Offer("a.img", 3000, local);
        using MemoryStream into = new();
        TftpClient.Fetch(new IPEndPoint(local, six.Endpoint.Port), "a.img", into, new TftpClientOptions(), CancellationToken.None);
        Assert.Equal(octets, into.ToArray());
    }

    private static IPAddress? LinkLocal() =>
        NetworkInterface.GetAllNetworkInterfaces().Where(card => card.OperationalStatus == OperationalStatus.Up)
            .SelectMany(card => card.GetIPProperties().UnicastAddresses).Select(own => own.Address).FirstOrDefault(address => address.IsIPv6LinkLocal);
}
