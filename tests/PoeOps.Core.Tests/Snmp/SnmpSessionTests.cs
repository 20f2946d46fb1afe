using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>One request after the other over a line on which anything may happen.</summary>
public sealed class SnmpSessionTests
{
    private static readonly Oid Name = Oid.Parse("1.3.6.1.4.1.1");

    // Short where a test waits for nothing to come, long where an answer comes at once.
    private static readonly SnmpTimes Impatient = new() { FirstWait = TimeSpan.FromMilliseconds(60), LongestWait = TimeSpan.FromMilliseconds(120), FirstTries = 3, Tries = 3 };
    private static readonly SnmpTimes Patient = new() { FirstWait = TimeSpan.FromSeconds(30), LongestWait = TimeSpan.FromSeconds(30) };
    private static readonly SnmpTimes Brisk = new() { FirstWait = TimeSpan.FromMilliseconds(250), LongestWait = TimeSpan.FromSeconds(2), FirstTries = 60, Tries = 60 };

    private static SnmpSession Session(TestAgent agent, SnmpTimes times) => new(agent.Endpoint, new CommunityAccess(TestAgent.Community), times);

    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("::1")]
    public void An_answer_over_either_version_of_ip(string address)
    {
        using var agent = new TestAgent(TestAgent.Rows("1.3.6.1.4.1.1", 3), IPAddress.Parse(address));
        using SnmpSession session = Session(agent, Patient);
        Assert.Equal("Integer 2", session.Get(Name.Then(2)).Bindings[0].Value.ToString());
        Assert.Equal(Name.Then(3), session.GetNext(Name.Then(2)).Bindings[0].Name);
    }

    [Fact]
    public void What_answers_something_else_is_dropped()
    {
        using var agent = new TestAgent(TestAgent.Rows("1.3.6.1.4.1.1", 3))
        {
            Send = (request, answer) =>
            [
                [1, 2, 3],
                TestAgent.Datagram(answer with { RequestId = answer.RequestId ^ 1 }),
                TestAgent.Datagram(answer, community: "other"),
                TestAgent.Datagram(answer, SnmpVersion.V1),
                TestAgent.Datagram(request),
                TestAgent.Datagram(answer with { Kind = SnmpPduKind.Report }),
                TestAgent.Datagram(answer),
                TestAgent.Datagram(answer),
            ],
        };
        using SnmpSession session = Session(agent, Patient);
        Assert.Equal("Integer 2", session.Get(Name.Then(2)).Bindings[0].Value.ToString());
        Assert.Equal("Integer 3", session.Get(Name.Then(3)).Bindings[0].Value.ToString());
        Assert.Equal(11, session.Strays);
        Assert.Equal(2, session.Sent);
    }

    [Fact]
    public void A_request_that_gets_lost_is_sent_again_with_the_same_id_and_fewer_repetitions()
    {
        int lost = 3;
        using var agent = new TestAgent(TestAgent.Rows("1.3.6.1.4.1.1", 90)) { Answer = (self, request) => lost-- > 0 ? null : self.Plain(request) };
        using SnmpSession session = Session(agent, Brisk);
        Assert.True(session.GetBulk(40, Name).Bindings.Count is 5 or 2 or 1);
        Assert.Single(agent.Asked.Select(request => request.RequestId).Distinct());
        Assert.Equal([40, 20, 10, 5], agent.Asked.Take(4).Select(request => request.MaxRepetitions));
    }

    [Fact]
    public void An_answer_that_comes_late_is_taken_for_its_own_request_only()
    {
        List<byte[]> kept = [];
        using var agent = new TestAgent(TestAgent.Rows("1.3.6.1.4.1.1", 3))
        {
            Send = (request, answer) =>
            {
                kept.Add(TestAgent.Datagram(answer));
                return request.Bindings[0].Name == Name.Then(3) ? kept : [TestAgent.Datagram(answer)];
            },
        };
        using SnmpSession session = Session(agent, Patient);
        _ = session.Get(Name.Then(1));
        _ = session.Get(Name.Then(2));
        Assert.Equal("Integer 3", session.Get(Name.Then(3)).Bindings[0].Value.ToString());
        Assert.Equal(2, session.Strays);
    }

    [Fact]
    public void A_silent_agent_is_told_of()
    {
        using var agent = new TestAgent([]) { Answer = (_, _) => null };
        using SnmpSession session = Session(agent, Impatient);
        Problem problem = Fails(() => session.Get(Name));
        Assert.Equal(
            (ProblemId.SnmpSilent, $"The agent {agent.Endpoint} does not answer in 3 tries.", "Check the address, the version and the community: agents keep silent where a community is wrong."),
            (problem.Id, problem.Sentence, problem.Advice));
        Assert.Equal(3, session.Sent);
    }

    [Fact]
    public void An_agent_that_falls_silent_is_told_of_otherwise()
    {
        using var agent = new TestAgent(TestAgent.Rows("1.3.6.1.4.1.1", 3)) { Answer = (self, request) => self.Asked.Count > 1 ? null : self.Plain(request) };
        using SnmpSession session = Session(agent, Impatient with { FirstWait = TimeSpan.FromMilliseconds(400), LongestWait = TimeSpan.FromMilliseconds(400), FirstTries = 50 });
        _ = session.Get(Name.Then(1));
        Assert.Equal($"The agent {agent.Endpoint} stopped answering: the last request was sent 3 times.", Fails(() => session.Get(Name.Then(1))).Sentence);
    }

    [Fact]
    public void Datagrams_that_are_none_of_snmp_are_told_of()
    {
        using var agent = new TestAgent([]) { Send = (_, _) => [[0x16, 0x03, 0x01]] };
        using SnmpSession session = Session(agent, Impatient);
        Problem problem = Fails(() => session.Get(Name));
        Assert.Equal(ProblemId.SnmpMalformed, problem.Id);
        Assert.Contains("are no messages of SNMP, and no answer: the message has the tag 16 where 30 was expected.", problem.Sentence);
    }

    [Fact]
    public void A_port_where_nothing_listens_is_told_of()
    {
        int port;
        using (var taken = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp))
        {
            taken.Bind(new IPEndPoint(IPAddress.Loopback, 0));
            port = ((IPEndPoint)taken.LocalEndPoint!).Port;
        }

        using var session = new SnmpSession(new IPEndPoint(IPAddress.Loopback, port), new CommunityAccess("quiet"), Impatient);
        Assert.Equal($"The agent 127.0.0.1:{port} does not answer: nothing listens at that port (3 tries).", Fails(() => session.Get(Name)).Sentence);
    }

    [Fact]
    public void Everything_has_a_deadline_and_can_be_cancelled()
    {
        using var agent = new TestAgent([]) { Answer = (_, _) => null };
        using SnmpSession session = Session(agent, Patient with { Deadline = TimeSpan.FromMilliseconds(300) });
        Assert.Equal($"The agent {agent.Endpoint} was not read to its end within 00:00:00.3000000.", Fails(() => session.Get(Name)).Sentence);

        using var cancel = new CancellationTokenSource(TimeSpan.FromMilliseconds(300));
        using var second = new SnmpSession(agent.Endpoint, new CommunityAccess("quiet"), Patient, cancel.Token);
        var time = Stopwatch.StartNew();
        Assert.Throws<OperationCanceledException>(() => second.Get(Name));
        Assert.True(time.Elapsed < TimeSpan.FromSeconds(20));
    }

    internal static Problem Fails(Action act) => Assert.Throws<PoeOpsException>(act).Problem;
}
