namespace PoeOps.Core.Tests.Refresh;

/// <summary>A clock that stands still until somebody waits or moves it on. Deadlines that are set last for a time of the machine's, whatever they are for.</summary>
internal sealed class HandClock : Clock
{
    public static readonly DateTime Start = new(2026, 12, 1, 22, 30, 0, DateTimeKind.Utc);

    private TimeSpan _gone;

    /// <summary>How long deadlines last from now on; an hour, which never passes, unless told otherwise.</summary>
    public TimeSpan Patience { get; set; } = TimeSpan.FromHours(1);

    /// <summary>The same for spans of a minute, which is how long progress may stand still here; null for no difference.</summary>
    public TimeSpan? StallPatience { get; set; }

    /// <summary>Told each span that a deadline is set for.</summary>
    public Action<TimeSpan> Asked { get; set; } = _ => { };

    public override DateTime UtcNow => Start + _gone;

    public override TimeSpan Elapsed => _gone;

    public override double Speed => 1;

    public void MoveOn(double seconds) => _gone += TimeSpan.FromSeconds(seconds);

    public override bool Wait(TimeSpan span, CancellationToken cancel)
    {
        _gone += span > TimeSpan.Zero ? span : TimeSpan.Zero;
        return true;
    }

    public override TimeSpan MachineTime(TimeSpan span)
    {
        Asked(span);
        return span == TimeSpan.FromMinutes(1) ? StallPatience ?? Patience : Patience;
    }
}
