using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>The clock of the jump host is set in mid-unit. A clock that jumps has no slack that an auditor could hold it to.</summary>
public abstract class ClockJumps(int hours) : TwoUnits
{
    [Fact]
    public void Both_units_come_through_and_the_journal_says_so()
    {
        var clock = new JumpingClock(Night.Clock);
        Night.Clock = clock;
        Once(Stage.Program, () => clock.Jump(TimeSpan.FromHours(hours)));

        Assert.Equal([StageOutcome.Done, StageOutcome.Done], Night.Run().Select(result => result.Outcome));
        Approved.Check(Situation.NameOf(GetType()), Night.Told());
    }
}

public sealed class ClockJumpsAnHourForward() : ClockJumps(1);

public sealed class ClockJumpsAnHourBack() : ClockJumps(-1);

public sealed class ClockJumpsBackBeforeTheWindowsEnd : TwoUnits
{
    [Fact]
    public void A_window_that_only_the_clock_shows_as_open_is_closed()
    {
        Night.Units[1] = Night.Units[1] with { WindowOpensUtc = Night.Clock.UtcNow.AddHours(-20), WindowClosesUtc = Night.Clock.UtcNow.AddMinutes(30) };
        var clock = new JumpingClock(Night.Clock);
        Night.Clock = clock;
        Once(Stage.Program, () => clock.Jump(TimeSpan.FromHours(-10)));

        IReadOnlyList<UnitResult> results = Night.Run();

        Assert.Equal([StageOutcome.Done], results.Select(result => result.Outcome));
        Assert.Equal("no window is open long enough for any unit that is left", Night.StoppedBecause);
    }
}

public sealed class WindowClosesInMidUnit() : TwoUnits(200, "mole-1:Device:Slow")
{
    [Fact]
    public void The_unit_is_watched_to_its_end_and_no_other_begins()
    {
        DateTime closes = Night.Clock.UtcNow.AddMinutes(25);
        for (int i = 0; i < Night.Units.Count; i++)
        {
            Night.Units[i] = Night.Units[i] with { WindowClosesUtc = closes, WorstSeconds = 60, RecoverSeconds = 10, ReserveSeconds = 10 };
        }

        UnitResult result = Assert.Single(Night.Run());

        Assert.True(result.EndUtc > closes, "The window was still open.");
        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Equal("no window is open long enough for any unit that is left", Night.StoppedBecause);
        Approve();
    }
}
