namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>The clock of a jump host that somebody sets: the time of day jumps, the time gone by does not.</summary>
internal sealed class JumpingClock(Clock clock) : Clock
{
    private TimeSpan _set;

    public override DateTime UtcNow => clock.UtcNow + _set;

    public override TimeSpan Elapsed => clock.Elapsed;

    public override double Speed => clock.Speed;

    /// <summary>Sets the clock.</summary>
    /// <param name="by">By how much; below zero to set it back.</param>
    public void Jump(TimeSpan by) => _set += by;

    public override bool Wait(TimeSpan span, CancellationToken cancel) => clock.Wait(span, cancel);

    public override TimeSpan MachineTime(TimeSpan span) => clock.MachineTime(span);
}
