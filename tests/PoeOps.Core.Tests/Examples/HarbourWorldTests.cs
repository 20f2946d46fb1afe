namespace PoeOps.Core.Tests.Examples;

public class HarbourWorldTests
{
    [Theory]
    [InlineData("Behind", "hall-1/1 hall-1/2 hall-2/A quay-1/1 quay-1/2 quay-2/B quay-3/A cold-1/1 pilot-1/A")]
    [InlineData("Current", "hall-1/3 hall-2/B quay-2/A cold-1/2 pilot-1/B pilot-2/1")]
    [InlineData("Ahead", "hall-1/4")]
    [InlineData("Unlisted", "hall-3/1 hall-3/2 pilot-2/2")]
    [InlineData("Faulted", "quay-1/3 quay-2/C")]
    public void Every_verdict_occurs(string verdict, string units) =>
        Assert.Equal(units, string.Join(' ', Harbour.Units.Where(unit => unit.Verdict == verdict).Select(unit => unit.Id)));

    [Fact]
    public void One_unit_of_each_family_needs_two_images() =>
        Assert.Equal(["quay-1/1", "quay-2/B"], Harbour.Units.Where(unit => unit.Hops == 2).Select(unit => unit.Id));

    [Fact]
    public void One_model_and_one_release_are_not_in_the_baseline()
    {
        string[] listed = [.. Harbour.Objects(Harbour.Baseline, "entries").Select(entry => (string)entry["model"]!)];
        Assert.Equal(["hall-3/1", "hall-3/2"], Harbour.Units.Where(unit => unit.Verdict == "Unlisted" && listed.Contains((string)unit.Model["model"]!)).Select(unit => unit.Id));
        Assert.Equal(["pilot-2/2"], Harbour.Units.Where(unit => unit.Verdict == "Unlisted" && !listed.Contains((string)unit.Model["model"]!)).Select(unit => unit.Id));
    }

    [Fact]
    public void One_controller_is_faulted_and_one_is_absent() =>
        Assert.Equal(["quay-1/3 Absent", "quay-2/C Faulted"], Harbour.Units.Where(unit => unit.Condition != "Healthy").Select(unit => $"{unit.Id} {unit.Condition}"));

    [Fact]
    public void Some_current_controllers_spell_the_approved_version_otherwise() =>
        Assert.Equal(
            ["hall-1/3", "hall-2/B", "cold-1/2", "pilot-1/B"],
            Harbour.Units.Where(unit => unit.Verdict == "Current" && unit.Firmware != (string)unit.Entry!["firmware"]!).Select(unit => unit.Id));

    [Fact]
    public void Four_units_that_are_behind_feed_life_safety_loads() =>
        Assert.Equal(
            ["hall-1/2", "quay-1/2", "cold-1/1", "pilot-1/A"],
            Harbour.Units.Where(unit => unit.Verdict == "Behind" && unit.Powered.Any(port => port.Role is "help point" or "cold-room alarm")).Select(unit => unit.Id));

    [Fact]
    public void The_first_script_accepts_just_those_four_by_name() =>
        Assert.Contains("$accepted = 'hall-1/2', 'quay-1/2', 'cold-1/1', 'pilot-1/A'", Harbour.TextOf("01-Rehearse.ps1"));

    [Fact]
    public void Every_unit_runs_within_its_budget() =>
        Assert.All(Harbour.Units, unit => Assert.True(unit.Powered.Sum(port => port.SettledWatts) <= unit.GrantableWatts, unit.Id));

    [Fact]
    public void One_unit_cannot_grant_everything_by_class_at_once() =>
        Assert.Equal(["cold-1/1"], Harbour.Units.Where(unit => unit.Powered.Sum(port => port.ClassWatts) > unit.GrantableWatts).Select(unit => unit.Id));

    [Fact]
    public void No_port_is_named_twice_or_beyond_its_model()
    {
        Assert.All(Harbour.Units, unit => Assert.Equal(unit.Numbers.Count, unit.Numbers.Distinct().Count()));
        Assert.All(Harbour.Units, unit => Assert.All(unit.Numbers, port => Assert.InRange(port, 1, (int)unit.Model["ports"]!)));
    }

    [Fact]
    public void No_serial_number_occurs_twice() => Assert.Equal(Harbour.Units.Count, Harbour.Units.Select(unit => unit.Serial).Distinct().Count());

    [Fact]
    public void The_stages_take_no_longer_than_the_baseline_says() =>
        Assert.All(
            Harbour.Units.Where(unit => unit.Entry is not null),
            unit => Assert.All(unit.Model["stageSeconds"]!.AsObject(), stage => Assert.True((double)stage.Value! <= (double)unit.Entry!["stageSeconds"]![stage.Key]!["typical"]!, $"{unit.Id} {stage.Key}")));
}
