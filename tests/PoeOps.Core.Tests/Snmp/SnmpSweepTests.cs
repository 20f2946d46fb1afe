using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Many agents side by side.</summary>
public sealed class SnmpSweepTests
{
    private static readonly SnmpTimes Impatient = new() { FirstWait = TimeSpan.FromSeconds(1), LongestWait = TimeSpan.FromSeconds(1), FirstTries = 4, Tries = 20 };

    private static IEnumerable<VarBind> Rows(int watts) =>
    [
        new(Oid.Parse("1.3.6.1.2.1.105.1.3.1.1.2.1"), SnmpValue.Of(SnmpType.Gauge32, watts)), new(Oid.Parse("1.3.6.1.2.1.105.1.3.1.1.3.1"), SnmpValue.Of(SnmpType.Integer, 1)),
        new(Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.1.1"), SnmpValue.Of(SnmpType.Integer, 2)),
    ];

    private static SnmpPlace Place(TestAgent agent, int number) => new("127.0.0.1", agent.Endpoint.Port, new SnmpContext { Switch = $"s{number}" });

    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    [InlineData(100)]
    public void Every_place_gives_a_reading_and_one_at_a_time_they_come_in_order(int atOnce)
    {
        TestAgent[] agents = [.. Enumerable.Range(1, 12).Select(i => new TestAgent(Rows(100 + i)))];
        SnmpReading[] readings = [.. SnmpSweep.Read([.. agents.Select((agent, i) => Place(agent, i))], new CommunityAccess(TestAgent.Community), atOnce)];
        string[] read = [.. readings.Select(one => $"{one.Controllers[0].UnitId} {one.Controllers[0].BudgetWatts}")];
        string[] expected = [.. Enumerable.Range(0, 12).Select(i => $"s{i}/1 {101 + i}")];
        Assert.Equal(expected, atOnce == 1 ? read : read.OrderBy(one => Array.IndexOf(expected, one)));
        Array.ForEach(agents, agent => agent.Dispose());
    }

    [Fact]
    public void One_that_is_silent_does_not_stop_the_others()
    {
        using var silent = new TestAgent([]) { Answer = (_, _) => null };
        using var good = new TestAgent(Rows(370));
        SnmpReading[] readings = [.. SnmpSweep.Read([Place(silent, 1), Place(good, 2)], new CommunityAccess(TestAgent.Community), 2, Impatient)];
        Assert.Equal((ProblemId.SnmpSilent, "s1"), readings.SelectMany(one => one.Problems).Select(one => (one.Id, one.Target)).Single());
        Assert.Equal(370m, readings.SelectMany(one => one.Controllers).Single().BudgetWatts);
    }

    [Fact]
    public void Who_stops_taking_stops_the_reading_and_so_does_a_cancel()
    {
        using var silent = new TestAgent([]) { Answer = (_, _) => null };
        using var good = new TestAgent(Rows(370));
        SnmpPlace[] places = [Place(good, 1), .. Enumerable.Repeat(Place(silent, 2), 500)];
        Assert.Single(SnmpSweep.Read(places, new CommunityAccess(TestAgent.Community), 4).Take(1));
        using var cancel = new CancellationTokenSource();
        cancel.Cancel();
        Assert.ThrowsAny<OperationCanceledException>(() => SnmpSweep.Read(places, new CommunityAccess(TestAgent.Community), 4, null, cancel.Token).Count());
    }

    [Fact]
    public void A_host_that_nobody_knows_is_told_of()
    {
        SnmpReading reading = SnmpReader.Read("north.invalid", 161, new CommunityAccess("quiet"), new SnmpContext { Switch = "north" });
        Assert.Equal((ProblemId.ConnectFailed, "Nobody knows the host 'north.invalid'.", "north"), (Assert.Single(reading.Problems).Id, reading.Problems[0].Sentence, reading.Problems[0].Target));
    }
}
