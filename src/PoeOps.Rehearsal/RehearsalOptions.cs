namespace PoeOps.Rehearsal;

/// <summary>What to rehearse, and how.</summary>
public sealed record RehearsalOptions
{
    /// <summary>The highest speed: above it the machine's own slowness would be most of what is seen.</summary>
    public const double MostSpeed = 100_000;

    /// <summary>The estate's file. Its world stands beside it.</summary>
    public string EstatePath { get; init; } = string.Empty;

    /// <summary>Seconds of the rehearsal in one second of the machine, 1 to <see cref="MostSpeed"/>.</summary>
    public double Speed { get; init; } = 60;

    /// <summary>What goes wrong, each as <see cref="Mishap.Parse"/> reads it.</summary>
    public IReadOnlyList<string> Mishaps { get; init; } = [];

    /// <summary>Where the rewritten estate goes; null for a folder of its own among the machine's temporary files.</summary>
    public string? Folder { get; init; }
}
