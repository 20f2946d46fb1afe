using PoeOps.Estate;
using PoeOps.Snmp;

namespace PoeOps.Terminal;

/// <summary>Which switches of an estate are asked by SNMP, and as whom.</summary>
/// <param name="Access">As whom they are asked.</param>
/// <param name="Wants">True for a switch that is asked by SNMP.</param>
/// <param name="AlsoConsole">True for one of those that is asked over its console as well.</param>
public sealed record SnmpAsking(SnmpAccess Access, Func<Switch, bool> Wants, Func<Switch, bool> AlsoConsole)
{
    /// <summary>How long an agent is waited for; null for the usual times.</summary>
    public SnmpTimes? Times { get; init; }

    /// <summary>Told what is asked and answered, a line for each datagram with the switch in front, on whatever thread asks; null where nobody listens.</summary>
    public Action<string>? Heard { get; init; }

    /// <summary>Asks a switch.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="clock">Says when it was read.</param>
    /// <param name="stop">Ends the reading.</param>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was cancelled.</exception>
    public SnmpReading Ask(Switch place, Clock clock, CancellationToken stop) =>
        SnmpReader.Read(place.Address, place.SnmpPort, Access, ContextOf(place, clock) with { Heard = Heard }, Times, stop);

    /// <summary>What is known of a switch before its agent says anything.</summary>
    public static SnmpContext ContextOf(Switch place, Clock clock) => new()
    {
        Switch = place.Name,
        ReadUtc = clock.UtcNow,
        MainPower = place.Snmp?.MainPower ?? MainPowerUnit.Unsaid,
        Interfaces = place.Snmp?.Interfaces ?? new SnmpContext().Interfaces,
    };
}
