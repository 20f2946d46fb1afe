namespace PoeOps.Outages;

/// <summary>
/// Tries changes of one unit. A change helps where every load has power and none that came back whole is reduced by it. So many trials are made and no
/// more: on a chassis of hundreds of ports they would take minutes, and somebody waits for them.
/// </summary>
internal sealed class RestartTrials
{
    // Ports simulated in all: about three thousand trials of a unit of 48 ports.
    private const int MostPorts = 150_000;

    private readonly HashSet<string> _whole;
    private int _left = MostPorts;

    /// <summary>Begins with the unit as it is.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="now">What becomes of it as it is.</param>
    public RestartTrials(RestartUnit unit, RestartResult now)
    {
        Unit = unit;
        Now = now;
        _whole = new HashSet<string>(now.Ports.Where(port => port.Outcome == RestartOutcome.Back).Select(port => port.Name), StringComparer.OrdinalIgnoreCase);
    }

    /// <summary>The unit as it is.</summary>
    public RestartUnit Unit { get; }

    /// <summary>What becomes of it as it is.</summary>
    public RestartResult Now { get; }

    /// <summary>True once there are no trials left.</summary>
    public bool AreUsedUp => _left <= 0;

    /// <summary>Simulates the unit changed.</summary>
    public RestartResult Try(RestartUnit changed)
    {
        _left -= Math.Max(1, Unit.Ports.Count);
        return Restart.Simulate(changed);
    }

    /// <summary>True where every load has power, and all that came back whole before do so still.</summary>
    public bool Helps(RestartResult result) => result.Ports.All(port => port.Outcome == RestartOutcome.Back || (port.Outcome == RestartOutcome.Reduced && !_whole.Contains(port.Name)));
}
