using System.Text;

namespace PoeOps.Snmp;

/// <summary>What a message of version 3 carries: a PDU in a context of an engine (RFC 3412 section 6.8).</summary>
/// <param name="Pdu">What is asked or answered.</param>
public sealed record ScopedPdu(SnmpPdu Pdu)
{
    /// <summary>The engine whose objects are meant.</summary>
    public byte[] EngineId { get; init; } = [];

    /// <summary>The context, empty for the default one.</summary>
    public string Context { get; init; } = string.Empty;

    /// <summary>Reads the octets of one; what stands behind is padding and is passed over.</summary>
    /// <param name="bytes">Its octets.</param>
    /// <param name="why">Why it is none, as the end of a sentence; or null.</param>
    /// <returns>It, or null. Nothing throws.</returns>
    public static ScopedPdu? Read(byte[] bytes, out string? why)
    {
        var reader = new BerReader(bytes, 0, bytes.Length);
        _ = reader.Enter("the scoped PDU");
        byte[] engine = [.. reader.Octets("the context's engine id")];
        string context = Text(reader.Octets("the context's name"));
        SnmpPdu? pdu = reader.Wrong is null ? SnmpPdu.Read(reader) : null;
        why = reader.Wrong;
        return pdu is null || why is not null ? null : new ScopedPdu(pdu) { EngineId = engine, Context = context };
    }

    /// <summary>Its octets.</summary>
    public byte[] Write()
    {
        var writer = new BerWriter();
        Pdu.Write(writer);
        writer.Octets(Encoding.UTF8.GetBytes(Context));
        writer.Octets(EngineId);
        writer.Wrap(0);
        return writer.ToArray();
    }

    private static string Text(ArraySegment<byte> octets) => Encoding.UTF8.GetString(octets.Array!, octets.Offset, octets.Count);
}
