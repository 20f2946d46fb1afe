namespace PoeOps.Estate;

/// <summary>How time goes in a rehearsal. Every process that reads the estate makes the same clock from it.</summary>
public sealed record RehearsalClock
{
    /// <summary>Seconds of the rehearsal in one second of the machine; 1 or more.</summary>
    public double Speed { get; init; } = 1;

    /// <summary>The machine's time at the start, UTC.</summary>
    public DateTime MachineStartUtc { get; init; }

    /// <summary>The rehearsal's time at the start, UTC.</summary>
    public DateTime StartUtc { get; init; }

    /// <summary>The host at which the simulated units reach our file server, which is the estate's.</summary>
    public string? FileServer { get; init; }
}
