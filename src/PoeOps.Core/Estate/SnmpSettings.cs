using System.Globalization;

namespace PoeOps.Estate;

/// <summary>How an SNMP agent counts the power of a unit (pethMainPsePower and pethMainPseConsumptionPower).</summary>
public enum MainPowerUnit
{
    /// <summary>Nobody says: watts as RFC 3621 has it, unless the number of ports speaks against it, which is a problem.</summary>
    Unsaid,
    /// <summary>Watts, as RFC 3621 has it; nothing is held against it.</summary>
    Watts,
    /// <summary>Tenths of a watt, by somebody's word.</summary>
    Tenths,
}

/// <summary>What an estate says of the SNMP agent of a switch.</summary>
public sealed record SnmpSettings
{
    /// <summary>The UDP port of agents (RFC 3417).</summary>
    public const int UsualPort = 161;

    /// <summary>The agent's UDP port.</summary>
    public int Port { get; init; } = UsualPort;

    /// <summary>How the agent counts the power of a unit.</summary>
    public MainPowerUnit MainPower { get; init; }

    /// <summary>The interfaces of PSE ports that the agent itself does not tell, by unit and port with a slash between, such as <c>1/17</c>: ifIndex.</summary>
    public IReadOnlyDictionary<string, uint> Interfaces { get; init; } = new Dictionary<string, uint>();

    /// <summary>Interfaces of ports that go up together: that of the first port, and one more for each further.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="first">The first port's number.</param>
    /// <param name="last">The last one's.</param>
    /// <param name="ifIndex">The first port's interface.</param>
    internal static IEnumerable<KeyValuePair<string, uint>> Run(string unit, int first, int last, int ifIndex)
    {
        for (int port = first; port <= last; port++)
        {
            yield return new KeyValuePair<string, uint>(unit + "/" + port.ToString(CultureInfo.InvariantCulture), (uint)(ifIndex + port - first));
        }
    }
}
