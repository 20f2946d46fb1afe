namespace PoeOps.Snmp;

/// <summary>An agent that is to be read.</summary>
/// <param name="Host">A host name, or an IPv4 or IPv6 address.</param>
/// <param name="Port">The UDP port.</param>
/// <param name="Context">The switch, and what else is known.</param>
public sealed record SnmpPlace(string Host, int Port, SnmpContext Context);

/// <summary>Reads many agents side by side.</summary>
public static class SnmpSweep
{
    /// <summary>The most agents that are read at once.</summary>
    public const int MostAtOnce = 256;

    /// <summary>Reads agents side by side. Nothing is kept: whoever takes no more readings holds the readers up.</summary>
    /// <param name="places">The agents, begun in this order.</param>
    /// <param name="access">As whom they are asked.</param>
    /// <param name="most">How many are read at once at the most, 1 to <see cref="MostAtOnce"/>; with 1 the readings come in the order of the places.</param>
    /// <param name="times">How long each is waited for; null for the usual times.</param>
    /// <param name="stop">Ends the whole at once.</param>
    /// <returns>A reading for each place, as they come. Who stops taking them stops the reading.</returns>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="most"/> is out of its bounds.</exception>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was cancelled.</exception>
    public static IEnumerable<SnmpReading> Read(IReadOnlyCollection<SnmpPlace> places, SnmpAccess access, int most, SnmpTimes? times = null, CancellationToken stop = default) =>
        most is >= 1 and <= MostAtOnce
            ? SideBySide<SnmpPlace, SnmpReading>.Run(places, most, (place, over) => SnmpReader.Read(place.Host, place.Port, access, place.Context, times, over), stop)
            : throw new ArgumentOutOfRangeException(nameof(most), most, $"From 1 to {MostAtOnce} agents can be read at once.");
}
