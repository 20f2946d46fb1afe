namespace PoeOps.Snmp;

/// <summary>How long an agent is waited for, in the machine's time.</summary>
public sealed record SnmpTimes
{
    /// <summary>How long the first try of a request waits; each further one half as long again, up to <see cref="LongestWait"/>.</summary>
    public TimeSpan FirstWait { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>The longest wait of a try.</summary>
    public TimeSpan LongestWait { get; init; } = TimeSpan.FromSeconds(4);

    /// <summary>How often a request is sent to an agent that has not answered anything yet.</summary>
    public int FirstTries { get; init; } = 6;

    /// <summary>How often a request is sent to an agent that has answered before.</summary>
    public int Tries { get; init; } = 12;

    /// <summary>How long the reading of one agent may take in all.</summary>
    public TimeSpan Deadline { get; init; } = TimeSpan.FromMinutes(5);

    /// <summary>How long a try waits.</summary>
    /// <param name="attempt">The try, the first at 0.</param>
    internal TimeSpan Wait(int attempt) => TimeSpan.FromSeconds(Math.Min(LongestWait.TotalSeconds, FirstWait.TotalSeconds * Math.Pow(1.5, Math.Min(attempt, 30))));
}
