using PoeOps.Baselines;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Worked by hand: Gate 30, Transfer 40, Erase 10, Program 200, Reset 20, Verify 15 and Recover 120 seconds are 435 together.</summary>
public sealed class TimeLeftTests
{
    private static readonly DateTime Opens = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);

    [Theory]
    [InlineData(Stage.Gate, null, 0, 435)]
    [InlineData(Stage.Gate, null, 12, 423)]
    [InlineData(Stage.Transfer, 0, 99, 405)] // what the device says counts, not the time it took
    [InlineData(Stage.Transfer, 25, 0, 395)]
    [InlineData(Stage.Erase, null, 10, 355)]
    [InlineData(Stage.Program, 40, 3, 275)]
    [InlineData(Stage.Program, 100, 3, 155)]
    [InlineData(Stage.Program, null, 250, 155)] // longer than as a rule: at its end, and never less than nothing
    [InlineData(Stage.Reset, null, 5, 150)]
    [InlineData(Stage.Verify, null, 15, 120)]
    [InlineData(Stage.Recover, 50, 0, 120)] // power alone is not yet service: the time counts, not the loads with power
    [InlineData(Stage.Recover, null, 119.5, 0.5)]
    [InlineData(Stage.Recover, 100, 30, 90)]
    [InlineData(Stage.Recover, 100, 130, 0)]
    public void A_unit_has_the_rest_of_its_stage_and_the_stages_to_come(Stage stage, int? percent, double inStage, double left) =>
        Assert.Equal(TimeSpan.FromSeconds(left), TimeLeft.OfUnit(Unit(1), stage, percent, TimeSpan.FromSeconds(inStage)));

    [Fact]
    public void What_is_known_of_a_stage_comes_before_what_was_planned()
    {
        Assert.Equal(TimeSpan.FromSeconds(170), TimeLeft.OfUnit(Unit(1), Stage.Recover, 100, TimeSpan.FromSeconds(30), TimeSpan.FromSeconds(170)));
        Assert.Equal(TimeSpan.FromSeconds(0), TimeLeft.OfUnit(Unit(1), Stage.Recover, 100, TimeSpan.FromSeconds(30), TimeSpan.FromSeconds(-1)));
    }

    [Theory]
    [InlineData(Stage.Program, 40, 3, null, 40)]
    [InlineData(Stage.Reset, null, 3, null, null)]
    [InlineData(Stage.Recover, 100, 0, null, 0)]
    [InlineData(Stage.Recover, 100, 30, null, 25)] // 30 of 120 s
    [InlineData(Stage.Recover, 100, 30, 30.0, 50)]
    [InlineData(Stage.Recover, 100, 130, null, 99)] // longer than as a rule, and not at its end
    public void Loads_that_have_power_are_no_stage_that_is_done(Stage stage, int? percent, double inStage, double? left, int? shown) =>
        Assert.Equal(shown, TimeLeft.PercentOf(new RunProgress(1, 2, "north-1/1", stage, percent, "text")
        {
            Planned = Unit(1), InStage = TimeSpan.FromSeconds(inStage), StageLeft = left is { } known ? TimeSpan.FromSeconds(known) : null,
        }));

    [Fact]
    public void A_whole_unit_has_all_stages() => Assert.Equal(TimeSpan.FromSeconds(435), TimeLeft.OfWhole(Unit(1)));

    [Fact]
    public void The_gates_have_a_time_where_a_baseline_has_none()
    {
        PlannedUnit unit = Without("Gate");
        Assert.Equal(TimeSpan.FromSeconds(StageTimes.DefaultGate.TypicalSeconds), TimeLeft.Typical(unit, Stage.Gate));
        Assert.Equal(TimeSpan.FromSeconds(435), TimeLeft.OfWhole(unit)); // the default is 30, too
    }

    [Fact]
    public void Nobody_knows_where_a_stage_to_come_has_no_time()
    {
        PlannedUnit unit = Without("Program");
        Assert.Null(TimeLeft.OfWhole(unit));
        Assert.Null(TimeLeft.OfUnit(unit, Stage.Erase, 50, TimeSpan.Zero));
        Assert.Null(TimeLeft.OfUnit(unit, Stage.Program, 50, TimeSpan.Zero));
        Assert.Equal(TimeSpan.FromSeconds(155), TimeLeft.OfUnit(unit, Stage.Reset, 0, TimeSpan.Zero));
        Assert.Null(TimeLeft.OfRun(Unit(1), TimeSpan.FromSeconds(100), [unit with { Order = 2 }]));
    }

    [Fact]
    public void A_run_has_the_rest_of_its_unit_and_the_units_left_in_its_window()
    {
        PlannedUnit[] remaining = [Unit(2), Unit(3), Unit(4), Unit(5) with { WindowOpensUtc = Opens.AddDays(1), WindowClosesUtc = Opens.AddDays(1.2) }];
        Assert.Equal(TimeSpan.FromSeconds(100 + 435 + 435), TimeLeft.OfRun(Unit(2), TimeSpan.FromSeconds(100), remaining));
        Assert.Equal(TimeSpan.FromSeconds(100), TimeLeft.OfRun(Unit(4), TimeSpan.FromSeconds(100), []));
        Assert.Null(TimeLeft.OfRun(Unit(2), null, remaining));
    }

    [Fact]
    public void Progress_is_taken_four_times_a_second_and_at_each_stage()
    {
        HandClock clock = new();
        ProgressPace pace = new(clock);
        bool Takes(int afterMilliseconds, Stage stage, int percent, int index = 1)
        {
            clock.MoveOn(afterMilliseconds / 1000.0);
            return pace.Takes(new RunProgress(index, 2, "north-1/1", stage, percent, "text"));
        }

        Assert.True(Takes(0, Stage.Transfer, 0));
        Assert.False(Takes(249, Stage.Transfer, 1));
        Assert.Equal(1, pace.Kept?.Percent);
        Assert.True(Takes(1, Stage.Transfer, 2));
        Assert.Null(pace.Kept);
        Assert.False(Takes(1, Stage.Transfer, 3));
        Assert.True(Takes(1, Stage.Erase, 0));
        Assert.True(Takes(0, Stage.Erase, 0, index: 2));
        Assert.Equal(8, Enumerable.Range(0, 201).Count(_ => Takes(10, Stage.Erase, 1, index: 2)));
    }

    [Fact]
    public void No_second_of_a_stage_has_more_than_four_updates()
    {
        HandClock clock = new();
        ProgressPace pace = new(clock);
        var random = new Random(7);
        List<double> shown = [];
        double now = 0;
        for (int i = 0; i < 2000; i++)
        {
            double step = random.Next(0, 400) / 1000.0;
            now += step;
            clock.MoveOn(step);
            if (pace.Takes(new RunProgress(1, 1, "north-1/1", Stage.Recover, i, "text")))
            {
                shown.Add(now);
            }
        }

        Assert.True(shown.Count > 500);
        Assert.All(shown, from => Assert.True(shown.Count(at => at >= from && at < from + 0.9999) <= 4, $"{from}"));
    }

    private static PlannedUnit Unit(int order) => new()
    {
        Order = order,
        Switch = "north-1",
        Unit = "1",
        WindowOpensUtc = Opens,
        WindowClosesUtc = Opens.AddHours(5),
        RecoverSeconds = 120,
        StageTimes = new StageTimes(new Dictionary<string, StageTime>
        {
            ["Gate"] = new(30, 60), ["Transfer"] = new(40, 90), ["Erase"] = new(10, 30), ["Program"] = new(200, 400), ["Reset"] = new(20, 60), ["Verify"] = new(15, 30),
        }),
    };

    private static PlannedUnit Without(string stage) => Unit(1) with
    {
        StageTimes = new StageTimes(Unit(1).StageTimes.Stages.Where(time => time.Key != stage).ToDictionary(time => time.Key, time => time.Value)),
    };
}
