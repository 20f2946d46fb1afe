using System.Text;

namespace PoeOps.Snmp;

/// <summary>The version of a message, as it is numbered on the wire.</summary>
public enum SnmpVersion
{
    /// <summary>SNMPv1 (RFC 1157): no GETBULK, no Counter64.</summary>
    V1 = 0,
    /// <summary>SNMPv2c (RFC 1901).</summary>
    V2c = 1,
    /// <summary>SNMPv3 (RFC 3412) with the user-based security model (RFC 3414).</summary>
    V3 = 3,
}

/// <summary>A message of SNMPv1 or SNMPv2c: a community, which travels in clear, and a PDU.</summary>
public sealed class CommunityMessage
{
    private readonly byte[] _community;

    /// <summary>Makes a message.</summary>
    /// <param name="version">V1 or V2c.</param>
    /// <param name="community">The community; it is written as UTF-8.</param>
    /// <param name="pdu">What is asked or answered.</param>
    public CommunityMessage(SnmpVersion version, string community, SnmpPdu pdu)
        : this(version, Encoding.UTF8.GetBytes(community), pdu)
    {
    }

    private CommunityMessage(SnmpVersion version, byte[] community, SnmpPdu pdu)
    {
        Version = version;
        _community = community;
        Pdu = pdu;
    }

    /// <summary>V1 or V2c.</summary>
    public SnmpVersion Version { get; }

    /// <summary>What is asked or answered.</summary>
    public SnmpPdu Pdu { get; }

    /// <summary>Reads a datagram.</summary>
    /// <param name="bytes">Where its octets are.</param>
    /// <param name="count">How many, from the start.</param>
    /// <param name="why">Why it is none, as the end of a sentence; or null.</param>
    /// <returns>The message, or null. Nothing throws.</returns>
    public static CommunityMessage? Read(byte[] bytes, int count, out string? why)
    {
        var reader = new BerReader(bytes, 0, count);
        _ = reader.Enter("the message");
        int version = reader.Integer("the version");
        if (reader.Wrong is null && version is not (0 or 1))
        {
            reader.Fail($"its version is {version}, and 0 or 1 was expected");
        }

        ArraySegment<byte> community = reader.Octets("the community");
        SnmpPdu? pdu = reader.Wrong is null ? SnmpPdu.Read(reader) : null;
        why = reader.Wrong;
        return pdu is null || why is not null ? null : new CommunityMessage((SnmpVersion)version, [.. community], pdu);
    }

    /// <summary>The version that a datagram says, whatever else it holds; null where it says none.</summary>
    public static int? VersionOf(byte[] bytes, int count)
    {
        var reader = new BerReader(bytes, 0, count);
        _ = reader.Enter("the message");
        int version = reader.Integer("the version");
        return reader.Wrong is null ? version : null;
    }

    /// <summary>True where the community is this one.</summary>
    public bool HasCommunity(string community) => SameOctets.InAnyTime(_community, Encoding.UTF8.GetBytes(community));

    /// <summary>The octets to send.</summary>
    public byte[] Write()
    {
        var writer = new BerWriter();
        Pdu.Write(writer);
        writer.Octets(_community);
        writer.Integer((int)Version);
        writer.Wrap(0);
        return writer.ToArray();
    }
}
