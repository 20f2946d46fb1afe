using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>SNMPv3 with an agent whose clock and manners are not as they should be (RFC 3414 section 3.2 and 4).</summary>
public sealed class UserSessionTests
{
    private static readonly Oid Name = Oid.Parse("1.3.6.1.2.1.1.3.0");
    private static readonly SnmpTimes Patient = new() { FirstWait = TimeSpan.FromSeconds(30), LongestWait = TimeSpan.FromSeconds(30) };

    // Patient for the first answer, which comes, and short for what does not come after it.
    private static readonly SnmpTimes Impatient = new() { FirstWait = TimeSpan.FromMilliseconds(400), LongestWait = TimeSpan.FromMilliseconds(400), FirstTries = 100, Tries = 2 };

    private static SnmpSession Session(UserAgent agent, SnmpTimes times, SecurityLevel level = SecurityLevel.AuthPriv) => new(agent.Endpoint, new UserAccess(UserAgent.Night, level), times);

    private static long Ask(SnmpSession session) => session.Get(Name).Bindings[0].Value.Number;

    [Theory]
    [InlineData(SecurityLevel.NoAuthNoPriv)]
    [InlineData(SecurityLevel.AuthNoPriv)]
    [InlineData(SecurityLevel.AuthPriv)]
    public void Two_messages_for_the_first_answer_and_one_for_each_further(SecurityLevel level)
    {
        using var agent = new UserAgent();
        using SnmpSession session = Session(agent, Patient, level);
        Assert.Equal([1, 2, 3], ((int[])[1, 2, 3]).Select(_ => Ask(session)));
        Assert.Equal(4, session.Sent);
    }

    [Fact]
    public void A_clock_that_the_first_report_has_wrong_is_set_by_an_authentic_one()
    {
        using var agent = new UserAgent { Rumour = (3, 11) };
        using SnmpSession session = Session(agent, Patient);
        Assert.Equal(1, Ask(session));
        Assert.Equal([(3, 11), (7, 5000)], agent.Clocks);
        Assert.Equal(3, session.Sent);
    }

    [Fact]
    public void After_a_restart_the_clock_is_set_by_an_authentic_report()
    {
        using var agent = new UserAgent();
        using SnmpSession session = Session(agent, Patient);
        Assert.Equal(1, Ask(session));
        (agent.Boots, agent.Time) = (8, 2);
        Assert.Equal(2, Ask(session));
        Assert.Equal([(7, 5000), (7, 5000), (8, 2)], agent.Clocks.Select(clock => (clock.Boots, clock.Time - (clock.Time % 1000 < 100 ? clock.Time % 1000 : 0) + (clock.Boots == 8 ? 2 : 0))));
    }

    [Fact]
    public void Never_by_one_that_anybody_could_have_sent()
    {
        using var agent = new UserAgent { SignsTimes = false };
        using SnmpSession session = Session(agent, Impatient);
        Assert.Equal(1, Ask(session));
        (agent.Boots, agent.Time) = (8, 2);
        Problem problem = SnmpSessionTests.Fails(() => Ask(session));
        Assert.Equal(
            (ProblemId.SnmpClockWrong, $"The agent {agent.Endpoint} says that our clock is wrong, and says so without authentication, so nothing of it is taken."), (problem.Id, problem.Sentence));
        Assert.All(agent.Clocks, clock => Assert.Equal(7, clock.Boots));
    }

    // RFC 3414 section 3.2 7b: boots below, or more than 150 seconds behind.
    [Theory]
    [InlineData(6, 9000)]
    [InlineData(7, 4000)]
    [InlineData(int.MaxValue, 5000)]
    public void A_clock_that_goes_back_is_told_of(int boots, int time)
    {
        using var agent = new UserAgent();
        using SnmpSession session = Session(agent, Impatient);
        Assert.Equal(1, Ask(session));
        (agent.Boots, agent.Time) = (boots, time);
        Problem problem = SnmpSessionTests.Fails(() => Ask(session));
        Assert.Equal(ProblemId.SnmpClockWrong, problem.Id);
        Assert.StartsWith($"The agent {agent.Endpoint} answers with a clock that lies behind what it said before (boots 7, 500", problem.Sentence);
    }

    [Fact]
    public void A_little_behind_or_far_ahead_is_within_the_window()
    {
        using var agent = new UserAgent();
        using SnmpSession session = Session(agent, Patient);
        Assert.Equal(1, Ask(session));
        agent.Time = 4900;
        Assert.Equal(2, Ask(session));
        agent.Time = 20_000;
        Assert.Equal(3, Ask(session));
    }

    [Fact]
    public void An_answer_that_is_not_the_users_or_not_for_the_question_is_dropped()
    {
        var other = new UserSecurity("night", new PasswordKey(AuthProtocol.Sha256, "another password"), new PasswordKey(AuthProtocol.Sha256, "another password"));
        using var agent = new UserAgent();
        agent.Send = (message, datagram) =>
        {
            if (message.Level == SecurityLevel.NoAuthNoPriv)
            {
                return [datagram];
            }

            ScopedPdu asked = UserAgent.Night.Open(message, out _)!;
            ScopedPdu forged = asked with { Pdu = new SnmpPdu(SnmpPduKind.Response, asked.Pdu.RequestId, [new VarBind(Name, SnmpValue.Of(SnmpType.Integer, 666))]) };
            UserMessage reply = new() { MessageId = message.MessageId, Level = message.Level, EngineId = UserAgent.Engine, Boots = 7, Time = 5000, User = "night" };
            byte[] changed = (byte[])datagram.Clone();
            changed[^1] ^= 1;
            return
            [
                other.Write(reply, forged),
                UserAgent.Night.Write(reply with { Level = SecurityLevel.NoAuthNoPriv }, forged),
                UserAgent.Night.Write(reply with { Level = SecurityLevel.AuthNoPriv }, forged),
                UserAgent.Night.Write(reply with { MessageId = message.MessageId ^ 1 }, forged),
                UserAgent.Night.Write(reply, forged with { Pdu = forged.Pdu with { RequestId = forged.Pdu.RequestId ^ 1 } }),
                UserAgent.Night.Write(reply with { EngineId = [.. UserAgent.Engine, 1] }, forged),
                UserAgent.Night.Write(reply with { Boots = 6 }, forged),
                changed,
                datagram,
            ];
        };
        using SnmpSession session = Session(agent, Patient);
        Assert.Equal([1, 2], ((int[])[1, 2]).Select(_ => Ask(session)));
    }

    // RFC 3413 section 4.1 and RFC 3412 section 5: counters of other modules than the user's.
    [Theory]
    [InlineData("1.3.6.1.6.3.12.1.5.0", ProblemId.SnmpContextUnknown, "The agent has no context 'harbour'.")]
    [InlineData("1.3.6.1.6.3.15.1.1.6.0", ProblemId.SnmpWrongPrivacy, "The agent cannot decrypt what the user 'night' sends.")]
    [InlineData("1.3.6.1.6.3.11.2.1.3.0", ProblemId.SnmpRefused, "The agent answers with a report about 1.3.6.1.6.3.11.2.1.3.0, which says no more.")]
    public void A_report_says_why_there_is_no_answer(string counter, ProblemId id, string sentence)
    {
        using var agent = new UserAgent();
        agent.Send = (message, datagram) => message.Level == SecurityLevel.NoAuthNoPriv ? [datagram]
            : [UserAgent.Night.Write(
                new UserMessage { MessageId = message.MessageId, Level = message.Level, EngineId = UserAgent.Engine, Boots = 7, Time = 5000, User = "night" },
                new ScopedPdu(new SnmpPdu(SnmpPduKind.Report, 0, [new VarBind(Oid.Parse(counter), SnmpValue.Of(SnmpType.Counter32, 1))])))];
        using var session = new SnmpSession(agent.Endpoint, new UserAccess(UserAgent.Night, null, "harbour"), Patient);
        Problem problem = SnmpSessionTests.Fails(() => Ask(session));
        Assert.Equal((id, sentence), (problem.Id, problem.Sentence));
    }

    // Nobody can sign for an engine that he does not have the key of; the keys are made for the new one, and its answer is checked with them.
    [Fact]
    public void An_engine_that_becomes_another_is_found_again()
    {
        using var agent = new UserAgent();
        using SnmpSession session = Session(agent, Patient);
        Assert.Equal(1, Ask(session));
        (agent.EngineId, agent.Boots, agent.Time) = ([.. UserAgent.Engine, 9], 1, 3);
        Assert.Equal(2, Ask(session));
    }

    [Fact]
    public void An_engine_that_is_always_another_is_left()
    {
        int changes = 0;
        using var agent = new UserAgent();
        agent.Send = (_, datagram) =>
        {
            agent.EngineId = [.. UserAgent.Engine, (byte)++changes];
            return [datagram];
        };
        using SnmpSession session = Session(agent, Impatient with { FirstTries = 2 });
        Problem problem = SnmpSessionTests.Fails(() => Ask(session));
        Assert.Equal(ProblemId.SnmpMalformed, problem.Id);
        Assert.True(changes < 12, $"{changes} messages");
    }
}
