using System.Globalization;
using PoeOps.Outages;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Outages;

/// <summary>What would bring every load back.</summary>
public sealed class RestartRemedyTests
{
    // 60, 45 and 4 W at 60 W of budget: 109 W in all, so 49 more. Any other order of the three leaves one out as well.
    [Fact]
    public void More_supply_is_found_by_trying() =>
        Assert.Equal("49 W more supply", Found(new RestartUnit { BudgetWatts = 60, Ports = [new("1") { Signature = PdSignature.Of(6) }, new("2") { Signature = PdSignature.Of(5) }, new("3") { Signature = PdSignature.Of(1) }] }));

    // 58 W brings back 45 and 4; 51 more bring back all, and none of 1 to 50 does.
    [Fact]
    public void A_little_more_supply_can_help_less() =>
        Assert.Equal("51 W more supply", Found(new RestartUnit { BudgetWatts = 58, Ports = [new("1") { Signature = PdSignature.Of(6) }, new("2") { Signature = PdSignature.Of(5) }, new("3") { Signature = PdSignature.Of(1) }] }));

    // The first takes 30 W for good, and the second, which would be content with 12, needs 30 for a moment: 42 W are not enough. Fixed at 12 it fits; raised, it
    // comes first and has negotiated when the other has its turn again; else 60 W are needed.
    [Fact]
    public void A_port_that_negotiates_less_is_fixed_at_that_or_comes_first() =>
        Assert.Equal(
            "port 2 fixed at the 12 W that its load negotiates|port 2 raised to the highest priority|18 W more supply",
            Found(new RestartUnit { BudgetWatts = 42, Ports = [new("1") { Signature = PdSignature.Of(4) }, new("2") { Signature = PdSignature.Of(4), NegotiatedWatts = 12, NegotiateSeconds = 5 }] }));

    [Fact]
    public void Where_all_come_back_nothing_is_proposed() => Assert.Equal("", Found(new RestartUnit { BudgetWatts = 30, Ports = [new("1") { Signature = PdSignature.Of(4) }] }));

    // A unit of 370 W that ran 47 loads on what they negotiated: 7 W each, 329 W in all. After a reset each is granted 15.4 W for 20 s; 24 fit at once, and
    // as the first negotiate the others follow. One that never negotiates, the last, finds 370 - 46 x 7 = 48 W: it comes back as well.
    [Fact]
    public void Forty_seven_loads_come_back_one_after_the_other()
    {
        RestartUnit unit = new() { BudgetWatts = 370, Ports = [.. Enumerable.Range(1, 47).Select(name => new RestartPort(name.ToString(CultureInfo.InvariantCulture)) { Signature = PdSignature.Of(3), NegotiatedWatts = 7, NegotiateSeconds = 20 })] };
        RestartResult result = Restart.Simulate(unit);
        Assert.Empty(result.Refused);
        Assert.Equal(329m, result.Steps[^1].GrantedWatts);
        Assert.Equal(369.6m, result.Steps.Max(step => step.GrantedWatts));
    }

    [Fact]
    public void Every_proposal_does_what_it_says_and_nothing_less_of_its_kind_does()
    {
        var random = new Random(20261126);
        Dictionary<RemedyKind, int> seen = [];
        for (int i = 0; i < 1_000; i++)
        {
            RestartUnit unit = Any(random);
            string[] whole = [.. Restart.Simulate(unit).Ports.Where(port => port.Outcome == RestartOutcome.Back).Select(port => port.Name)];
            foreach (RestartRemedy remedy in RestartRemedies.Find(unit))
            {
                seen[remedy.Kind] = seen.GetValueOrDefault(remedy.Kind) + 1;
                Assert.True(Helps(unit, Changed(unit, remedy)));
                if (remedy.Kind == RemedyKind.Supply)
                {
                    // Every figure of the units below is in tenths.
                    Assert.True(remedy.IsLeast);
                    Assert.All(Enumerable.Range(0, (int)(remedy.Watts * 10)), less => Assert.False(HelpsQuickly(whole, unit with { BudgetWatts = unit.BudgetWatts + (less / 10m) })));
                }
                else if (remedy.IsLeast)
                {
                    Assert.All(SmallerSets(unit, remedy), smaller => Assert.False(HelpsQuickly(whole, Changed(unit, smaller))));
                }
            }
        }

        Assert.All(new[] { RemedyKind.Supply, RemedyKind.Fix, RemedyKind.Raise }, kind => Assert.InRange(seen.GetValueOrDefault(kind), 20, 1_000));
    }

    // By hand: the first has its 30 W, and the second when that has negotiated 16; beside 32 W no third finds 30. Whichever is fixed alone, another is the third;
    // with two fixed the last needs 30 W beside 16, and all have 48 in the end.
    [Fact]
    public void Changes_that_only_help_together_are_found()
    {
        RestartUnit unit = new()
        {
            BudgetWatts = 48,
            Ports = [new("1") { Signature = PdSignature.Of(4), NegotiatedWatts = 16, NegotiateSeconds = 5 }, new("2") { Signature = PdSignature.Of(4), NegotiatedWatts = 16, NegotiateSeconds = 5 }, new("3") { Signature = PdSignature.Of(4), NegotiatedWatts = 16, NegotiateSeconds = 5 }],
        };
        Assert.Equal("3 Refused", string.Join(",", Restart.Simulate(unit).Refused.Select(port => $"{port.Name} {port.Outcome}")));
        Assert.Equal("ports fixed at what their loads negotiate (1 at 16 W, 3 at 16 W)|14 W more supply", Found(unit));

        // No class fits at all, and what all negotiate fits exactly: each of the three must be fixed.
        RestartUnit tight = unit with { BudgetWatts = 28, Ports = [.. unit.Ports.Select(port => port with { NegotiatedWatts = port.Name == "3" ? 4 : 12 })] };
        Assert.Equal("1,2,3", string.Join(",", Restart.Simulate(tight).Refused.Select(port => port.Name)));
        Assert.Equal("ports fixed at what their loads negotiate (1 at 12 W, 2 at 12 W, 3 at 4 W)|True", $"{RestartRemedies.Find(tight)[0]}|{RestartRemedies.Find(tight)[0].IsLeast}");
    }

    // Port 1 grows from 15.4 to 25 W beside nobody. With port 2 raised both have power, and port 1 stays at its class: that is no help, but taking from one.
    [Fact]
    public void No_proposal_takes_from_a_load_that_came_back_whole() =>
        Assert.Equal(
            "5 W more supply",
            Found(new RestartUnit { BudgetWatts = 50, Ports = [new("1") { Signature = PdSignature.Of(3), NegotiatedWatts = 25, NegotiateSeconds = 0.5m }, new("2") { Signature = PdSignature.Of(4) }] }));

    // Half of whatever the budget is is kept back: 30 W more are granted of 60 W more.
    [Fact]
    public void A_guard_band_in_per_cent_grows_with_the_supply()
    {
        RestartUnit unit = new() { BudgetWatts = 60, GuardBandPercent = 50, Ports = [new("1") { Signature = PdSignature.Of(4) }, new("2") { Signature = PdSignature.Of(4) }] };
        RestartRemedy remedy = Assert.Single(RestartRemedies.Find(unit), one => one.Kind == RemedyKind.Supply);
        Assert.Equal((60m, true), (remedy.Watts, remedy.IsLeast));
        Assert.Empty(Restart.Simulate(remedy.ApplyTo(unit)).Refused);
        Assert.DoesNotContain(RestartRemedies.Find(unit with { GuardBandPercent = 100 }), one => one.Kind == RemedyKind.Supply);
    }

    // No supply of more than any has is proposed, and a chassis of hundreds of ports is not searched for ever: what is found then is not called the least.
    [Fact]
    public void The_search_ends()
    {
        Assert.Equal("", string.Join("|", RestartRemedies.Find(new RestartUnit { BudgetWatts = 20, GuardBandWatts = 99_990, Ports = [new("1") { Signature = PdSignature.Of(4) }] }).Where(one => one.Kind == RemedyKind.Supply)));
        RestartUnit chassis = new()
        {
            BudgetWatts = 3840, Ports = [.. Enumerable.Range(1, 384).Select(name => new RestartPort(name.ToString(CultureInfo.InvariantCulture)) { Signature = PdSignature.Of(4), NegotiatedWatts = 29 - (name * 0.007m), NegotiateSeconds = 30 })],
        };
        RestartRemedy supply = Assert.Single(RestartRemedies.Find(chassis), one => one.Kind == RemedyKind.Supply);
        Assert.Empty(Restart.Simulate(supply.ApplyTo(chassis)).Refused);
        Assert.False(supply.IsLeast);
    }

    private static IEnumerable<RestartRemedy> SmallerSets(RestartUnit unit, RestartRemedy remedy)
    {
        RestartChange[] all =
        [
            .. unit.Ports.Where(port => remedy.Kind != RemedyKind.Raise && port is { FixedWatts: null, NegotiatedWatts: not null }).Select(port => new RestartChange(RemedyKind.Fix, port.Name, port.NegotiatedWatts!.Value)),
            .. unit.Ports.Where(port => remedy.Kind != RemedyKind.Fix && port.Priority > 1).Select(port => new RestartChange(RemedyKind.Raise, port.Name, 0)),
        ];
        return Enumerable.Range(0, 1 << all.Length).Select(bits => all.Where((_, at) => (bits >> at & 1) == 1).ToArray())
            .Where(set => set.Length < remedy.Changes.Count && set.Select(change => change.Port).Distinct().Count() == set.Length).Select(set => new RestartRemedy(set, false));
    }

    // Written from what a remedy says, apart from how it applies itself.
    private static RestartUnit Changed(RestartUnit unit, RestartRemedy remedy)
    {
        foreach (RestartChange change in remedy.Changes)
        {
            unit = change.Kind == RemedyKind.Supply
                ? unit with { BudgetWatts = unit.BudgetWatts + change.Watts }
                : unit with { Ports = [.. unit.Ports.Select(port => port.Name != change.Port ? port : change.Kind == RemedyKind.Fix ? port with { FixedWatts = port.NegotiatedWatts } : port with { Priority = 1 })] };
        }

        return unit;
    }

    private static bool HelpsQuickly(string[] whole, RestartUnit after) =>
        Restart.Simulate(after).Ports.All(port => port.Outcome == RestartOutcome.Back || (port.Outcome == RestartOutcome.Reduced && !whole.Contains(port.Name)));

    // By the other simulator: every load has power, and none that came back whole before is reduced.
    private static bool Helps(RestartUnit before, RestartUnit after)
    {
        string[] whole = [.. StepwiseRestart.Simulate(before).Ports.Where(line => line.Contains(" Back ", StringComparison.Ordinal)).Select(line => line.Split(' ')[0])];
        return StepwiseRestart.Simulate(after).Ports.All(line => line.Contains(" Back ", StringComparison.Ordinal) || (line.Contains(" Reduced ", StringComparison.Ordinal) && !whole.Contains(line.Split(' ')[0])));
    }

    private static string Found(RestartUnit unit) => string.Join("|", RestartRemedies.Find(unit));

    private static RestartUnit Any(Random random)
    {
        int count = random.Next(2, 7);
        return new RestartUnit
        {
            BudgetWatts = random.Next(10, 30 * count),
            Ports =
            [
                .. Enumerable.Range(1, count).Select(name => new RestartPort(name.ToString(CultureInfo.InvariantCulture))
                {
                    Priority = random.Next(1, 4), Signature = PdSignature.Of(random.Next(9)), NegotiatedWatts = random.Next(3) == 0 ? null : random.Next(3, 40), NegotiateSeconds = random.Next(60),
                }),
            ],
        };
    }
}
