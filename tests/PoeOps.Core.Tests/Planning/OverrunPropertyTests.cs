using FsCheck;
using FsCheck.Fluent;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

/// <summary>What holds of the risk of any night, by FsCheck. The draws are the same for all, so that more and less hold exactly.</summary>
public sealed class OverrunPropertyTests
{
    private const int Nights = 12;

    [Fact]
    public void The_bound_is_never_below_the_estimate() =>
        Check(night => night.Risk() is var risk && risk.OverrunBound >= risk.OverrunProbability && risk.OverrunProbability is >= 0 and <= 1 && risk.OverrunBound <= 1);

    [Fact]
    public void A_later_close_is_never_worse() =>
        Check(night => (night with { Close = night.Close + 300 }).Risk() is var longer && night.Risk() is var risk && NotWorse(longer, risk) && longer.OverrunBound <= risk.OverrunBound);

    [Fact]
    public void Slower_stages_longer_recovery_and_later_starts_are_never_better() =>
        Check(night =>
            NotWorse(night.Risk(), (night with { Units = [.. night.Units.Select(unit => unit with { Slow = unit.Slow * 1.1 })] }).Risk())
            && NotWorse(night.Risk(), (night with { Units = [.. night.Units.Select(unit => unit with { Recover = unit.Recover + 30 })] }).Risk())
            && NotWorse(night.Risk(), (night with { Units = [.. night.Units.Select(unit => unit with { Start = unit.Start + 120 })] }).Risk()));

    [Fact]
    public void One_more_unit_is_never_better_and_changes_nothing_of_those_before() =>
        Check(night =>
        {
            WindowRisk before = night.Risk();
            WindowRisk more = (night with { Units = [.. night.Units, night.Units[0] with { Start = night.Units[^1].Start }] }).Risk();
            return more.OverrunProbability >= before.OverrunProbability && more.UnitsAt95 >= before.UnitsAt95;
        });

    [Fact]
    public void All_units_are_in_time_exactly_where_an_overrun_is_rare() =>
        Check(night => night.Risk() is var risk && risk.UnitsAt95 >= 0 && risk.UnitsAt95 <= risk.Units && (risk.UnitsAt95 == risk.Units) == (risk.OverrunProbability <= 0.05));

    [Fact]
    public void A_reserve_grows_with_the_confidence_and_with_the_units() =>
        Prop.ForAll(
            NightGen().ToArbitrary(),
            night =>
            {
                StageTimes[] units = [.. night.Units.Select(unit => unit.Times())];
                TimeSpan[] reserves = [.. new[] { 0.9, 0.97, 0.99, 0.999 }.Select(confidence => OverrunRisk.ReserveFor(units, confidence))];
                return reserves.SequenceEqual(reserves.Order()) && OverrunRisk.ReserveFor(units[..1], 0.99) <= reserves[2];
            }).Check(Config.QuickThrowOnFailure.WithMaxTest(3));

    private static bool NotWorse(WindowRisk better, WindowRisk worse) =>
        better.OverrunProbability <= worse.OverrunProbability && better.UnitsAt95 >= worse.UnitsAt95;

    private static void Check(Func<AnyNight, bool> holds) => Prop.ForAll(NightGen().ToArbitrary(), holds).Check(Config.QuickThrowOnFailure.WithMaxTest(Nights));

    private static Gen<AnyNight> NightGen() =>
        from units in UnitGen().NonEmptyListOf()
        from close in Gen.Choose(200, 5_000)
        select new AnyNight([.. units.Take(3).OrderBy(unit => unit.Start)], close);

    private static Gen<AnyUnit> UnitGen() =>
        from start in Gen.Choose(0, 4_000)
        from typical in Gen.Choose(0, 600)
        from more in Gen.Choose(0, 1_200)
        from recover in Gen.Choose(0, 300)
        select new AnyUnit(start, typical, more, recover, 1);

    private sealed record AnyUnit(double Start, double Typical, double More, double Recover, double Slow)
    {
        public StageTimes Times() => SampleUnit.TimesOf(
            (30 * Slow, 30 * Slow), (60 * Slow, 90 * Slow), (20 * Slow, 20 * Slow), (Typical * Slow, (Typical + More) * Slow), (30 * Slow, 30 * Slow), (10 * Slow, 10 * Slow));
    }

    private sealed record AnyNight(IReadOnlyList<AnyUnit> Units, double Close)
    {
        public WindowRisk Risk() => Night.Risk(Close, [.. Units.Select((unit, index) => Night.Unit(index + 1, unit.Start, unit.Times(), unit.Recover))]);
    }
}
