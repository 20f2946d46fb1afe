namespace PoeOps.Core.Tests.Terminal;

/// <summary>The machine's clock, but a wait takes no time and is written down.</summary>
internal sealed class PausedClock : Clock
{
    /// <summary>The waits, in seconds.</summary>
    public List<double> Pauses { get; } = [];

    /// <summary>Runs in each wait, with how many there were.</summary>
    public Action<int> OnPause { get; set; } = _ => { };

    public override DateTime UtcNow => SystemClock.Instance.UtcNow;

    public override TimeSpan Elapsed => SystemClock.Instance.Elapsed;

    public override double Speed => 1;

    public override bool Wait(TimeSpan span, CancellationToken cancel)
    {
        Pauses.Add(span.TotalSeconds);
        OnPause(Pauses.Count);
        return !cancel.IsCancellationRequested;
    }

    public override TimeSpan MachineTime(TimeSpan span) => span;
}
