namespace PoeOps.Estate;

/// <summary>What a load does for people, and how long it needs until it does it again.</summary>
public sealed record Role(string Name)
{
    /// <summary>Seconds from power to serving again.</summary>
    public double RestartSeconds { get; init; }

    /// <summary>Seconds from power until the load's negotiated claim holds; the restart time unless the estate says otherwise.</summary>
    public double NegotiateSeconds { get; init; }

    /// <summary>True where people can come to harm while the load is dark: emergency phones, door release, alarms.</summary>
    public bool LifeSafety { get; init; }

    /// <summary>How much a minute out of service counts beside other roles; 1 unless the estate says otherwise.</summary>
    public double Weight { get; init; } = 1;
}
