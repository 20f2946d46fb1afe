using System.Globalization;
using PoeOps.Outages;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Outages;

/// <summary>How the loads of a unit come back after a reset.</summary>
public sealed class RestartTests
{
    // 60, 45 and 4 W in this order: 58 W of budget passes the first and brings back the other two, 60 W brings back the first alone.
    [Theory]
    [InlineData(58, "1 Refused  0|2 Back 2 45|3 Back 3 4")]
    [InlineData(60, "1 Back 1 60|2 Refused  0|3 Refused  0")]
    [InlineData(64, "1 Back 1 60|2 Refused  0|3 Back 3 4")]
    [InlineData(109, "1 Back 1 60|2 Back 2 45|3 Back 3 4")]
    [InlineData(108.9, "1 Back 1 60|2 Back 2 45|3 Refused  0")]
    public void More_supply_can_bring_fewer_loads_back(decimal budget, string ports) =>
        Assert.Equal(ports, Ports(Unit(budget, new("1") { Signature = PdSignature.Of(6) }, new("2") { Signature = PdSignature.Of(5) }, new("3") { Signature = PdSignature.Of(1) })));

    // By hand: slots of 1 s. Port 2 goes first for its priority; port 1 waits at 2 (30 + 30 > 50) and comes when port 2 has negotiated 12 W at 5: slot 5 to 6.
    [Fact]
    public void A_port_waits_until_another_claims_less()
    {
        RestartResult result = Restart.Simulate(Unit(
            50, new("1") { Signature = PdSignature.Of(4) }, new("2") { Signature = PdSignature.Of(4), Priority = 1, NegotiatedWatts = 12, NegotiateSeconds = 4 }, new("3") { Signature = PdSignature.Of(1) }));
        Assert.Equal("2 Back 1 12|1 Back 6 30|3 Back 3 4", Line(result));
        Assert.Equal("0: 0|1: 30|3: 34|5: 16|6: 46", string.Join("|", result.Steps.Select(step => StepwiseRestart.Step(step.Seconds, step.GrantedWatts))));
        Assert.Empty(result.Refused);
    }

    [Fact]
    public void A_claim_that_would_grow_grows_only_if_it_fits()
    {
        Assert.Equal("1 Reduced 1 15.4|2 Back 2 15.4", Ports(Unit(40, new("1") { Signature = PdSignature.Of(3), NegotiatedWatts = 25, NegotiateSeconds = 5 }, new("2") { Signature = PdSignature.Of(3) })));
        Assert.Equal("1 Back 1 24.6|2 Back 2 15.4", Ports(Unit(40, new("1") { Signature = PdSignature.Of(3), NegotiatedWatts = 24.6m, NegotiateSeconds = 5 }, new("2") { Signature = PdSignature.Of(3) })));
    }

    [Fact]
    public void The_guard_band_is_kept_back_and_a_claim_that_fits_exactly_is_granted()
    {
        Assert.Equal("1 Back 1 30|2 Refused  0", Ports(Unit(70, new("1") { Signature = PdSignature.Of(4) }, new("2") { Signature = PdSignature.Of(4) }) with { GuardBandWatts = 10.1m }));
        Assert.Equal("1 Back 1 30|2 Back 2 30", Ports(Unit(70, new("1") { Signature = PdSignature.Of(4) }, new("2") { Signature = PdSignature.Of(4) }) with { GuardBandWatts = 10 }));
    }

    [Theory]
    [InlineData(RestartPolicy.ByClass, "1 Back 0.5 30|2 Refused  0")]
    [InlineData(RestartPolicy.ByDraw, "1 Back 0.5 8|2 Back 3 7")]
    [InlineData(RestartPolicy.ByLimit, "1 Back 0.5 15|2 Back 1 20")]
    public void A_port_claims_what_the_policy_says(RestartPolicy policy, string ports) =>
        Assert.Equal(ports, Ports(Unit(40, new("1") { Signature = PdSignature.Of(4), DrawWatts = 8, BootSeconds = 2, LimitWatts = 15 }, new("2") { Signature = PdSignature.Of(4), DrawWatts = 7, BootSeconds = 2, LimitWatts = 20 }) with { Policy = policy, StaggerSeconds = 0.5m }));

    [Fact]
    public void A_port_is_demoted_to_the_next_level_that_fits_where_the_controller_does_so()
    {
        RestartUnit unit = Unit(95, new("1") { Signature = PdSignature.Of(6) }, new("2") { Signature = PdSignature.Of(8) }, new("3") { Signature = PdSignature.Of(4) });
        Assert.Equal("1 Back 1 60|2 Refused  0|3 Back 3 30", Ports(unit));
        Assert.Equal("1 Back 1 60|2 Reduced 2 30|3 Refused  0", Ports(unit with { Demotes = true }));
        Assert.Equal("1 Back 1 60|2 Reduced 2 14|3 Reduced 3 14", Ports(unit with { Demotes = true, Clause = PseClause.Clause145, BudgetWatts = 88 }));
    }

    [Fact]
    public void An_unknown_class_counts_as_class_0_and_names_are_ordered_as_people_do() =>
        Assert.Equal("2 Back 1 15.4|10 Back 2 4", Ports(Unit(100, new("10") { Signature = PdSignature.Of(1) }, new("2"))));

    [Fact]
    public void Ten_thousand_units_come_back_as_in_steps_of_a_tenth()
    {
        var random = new Random(20261125);
        for (int i = 0; i < 10_000; i++)
        {
            RestartUnit unit = Any(random);
            RestartResult result = Restart.Simulate(unit);
            (List<string> ports, List<string> steps) = StepwiseRestart.Simulate(unit);
            Assert.Equal(string.Join("|", ports), Line(result));
            Assert.Equal(steps, result.Steps.Select(step => StepwiseRestart.Step(step.Seconds, step.GrantedWatts)));

            // What must hold of any: never more than may be granted, and no matter in which order the ports are given.
            Assert.All(result.Steps, step => Assert.InRange(step.GrantedWatts, 0, Math.Max(0, unit.BudgetWatts - unit.GuardBandWatts)));
            Assert.Equal(Line(result), Ports(unit with { Ports = [.. unit.Ports.OrderBy(_ => random.Next())] }));
        }
    }

    [Theory]
    [InlineData("The budget is -1 W, and 0 to 100000 was expected.")]
    [InlineData("The budget is 0 W, and 1 of its ports were powered.")]
    [InlineData("The guard band is -1 W, and 0 to 100000 was expected.")]
    [InlineData("The time for one port is 0 s, and 0.001 to 86400 was expected.")]
    [InlineData("The port '1' is there twice.")]
    [InlineData("The priority of port '1' is 4 by RFC 3621, and 1 to 3 was expected.")]
    [InlineData("What was negotiated for port '1' is 1001 W, and 0 to 1000 was expected.")]
    [InlineData("The draw of port '1' is -0.1 W, and 0 to 1000 was expected.")]
    public void A_unit_that_cannot_be_is_refused(string told)
    {
        RestartUnit unit = Unit(100, new RestartPort("1"));
        RestartUnit wrong = told.Split(' ') switch
        {
            [_, "budget", "is", "0", ..] => unit with { BudgetWatts = 0 },
            [_, "budget", ..] => unit with { BudgetWatts = -1 },
            [_, "guard", ..] => unit with { GuardBandWatts = -1 },
            [_, "time", ..] => unit with { StaggerSeconds = 0 },
            ["The", "port", ..] => unit with { Ports = [new("1"), new("1")] },
            [_, "priority", ..] => unit with { Ports = [new("1") { Priority = 4 }] },
            [_, "draw", ..] => unit with { Ports = [new("1") { DrawWatts = -0.1m }] },
            _ => unit with { Ports = [new("1") { NegotiatedWatts = 1001 }] },
        };
        Problem problem = Assert.Throws<PoeOpsException>(() => Restart.Simulate(wrong)).Problem;
        Assert.Equal((ProblemId.RestartImpossible, told), (problem.Id, problem.Sentence));
    }

    [Theory]
    [InlineData(9, null, null, "The class of port '1' is 9, and 0 to 8 was expected.")]
    [InlineData(null, 6, null, "The class on Alternative A of port '1' is 6, and 1 to 5 was expected.")]
    [InlineData(null, 1, 0, "The class on Alternative B of port '1' is 0, and 1 to 5 was expected.")]
    public void A_class_that_does_not_exist_is_told_with_its_port(int? single, int? pairsetA, int? pairsetB, string told)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => Restart.Simulate(Unit(100, new RestartPort("1") { Signature = PdSignature.Of(single, pairsetA, pairsetB) }))).Problem;
        Assert.Equal((ProblemId.ClassUnknown, told), (problem.Id, problem.Sentence));
    }

    // Class 4 on one pairset and class 5 on the other: 30 + 45 W.
    [Fact]
    public void A_dual_signature_load_claims_both_pairsets()
    {
        Assert.Equal("1 Back 1 75", Ports(Unit(75, new RestartPort("1") { Signature = PdSignature.Of(null, 4, 5) })));
        Assert.Equal("1 Refused  0", Ports(Unit(74.9m, new RestartPort("1") { Signature = PdSignature.Of(null, 4, 5) })));
        Assert.Equal("1 Reduced 1 60", Ports(Unit(74.9m, new RestartPort("1") { Signature = PdSignature.Of(null, 4, 5) }) with { Demotes = true }));
    }

    private static RestartUnit Unit(decimal budget, params RestartPort[] ports) => new() { BudgetWatts = budget, Ports = ports };

    private static string Ports(RestartUnit unit) => Line(Restart.Simulate(unit));

    private static string Line(RestartResult result) => string.Join("|", result.Ports.Select(port => StepwiseRestart.Line(port.Name, port.Outcome, port.BackSeconds, port.Watts)));

    private static RestartUnit Any(Random random)
    {
        int count = random.Next(1, 9);
        decimal Tenths(int most) => random.Next(most) / 10m;
        decimal? Perhaps(int most) => random.Next(3) == 0 ? null : Tenths(most);
        return new RestartUnit
        {
            BudgetWatts = 0.1m + Tenths(300 * count), GuardBandWatts = random.Next(2) == 0 ? 0 : Tenths(200), Policy = (RestartPolicy)random.Next(3), Demotes = random.Next(3) == 0,
            Clause = new[] { PseClause.Unknown, PseClause.Clause33, PseClause.Clause145 }[random.Next(3)], StaggerSeconds = (1 + random.Next(20)) / 10m,
            Ports =
            [
                .. Enumerable.Range(1, count).Select(name => new RestartPort(name.ToString(CultureInfo.InvariantCulture))
                {
                    Priority = random.Next(1, 4), Signature = PdSignature.Of(random.Next(5) == 0 ? null : random.Next(9)), NegotiatedWatts = Perhaps(700), LimitWatts = Perhaps(700), DrawWatts = Perhaps(500),
                    FixedWatts = random.Next(6) == 0 ? Tenths(400) : null, NegotiateSeconds = Tenths(60), BootSeconds = Tenths(90),
                }),
            ],
        };
    }
}
