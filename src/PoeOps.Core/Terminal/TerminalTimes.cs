namespace PoeOps.Terminal;

/// <summary>How long a dialogue waits at the most.</summary>
public sealed record TerminalTimes
{
    /// <summary>For a connection.</summary>
    public TimeSpan Connect { get; init; } = TimeSpan.FromSeconds(15);

    /// <summary>For the whole log-in.</summary>
    public TimeSpan LogIn { get; init; } = TimeSpan.FromSeconds(60);

    /// <summary>For the whole answer to a command.</summary>
    public TimeSpan Command { get; init; } = TimeSpan.FromSeconds(120);

    /// <summary>For anything at all to come while something is awaited.</summary>
    public TimeSpan Silence { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>For the device to take what is sent to it.</summary>
    public TimeSpan Write { get; init; } = TimeSpan.FromSeconds(15);

    /// <summary>The machine's time without anything behind what looks like a prompt, before it is taken for one.</summary>
    public TimeSpan Settle { get; init; } = TimeSpan.FromMilliseconds(60);
}
