using System.Globalization;
using System.Text;

namespace PoeOps.Snmp;

/// <summary>What kind of value an agent gave (RFC 3416 section 3); the numbers are the tags on the wire.</summary>
public enum SnmpType
{
    /// <summary>Octets that are no value of the kind that their tag says, or of a kind that SNMP does not have. Kept, so that it can be told.</summary>
    Unreadable = 0,
    /// <summary>INTEGER, 32 bits with sign.</summary>
    Integer = 0x02,
    /// <summary>OCTET STRING, also BITS.</summary>
    OctetString = 0x04,
    /// <summary>NULL, as in requests.</summary>
    Null = 0x05,
    /// <summary>OBJECT IDENTIFIER.</summary>
    ObjectId = 0x06,
    /// <summary>IpAddress, four octets.</summary>
    IpAddress = 0x40,
    /// <summary>Counter32.</summary>
    Counter32 = 0x41,
    /// <summary>Gauge32, also Unsigned32.</summary>
    Gauge32 = 0x42,
    /// <summary>TimeTicks, hundredths of a second.</summary>
    TimeTicks = 0x43,
    /// <summary>Opaque, octets that nobody reads.</summary>
    Opaque = 0x44,
    /// <summary>Counter64.</summary>
    Counter64 = 0x46,
    /// <summary>The agent has no such object.</summary>
    NoSuchObject = 0x80,
    /// <summary>The agent has such objects, and not this one.</summary>
    NoSuchInstance = 0x81,
    /// <summary>Nothing comes after the name that was asked for.</summary>
    EndOfMibView = 0x82,
}

/// <summary>A value as an agent gave it. Never changes.</summary>
public sealed class SnmpValue
{
    private static readonly UTF8Encoding Strict = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    private readonly ulong _bits;
    private readonly byte[] _octets;

    private SnmpValue(SnmpType type, ulong bits, byte[]? octets = null, Oid? oid = null)
    {
        Type = type;
        _bits = bits;
        _octets = octets ?? [];
        ObjectId = oid ?? Oid.Empty;
    }

    /// <summary>NULL.</summary>
    public static SnmpValue Null { get; } = new(SnmpType.Null, 0);

    /// <summary>What kind of value it is.</summary>
    public SnmpType Type { get; }

    /// <summary>The number of an INTEGER, Counter32, Gauge32, TimeTicks or Counter64; of a Counter64 the largest that fits where it does not; else 0.</summary>
    public long Number => Type == SnmpType.Counter64 && _bits > long.MaxValue ? long.MaxValue : unchecked((long)_bits);

    /// <summary>The number of a Counter64.</summary>
    public ulong Counter => _bits;

    /// <summary>The octets of an OCTET STRING, IpAddress, Opaque or of a value that cannot be read; a copy.</summary>
    public byte[] Octets => (byte[])_octets.Clone();

    /// <summary>How many <see cref="Octets"/> there are.</summary>
    public int OctetCount => _octets.Length;

    /// <summary>The identifier of an OBJECT IDENTIFIER.</summary>
    public Oid ObjectId { get; }

    /// <summary>True for INTEGER, Counter32, Gauge32, TimeTicks and Counter64. Agents mix them up, so that tables take any of them.</summary>
    public bool IsNumber => Type is SnmpType.Integer or SnmpType.Counter32 or SnmpType.Gauge32 or SnmpType.TimeTicks or SnmpType.Counter64;

    /// <summary>True for noSuchObject, noSuchInstance and endOfMibView.</summary>
    public bool IsException => Type is SnmpType.NoSuchObject or SnmpType.NoSuchInstance or SnmpType.EndOfMibView;

    /// <summary>A number of a kind.</summary>
    /// <param name="type">INTEGER, Counter32, Gauge32, TimeTicks or Counter64.</param>
    /// <param name="number">The number.</param>
    public static SnmpValue Of(SnmpType type, long number) => new(type, unchecked((ulong)number));

    /// <summary>A Counter64.</summary>
    public static SnmpValue OfCounter(ulong number) => new(SnmpType.Counter64, number);

    /// <summary>Octets of a kind.</summary>
    /// <param name="type">OCTET STRING, IpAddress, Opaque, or unreadable.</param>
    /// <param name="octets">The octets; not copied.</param>
    public static SnmpValue Of(SnmpType type, byte[] octets) => new(type, 0, octets);

    /// <summary>A text, as UTF-8.</summary>
    public static SnmpValue Of(string text) => new(SnmpType.OctetString, 0, Encoding.UTF8.GetBytes(text));

    /// <summary>An identifier.</summary>
    public static SnmpValue Of(Oid oid) => new(SnmpType.ObjectId, 0, null, oid);

    /// <summary>noSuchObject, noSuchInstance or endOfMibView.</summary>
    public static SnmpValue Exception(SnmpType type) => new(type, 0);

    /// <summary>
    /// The text of an OCTET STRING (SnmpAdminString, DisplayString): UTF-8 without the NULs and spaces that some agents fill up with; null where the octets are
    /// no UTF-8 or it is another kind of value.
    /// </summary>
    public string? Text()
    {
        if (Type != SnmpType.OctetString)
        {
            return null;
        }

        try
        {
            return Strict.GetString(_octets).TrimEnd('\0').Trim();
        }
        catch (DecoderFallbackException)
        {
            return null;
        }
    }

    /// <summary>The same for looking something up: octets that are no UTF-8 are taken for Latin-1 (ISO 8859-1), which old agents send. Not to be shown.</summary>
    internal string? LooseText() =>
        Text() ?? (Type == SnmpType.OctetString ? new string([.. _octets.Select(octet => (char)octet)]).TrimEnd('\0').Trim() : null);

    /// <summary>True where a bit of BITS is set: bit 0 is the high-order bit of the first octet (RFC 3417 section 8).</summary>
    public bool HasBit(int bit) => bit / 8 < _octets.Length && (_octets[bit / 8] & (0x80 >> (bit % 8))) != 0;

    /// <summary>True where kind and value are the same.</summary>
    public bool IsSameAs(SnmpValue other) => Type == other.Type && _bits == other._bits && ObjectId == other.ObjectId && _octets.AsEnumerable().SequenceEqual(other._octets);

    /// <summary>The kind and the value, for people.</summary>
    public override string ToString() => Type switch
    {
        SnmpType.Counter64 => "Counter64 " + _bits.ToString(CultureInfo.InvariantCulture),
        SnmpType.ObjectId => "ObjectId " + ObjectId,
        _ when IsNumber => Type + " " + Number.ToString(CultureInfo.InvariantCulture),
        _ when _octets.Length > 0 => Type + " " + string.Concat(_octets.Take(32).Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture))),
        _ => Type.ToString(),
    };
}

/// <summary>A name with its value, as messages carry them.</summary>
/// <param name="Name">The object's name.</param>
/// <param name="Value">Its value; NULL in a request.</param>
public sealed record VarBind(Oid Name, SnmpValue Value)
{
    /// <summary>A name that is asked for.</summary>
    public VarBind(Oid name)
        : this(name, SnmpValue.Null)
    {
    }
}
