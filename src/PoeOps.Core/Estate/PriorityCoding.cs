using System.Globalization;

namespace PoeOps.Estate;

/// <summary>How a source writes the priority of a port as a number. Four codings are in use, and the same number means another thing in each.</summary>
public enum PriorityCoding
{
    /// <summary>RFC 3621, pethPsePortPowerPriority: critical 1, high 2, low 3.</summary>
    PowerEthernetMib,
    /// <summary>LLDP-EXT-MED-MIB (ANSI/TIA-1057), lldpXMedRemXPoEPDPowerPriority and its kind: unknown 1, critical 2, high 3, low 4.</summary>
    MedMib,
    /// <summary>The frames of LLDP-MED and of IEEE 802.3 Power via MDI: unknown 0, critical 1, high 2, low 3.</summary>
    NeighbourFrame,
    /// <summary>LLDP-EXT-DOT3-MIB, lldpXdot3RemPowerPriority, which counts the other way: low 1, high 2, critical 3, unknown 4.</summary>
    Dot3Mib,
}

/// <summary>Reads priorities that are written as numbers.</summary>
public static class PriorityCodes
{
    /// <summary>The priority that a number means.</summary>
    /// <param name="coding">How the source writes it.</param>
    /// <param name="number">The number.</param>
    /// <returns>The priority; null where the coding has a number for unknown and this is it.</returns>
    /// <exception cref="PoeOpsException">The coding has no such number (<see cref="ProblemId.PriorityUnknown"/>).</exception>
    public static PortPriority? Read(PriorityCoding coding, int number) => (coding, number) switch
    {
        (PriorityCoding.PowerEthernetMib, >= 1 and <= 3) => (PortPriority)number,
        (PriorityCoding.MedMib, 1) or (PriorityCoding.NeighbourFrame, 0) or (PriorityCoding.Dot3Mib, 4) => null,
        (PriorityCoding.MedMib, >= 2 and <= 4) => (PortPriority)(number - 1),
        (PriorityCoding.NeighbourFrame, >= 1 and <= 3) => (PortPriority)number,
        (PriorityCoding.Dot3Mib, >= 1 and <= 3) => (PortPriority)(4 - number),
        _ => throw new PoeOpsException(new Problem(
            ProblemId.PriorityUnknown,
            $"{number.ToString(CultureInfo.InvariantCulture)} is no priority of {Source(coding)}, which has {Numbers(coding)}.",
            "Check which table or frame the number comes from.")),
    };

    private static string Source(PriorityCoding coding) => coding switch
    {
        PriorityCoding.PowerEthernetMib => "RFC 3621",
        PriorityCoding.MedMib => "the LLDP-MED MIB",
        PriorityCoding.NeighbourFrame => "a neighbour's frame",
        _ => "the 802.3 LLDP MIB",
    };

    private static string Numbers(PriorityCoding coding) => coding switch
    {
        PriorityCoding.PowerEthernetMib => "1 to 3",
        PriorityCoding.NeighbourFrame => "0 to 3",
        _ => "1 to 4",
    };
}
