using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Walks over agents of all manners.</summary>
public sealed class SnmpWalkTests
{
    private const int Rows = 300;
    private static readonly Oid[] Columns = [Oid.Parse("1.3.6.1.4.1.9.1"), Oid.Parse("1.3.6.1.4.1.9.2"), Oid.Parse("1.3.6.1.4.1.9.3")];
    private static readonly SnmpTimes Patient = new() { FirstWait = TimeSpan.FromSeconds(30), LongestWait = TimeSpan.FromSeconds(30) };

    // Three columns of different length and something behind them, which a walk must not take.
    private static TestAgent Agent() => new(
        [.. TestAgent.Rows("1.3.6.1.4.1.9.1", Rows), .. TestAgent.Rows("1.3.6.1.4.1.9.2", 7), .. TestAgent.Rows("1.3.6.1.4.1.9.3", Rows), .. TestAgent.Rows("1.3.6.1.4.1.9.4", 500)]);

    private static (int Count, List<Problem> Problems) Walk(TestAgent agent, SnmpVersion version = SnmpVersion.V2c)
    {
        SnmpRows rows = new();
        List<Problem> problems = [];
        using var session = new SnmpSession(agent.Endpoint, new CommunityAccess(TestAgent.Community, version), Patient);
        new SnmpWalk(session, rows, problems).Columns(Columns);
        Assert.All(rows.Within(Oid.Parse("1")), row => Assert.Contains(Columns, root => row.Name.IsWithin(root)));
        return (rows.Count, problems);
    }

    private static SnmpPdu Error(SnmpPdu request, int status) => new(SnmpPduKind.Response, request.RequestId, request.Bindings) { ErrorStatus = status, ErrorIndex = 1 };

    [Theory]
    [InlineData(SnmpVersion.V2c)]
    [InlineData(SnmpVersion.V1)]
    public void All_rows_and_no_more(SnmpVersion version)
    {
        using TestAgent agent = Agent();
        if (version == SnmpVersion.V1)
        {
            // Version 1 has no endOfMibView; nothing in this agent comes after the fourth column.
            agent.Answer = (self, request) => self.Plain(request) is var plain && plain.Bindings.Any(one => one.Value.IsException) ? Error(request, 2) : plain;
        }

        (int count, List<Problem> problems) = Walk(agent, version);
        Assert.Empty(problems);
        Assert.Equal(Rows + 7 + Rows, count);
        Assert.All(agent.Asked, request => Assert.Equal(version == SnmpVersion.V1 ? SnmpPduKind.GetNextRequest : SnmpPduKind.GetBulkRequest, request.Kind));
    }

    [Fact]
    public void The_end_of_everything_ends_a_walk()
    {
        using var agent = new TestAgent([.. TestAgent.Rows("1.3.6.1.4.1.9.1", Rows), .. TestAgent.Rows("1.3.6.1.4.1.9.3", 5)]);
        Assert.Equal((Rows + 5, 0), (Walk(agent).Count, Walk(agent).Problems.Count));
        using var old = new TestAgent([.. TestAgent.Rows("1.3.6.1.4.1.9.1", Rows), .. TestAgent.Rows("1.3.6.1.4.1.9.3", 5)])
        {
            Answer = (self, request) => self.Plain(request) is var plain && plain.Bindings.ToList().FindIndex(one => one.Value.IsException) is >= 0 and var at ? Error(request, 2) with { ErrorIndex = at + 1 } : plain,
        };
        Assert.Equal(Rows + 5, Walk(old, SnmpVersion.V1).Count);
    }

    // RFC 3416 section 4.2.3: an answer may be cut anywhere, also within a repetition.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(4)]
    [InlineData(17)]
    public void An_agent_that_cuts_its_answers_short(int most)
    {
        using TestAgent agent = Agent();
        agent.Answer = (self, request) => self.Plain(request) is var plain ? plain with { Bindings = [.. plain.Bindings.Take(most)] } : null;
        (int count, List<Problem> problems) = Walk(agent);
        Assert.Empty(problems);
        Assert.Equal(Rows + 7 + Rows, count);

        // What came last says how much is asked for next: at most twice as much, or each column once.
        Assert.All(agent.Asked.Skip(4), request => Assert.InRange(request.MaxRepetitions * request.Bindings.Count, 1, Math.Max(3, 2 * most)));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(10)]
    public void An_agent_that_says_too_big(int most)
    {
        using TestAgent agent = Agent();
        agent.Answer = (self, request) => self.Plain(request) is var plain && plain.Bindings.Count > most ? Error(request, 1) : plain;
        (int count, List<Problem> problems) = Walk(agent);
        Assert.Empty(problems);
        Assert.Equal(Rows + 7 + Rows, count);
    }

    [Fact]
    public void An_agent_that_cuts_down_to_nothing()
    {
        using TestAgent agent = Agent();
        agent.Answer = (self, request) => self.Plain(request) is var plain && plain.Bindings.Count > 5 ? plain with { Bindings = [] } : plain;
        (int count, List<Problem> problems) = Walk(agent);
        Assert.Empty(problems);
        Assert.Equal(Rows + 7 + Rows, count);
    }

    [Fact]
    public void An_agent_that_never_gives_anything_comes_to_an_end()
    {
        using TestAgent agent = Agent();
        agent.Answer = (self, request) => self.Plain(request) with { Bindings = [] };
        (int count, List<Problem> problems) = Walk(agent);
        Assert.Equal((0, 3), (count, problems.Count));
        Assert.All(problems, problem => Assert.Equal(ProblemId.SnmpRefused, problem.Id));
        Assert.True(agent.Asked.Count < 40, $"{agent.Asked.Count} requests");
    }

    // One object that the agent stumbles over; the columns beside it are read to their ends.
    [Theory]
    [InlineData(5, "genErr")]
    [InlineData(16, "authorizationError")]
    public void A_column_that_cannot_be_read_further_does_not_stop_the_others(int status, string name)
    {
        using TestAgent agent = Agent();
        Oid stumbles = Columns[0].Then(100);
        agent.Answer = (self, request) => self.Plain(request) is var plain && plain.Bindings.Any(one => one.Name == stumbles) ? Error(request, status) : plain;
        (int count, List<Problem> problems) = Walk(agent);
        Assert.Equal(99 + 7 + Rows, count);
        Assert.Equal(
            (ProblemId.SnmpRefused, $"The agent answers with the error {name} where the object after {Columns[0].Then(99)} is asked for, so the rest of {Columns[0]} was not read."),
            (Assert.Single(problems).Id, problems[0].Sentence));
    }

    [Fact]
    public void An_agent_that_goes_back_is_left()
    {
        using TestAgent agent = Agent();
        agent.Answer = (self, request) => self.Plain(request) is var plain
            ? plain with { Bindings = [.. plain.Bindings.Select(one => one.Name == Columns[0].Then(51) ? new VarBind(Columns[0].Then(7), one.Value) : one)] } : null;
        (int count, List<Problem> problems) = Walk(agent);
        Assert.Equal(50 + 7 + Rows, count);
        Assert.Equal(
            (ProblemId.SnmpWalkEndless, $"A walk was ended because the agent gives {Columns[0].Then(7)} after {Columns[0].Then(50)}, which does not go forward."), (Assert.Single(problems).Id, problems[0].Sentence));
    }

    [Fact]
    public void An_agent_that_says_the_same_for_ever_is_left()
    {
        using TestAgent agent = Agent();
        agent.Answer = (_, request) => new SnmpPdu(SnmpPduKind.Response, request.RequestId, [.. request.Bindings.Select(_ => new VarBind(Columns[0].Then(1), SnmpValue.Null))]);
        (int count, List<Problem> problems) = Walk(agent);
        Assert.Equal((1, 1), (count, problems.Count));
        Assert.True(agent.Asked.Count < 10);
    }

    // An agent without end: it makes up one more object for ever.
    [Fact]
    public void A_walk_without_end_is_ended()
    {
        using var agent = new TestAgent([])
        {
            Answer = (_, request) =>
            {
                Oid last = request.Bindings[0].Name;
                uint next = last.Length > Columns[0].Length ? last[last.Length - 1] : 0;
                return new SnmpPdu(SnmpPduKind.Response, request.RequestId, [.. Enumerable.Range(1, 3000).Select(i => new VarBind(Columns[0].Then(next + (uint)i), SnmpValue.Null))]);
            },
        };
        SnmpRows rows = new();
        List<Problem> problems = [];
        using var session = new SnmpSession(agent.Endpoint, new CommunityAccess(TestAgent.Community), Patient);
        new SnmpWalk(session, rows, problems).Columns(Columns[0]);
        Assert.Equal((ProblemId.SnmpWalkEndless, "A walk was ended because the agent has more than 500000 objects."), (Assert.Single(problems).Id, problems[0].Sentence));
    }

    // With a time filter (RFC 4502) the same two neighbours come again under every mark, a hundred a second.
    [Fact]
    public void A_table_with_a_time_filter_comes_to_an_end()
    {
        Oid name = Oid.Parse("1.0.8802.1.1.2.1.4.1.1.9");
        using var agent = new TestAgent([]) { Answer = (_, request) => Filtered(request) };
        SnmpRows rows = new();
        List<Problem> problems = [];
        using var session = new SnmpSession(agent.Endpoint, new CommunityAccess(TestAgent.Community), Patient);
        new SnmpWalk(session, rows, problems).Columns([name], _ => true);
        Assert.Equal((16, 0), (rows.Count, problems.Count));
        Assert.True(agent.Asked.Count < 10, $"{agent.Asked.Count} requests");

        SnmpPdu Filtered(SnmpPdu request)
        {
            uint[] last = request.Bindings[0].Name.After(name.Length);
            long next = last.Length < 3 ? 0 : ((last[0] * 2L) + last[1]);
            return new SnmpPdu(
                SnmpPduKind.Response, request.RequestId,
                [.. Enumerable.Range(0, request.MaxRepetitions).Select(i => next + i).Select(i => new VarBind(name.Then((uint)(i / 2), (uint)(1 + (i % 2)), 7), SnmpValue.Of("phone")))]);
        }
    }

    [Fact]
    public void What_fits_is_asked_for_at_once()
    {
        using TestAgent agent = Agent();
        _ = Walk(agent);
        Assert.True(agent.Asked.Count < 20, $"{agent.Asked.Count} requests for {Rows + 7 + Rows} rows");
    }
}
