using System.Net;
using System.Net.Sockets;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class TcpConnectionTests
{
    private static readonly Deadline Patience = SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60));

    [Fact]
    public void Raw_TCP_leaves_every_byte_as_it_is()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Write([255, 253, 1, 13, 0]);
            peer.Hang();
        });
        using Stream stream = TcpConnection.Open("127.0.0.1", console.Port, LinkKind.Tcp, Patience);
        byte[] came = new byte[5];
        stream.ReadExactly(came);

        Assert.Equal([255, 253, 1, 13, 0], came);
    }

    [Fact]
    public void A_Telnet_link_answers_negotiation()
    {
        byte[]? heard = null;
        using ManualResetEventSlim read = new();
        using ScriptedConsole console = new(peer =>
        {
            peer.Write([255, 251, 1, (byte)'x']);
            heard = peer.Read(3);
            read.Set();
        });
        using Stream stream = TcpConnection.Open("127.0.0.1", console.Port, LinkKind.Telnet, Patience);

        Assert.Equal('x', stream.ReadByte());
        Assert.True(read.Wait(TimeSpan.FromSeconds(60)));
        Assert.Equal([255, 253, 1], heard);
    }

    // RFC 854, the Synch: the data mark goes as TCP's urgent octet. Taken out of its place, it would leave an IAC before the next octet of the dialogue.
    [Theory]
    [InlineData(LinkKind.Telnet, "berth 7 rests")]
    [InlineData(LinkKind.Tcp, "berth \u00ff\u00f27 rests")]
    public void An_urgent_octet_stays_in_its_place(LinkKind link, string comes)
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        using Stream stream = TcpConnection.Open("127.0.0.1", ((IPEndPoint)listener.LocalEndpoint).Port, link, Patience);
        using Socket peer = listener.AcceptSocket();

        peer.Send("berth "u8);
        peer.Send([255, 242], SocketFlags.OutOfBand);
        peer.Send("7 rests"u8);
        peer.Shutdown(SocketShutdown.Send);

        byte[] came = new byte[comes.Length];
        stream.ReadExactly(came);
        Assert.Equal(comes, System.Text.Encoding.Latin1.GetString(came));
    }

    [Fact]
    public void A_port_where_nobody_listens_refuses()
    {
        using Socket taken = new(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        taken.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        int port = ((IPEndPoint)taken.LocalEndPoint!).Port;

        Assert.Equal(
            (ProblemId.ConnectFailed, $"The console at 127.0.0.1 port {port} refused the connection."),
            Lantern.Fails(() => TcpConnection.Open("127.0.0.1", port, LinkKind.Tcp, Patience)));
    }

    // RFC 6761, section 6.4: names under "invalid." never exist. A machine without any name service says that it cannot look up instead.
    [Fact]
    public void A_name_that_does_not_exist_is_told()
    {
        (ProblemId id, string sentence) = Lantern.Fails(() => TcpConnection.Open("pier-1.invalid", 23, LinkKind.Telnet, Patience));

        Assert.Equal(ProblemId.ConnectFailed, id);
        Assert.Contains(
            sentence,
            new[] { "The console at pier-1.invalid port 23 has a name that nobody knows.", "The console at pier-1.invalid port 23 has a name that cannot be looked up now." });
    }

    [Fact]
    public void A_console_that_does_not_answer_is_given_up_at_the_deadline()
    {
        // A listener whose queue is full leaves further connections unanswered.
        using Socket full = new(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        full.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        full.Listen(1);
        int port = ((IPEndPoint)full.LocalEndPoint!).Port;
        List<Stream> waiting = [];
        try
        {
            (ProblemId Id, string Sentence)? problem = null;
            for (int i = 0; i < 64 && problem is null; i++)
            {
                try
                {
                    waiting.Add(TcpConnection.Open("127.0.0.1", port, LinkKind.Tcp, SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(1.5))));
                }
                catch (PoeOpsException exception)
                {
                    problem = (exception.Problem.Id, exception.Problem.Sentence);
                }
            }

            Assert.Equal((ProblemId.ConnectFailed, $"The console at 127.0.0.1 port {port} did not answer within 1.5 s."), problem);
        }
        finally
        {
            waiting.ForEach(stream => stream.Dispose());
        }
    }

    [Fact]
    public void A_switch_that_is_reached_by_SNMP_alone_has_no_console()
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => TcpConnection.Open("192.0.2.9", 161, LinkKind.Snmp, Patience)).Problem;

        Assert.Equal(
            (ProblemId.LinkNotSupported, "The switch at 192.0.2.9 is reached by SNMP alone, which only reads.", "Name a console link (telnet or tcp) and a dialect in the estate, or read it with -Link Snmp."),
            (problem.Id, problem.Sentence, problem.Advice));
    }

    [Fact]
    public void An_SSH_link_says_what_to_use_instead()
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => TcpConnection.Open("192.0.2.9", 22, LinkKind.Ssh, Patience)).Problem;

        Assert.Equal(
            (ProblemId.LinkNotSupported, "SSH to 192.0.2.9 is not built in.", "Hand a function that opens an SSH session to SwitchLinks, or an open stream to TerminalLink."),
            (problem.Id, problem.Sentence, problem.Advice));
    }
}
