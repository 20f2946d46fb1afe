using System.Globalization;
using FsCheck;
using FsCheck.Fluent;
using PoeOps.Outages;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Outages;

/// <summary>What holds of the restart of any unit, by FsCheck. A failure prints the smallest unit that it was found with.</summary>
public sealed class RestartPropertyTests
{
    private const int Units = 2_000;

    private static readonly Arbitrary<RestartUnit> AnyUnit = UnitGen().ToArbitrary();

    [Fact]
    public void Granted_power_never_exceeds_budget_less_guard_band() =>
        Check(unit => Restart.Simulate(unit).Steps.All(step => step.GrantedWatts >= 0 && step.GrantedWatts <= unit.GrantableWatts));

    [Fact]
    public void The_order_of_the_rows_never_changes_a_result() =>
        Check(unit => Same(Restart.Simulate(unit), Restart.Simulate(unit with { Ports = [.. unit.Ports.Reverse()] }))
            && Same(Restart.Simulate(unit), Restart.Simulate(unit with { Ports = [.. unit.Ports.OrderBy(port => port.DrawWatts ?? 0).ThenByDescending(port => port.Name, StringComparer.Ordinal)] })));

    // Nobody has its turn while one that stands before it was never tried, or waits with a claim that fits. By class and without demotion a claim at turn-on is one
    // figure: at the beginning of a slot that ends well, every port that stands before and comes back later did not fit beside what was granted then.
    [Fact]
    public void No_slot_goes_to_a_port_while_one_before_it_fits() =>
        Check(unit =>
        {
            RestartUnit plain = unit with { Demotes = false };
            RestartResult result = Restart.Simulate(plain);
            Dictionary<string, RestartPort> ports = plain.Ports.ToDictionary(port => port.Name);
            return result.Ports.Select((port, place) => (port, place)).Where(one => one.port.BackSeconds is not null).All(one =>
            {
                decimal begins = one.port.BackSeconds!.Value - plain.StaggerSeconds;
                decimal granted = result.Steps.Last(step => step.Seconds <= begins).GrantedWatts;
                return result.Ports.Take(one.place).Where(before => before.BackSeconds is not { } back || back > one.port.BackSeconds)
                    .All(before => plain.FirstClaimWatts(ports[before.Name]) + granted > plain.GrantableWatts);
            });
        });

    [Fact]
    public void Who_is_refused_does_not_fit_in_the_end() =>
        Check(unit =>
        {
            RestartUnit plain = unit with { Demotes = false };
            RestartResult result = Restart.Simulate(plain);
            Dictionary<string, RestartPort> ports = plain.Ports.ToDictionary(port => port.Name);
            decimal granted = result.Steps[^1].GrantedWatts;
            return granted == result.Ports.Sum(port => port.Watts) && result.Refused.All(port => granted + plain.FirstClaimWatts(ports[port.Name]) > plain.GrantableWatts);
        });

    [Fact]
    public void Energy_adds_up_over_any_split_of_time() =>
        Prop.ForAll(
            Gen.Choose(0, 100_000).Three().ToArbitrary(),
            split =>
            {
                Watts power = new(split.Item1 / 1000m);
                TimeSpan first = TimeSpan.FromSeconds(split.Item2);
                TimeSpan second = TimeSpan.FromMilliseconds(split.Item3);
                return Math.Abs((power.Over(first) + power.Over(second)).Value - power.Over(first + second).Value) < 1e-20m;
            }).QuickCheckThrowOnFailure();

    [Fact]
    public void Every_proposal_does_what_it_says() =>
        Check(
            unit => RestartRemedies.Find(unit).All(remedy =>
                Helps(unit, remedy.ApplyTo(unit))
                && (remedy.Kind != RemedyKind.Supply || Enumerable.Range(0, 40).All(step => !Helps(unit, unit with { BudgetWatts = unit.BudgetWatts + (Math.Floor(remedy.Watts * 1000 * step / 40) / 1000) })))),
            units: 500);

    [Fact]
    public void More_supply_than_all_could_ever_claim_brings_all_back_whole() =>
        Check(unit =>
        {
            decimal all = unit.GuardBandWatts + unit.Ports.Sum(port => Math.Max(unit.FirstClaimWatts(port), Math.Max(port.NegotiatedWatts ?? 0, port.DrawWatts ?? 0)));
            return Restart.Simulate(unit with { BudgetWatts = all + 0.1m, GuardBandPercent = 0 }).Ports.All(port => port.Outcome == RestartOutcome.Back);
        });

    private static void Check(Func<RestartUnit, bool> holds, int units = Units) =>
        Prop.ForAll(AnyUnit, holds).Check(Config.QuickThrowOnFailure.WithMaxTest(units).WithReplay(20261126, 1));

    private static bool Helps(RestartUnit before, RestartUnit after)
    {
        string[] whole = [.. Restart.Simulate(before).Ports.Where(port => port.Outcome == RestartOutcome.Back).Select(port => port.Name)];
        return Restart.Simulate(after).Ports.All(port => port.Outcome == RestartOutcome.Back || (port.Outcome == RestartOutcome.Reduced && !whole.Contains(port.Name)));
    }

    private static bool Same(RestartResult one, RestartResult other) => one.Ports.SequenceEqual(other.Ports) && one.Steps.SequenceEqual(other.Steps);

    private static Gen<RestartUnit> UnitGen() =>
        from count in Gen.Choose(1, 10)
        from ports in PortGen().ListOf(count)
        from budget in Gen.Choose(1, 300 * count)
        from guard in Gen.Frequency((1, Gen.Constant(0)), (1, Gen.Choose(0, 200)))
        from percent in Gen.Frequency((3, Gen.Constant(0)), (1, Gen.Choose(0, 60)))
        from policy in Gen.Elements(RestartPolicy.ByClass, RestartPolicy.ByDraw, RestartPolicy.ByLimit)
        from clause in Gen.Elements(PseClause.Unknown, PseClause.Clause33, PseClause.Clause145)
        from demotes in Gen.Elements(true, false, false)
        from stagger in Gen.Choose(1, 20)
        select new RestartUnit
        {
            BudgetWatts = budget / 10m, GuardBandWatts = guard / 10m, GuardBandPercent = percent, Policy = policy, Clause = clause, Demotes = demotes, StaggerSeconds = stagger / 10m,
            Ports = [.. ports.Select((port, at) => port with { Name = (at + 1).ToString(CultureInfo.InvariantCulture) })],
        };

    private static Gen<RestartPort> PortGen() =>
        from priority in Gen.Choose(1, 3)
        from signature in Gen.Frequency(
            (1, Gen.Constant(default(PdSignature))), (6, Gen.Choose(0, 8).Select(number => PdSignature.Of(number))), (1, Gen.Choose(1, 5).Two().Select(both => PdSignature.Of(null, both.Item1, both.Item2))))
        from negotiated in Tenths(700)
        from limit in Tenths(700)
        from draw in Tenths(500)
        from given in Gen.Frequency((5, Gen.Constant((decimal?)null)), (1, Tenths(400)))
        from times in Gen.Choose(0, 900).Two()
        select new RestartPort("1")
        {
            Priority = priority, Signature = signature, NegotiatedWatts = negotiated, LimitWatts = limit, DrawWatts = draw, FixedWatts = given, NegotiateSeconds = times.Item1 / 10m, BootSeconds = times.Item2 / 10m,
        };

    private static Gen<decimal?> Tenths(int most) => Gen.Frequency((1, Gen.Constant((decimal?)null)), (2, Gen.Choose(0, most).Select(tenths => (decimal?)(tenths / 10m))));
}
