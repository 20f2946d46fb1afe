namespace PoeOps.Snmp;

/// <summary>
/// Reads BER as SNMP uses it (RFC 3417 section 8), forgiving where agents are sloppy: numbers and lengths with octets too many, Counter32 without its leading
/// zero, empty identifiers. It never reads beyond the octets it was given, never throws, and copies nothing but values. The first thing wrong is kept in
/// <see cref="Wrong"/>, and from then on everything reads as empty.
/// </summary>
internal sealed class BerReader
{
    private const byte IntegerTag = 0x02;
    private const byte OctetsTag = 0x04;
    private const byte OidTag = 0x06;
    private const byte SequenceTag = 0x30;

    private readonly byte[] _bytes;
    private int _at;
    private int _end;

    /// <summary>Reads octets of an array.</summary>
    public BerReader(byte[] bytes, int start, int count)
    {
        _bytes = bytes;
        _at = start;
        _end = start + count;
    }

    /// <summary>What is wrong, as the end of a sentence; null while nothing is.</summary>
    public string? Wrong { get; private set; }

    /// <summary>True while something is left of what was entered.</summary>
    public bool HasMore => Wrong is null && _at < _end;

    /// <summary>The next tag; 0 where nothing is left.</summary>
    public byte NextTag => HasMore ? _bytes[_at] : (byte)0;

    /// <summary>Where the next octet is in the array.</summary>
    public int Position => _at;

    /// <summary>Where what was entered last ends in the array.</summary>
    public int End => _end;

    /// <summary>Goes into a sequence, or into another constructed value.</summary>
    /// <param name="what">What it is called where it is not there.</param>
    /// <param name="tag">Its tag.</param>
    /// <returns>What <see cref="Leave"/> takes.</returns>
    public int Enter(string what, byte tag = SequenceTag)
    {
        int outer = _end;
        int length = Header(tag, what);
        _end = _at + length;
        return outer;
    }

    /// <summary>Goes out behind what was entered; what was not read of it is passed over.</summary>
    public void Leave(int outer)
    {
        _at = _end;
        _end = outer;
    }

    /// <summary>An INTEGER of 32 bits with sign.</summary>
    public int Integer(string what)
    {
        int length = Header(IntegerTag, what);
        if (Wrong is null && (!TrySigned(_at, length, out long number) || number is < int.MinValue or > int.MaxValue))
        {
            Fail($"{what} is no number of 32 bits");
        }

        long value = Wrong is null && TrySigned(_at, length, out long good) ? good : 0;
        _at += Wrong is null ? length : 0;
        return (int)value;
    }

    /// <summary>Octets, without a copy.</summary>
    public ArraySegment<byte> Octets(string what, byte tag = OctetsTag)
    {
        int length = Header(tag, what);
        var octets = new ArraySegment<byte>(_bytes, Wrong is null ? _at : 0, Wrong is null ? length : 0);
        _at += octets.Count;
        return octets;
    }

    /// <summary>The name of an object.</summary>
    public Oid Name()
    {
        int length = Header(OidTag, "a name");
        Oid? oid = Wrong is null ? BerOid.Read(_bytes, _at, length) : Oid.Empty;
        if (oid is null)
        {
            Fail("a name is no object identifier of at most 128 numbers of 32 bits");
            return Oid.Empty;
        }

        _at += Wrong is null ? length : 0;
        return oid;
    }

    /// <summary>A value of any kind; one that is not what its tag says is unreadable by itself and does not spoil the message.</summary>
    public SnmpValue Value()
    {
        byte tag = NextTag;
        int length = Header(tag, "a value");
        if (Wrong is not null)
        {
            return SnmpValue.Null;
        }

        int start = _at;
        _at += length;
        return Value(tag, start, length) ?? SnmpValue.Of(SnmpType.Unreadable, Copy(start, length));
    }

    /// <summary>A copy of octets that were passed.</summary>
    public byte[] Slice(int start, int end) => Copy(start, end - start);

    /// <summary>Says that something is wrong, unless something was before.</summary>
    public void Fail(string why)
    {
        Wrong ??= why;
        _at = _end;
    }

    private SnmpValue? Value(byte tag, int start, int length)
    {
        switch ((SnmpType)tag)
        {
            case SnmpType.Integer:
                return TrySigned(start, length, out long signed) ? SnmpValue.Of(SnmpType.Integer, signed) : null;
            case SnmpType.Counter32 or SnmpType.Gauge32 or SnmpType.TimeTicks:
                return TryUnsigned(start, length, 4, out ulong small) ? SnmpValue.Of((SnmpType)tag, (long)small) : null;
            case SnmpType.Counter64:
                return TryUnsigned(start, length, 8, out ulong large) ? SnmpValue.OfCounter(large) : null;
            case SnmpType.OctetString or SnmpType.Opaque:
                return SnmpValue.Of((SnmpType)tag, Copy(start, length));
            case SnmpType.IpAddress:
                return length == 4 ? SnmpValue.Of(SnmpType.IpAddress, Copy(start, length)) : null;
            case SnmpType.ObjectId:
                return BerOid.Read(_bytes, start, length) is { } oid ? SnmpValue.Of(oid) : null;
            case SnmpType.Null:
                return SnmpValue.Null;
            case SnmpType.NoSuchObject or SnmpType.NoSuchInstance or SnmpType.EndOfMibView:
                return SnmpValue.Exception((SnmpType)tag);
            default:
                return null;
        }
    }

    // Gives the length of the content and goes to its first octet.
    private int Header(byte tag, string what)
    {
        if (Wrong is not null)
        {
            return 0;
        }

        if (_end - _at < 2)
        {
            Fail($"{what} is missing");
            return 0;
        }

        if (_bytes[_at] != tag)
        {
            Fail($"{what} has the tag {_bytes[_at]:X2} where {tag:X2} was expected");
            return 0;
        }

        _at++;
        long length = Length(_bytes[_at++]);
        if (length < 0 || length > _end - _at)
        {
            Fail(length < 0 ? $"the length of {what} cannot be read" : $"{what} is longer than what is left");
            return 0;
        }

        return (int)length;
    }

    // The long form may have zeros in front; the form without a length is none of SNMP's (RFC 3417 section 8).
    private long Length(byte first)
    {
        if (first < 0x80)
        {
            return first;
        }

        int count = first & 0x7F;
        if (count == 0 || count > _end - _at)
        {
            return -1;
        }

        long length = 0;
        for (int i = 0; i < count; i++)
        {
            length = (length << 8) | _bytes[_at++];
            if (length > int.MaxValue)
            {
                return -1;
            }
        }

        return length;
    }

    private bool TrySigned(int start, int length, out long number)
    {
        number = 0;
        if (length == 0)
        {
            return false;
        }

        number = (sbyte)_bytes[start];
        for (int i = 1; i < length; i++)
        {
            if (number is > 0x7F_FFFF_FFFF_FFFF or < -0x80_0000_0000_0000)
            {
                return false;
            }

            number = (number << 8) | _bytes[start + i];
        }

        return true;
    }

    // Octets with the first bit set are meant as they stand: agents forget the zero in front.
    private bool TryUnsigned(int start, int length, int mostOctets, out ulong number)
    {
        number = 0;
        bool any = length > 0;
        while (length > mostOctets && _bytes[start] == 0)
        {
            start++;
            length--;
        }

        for (int i = 0; any && length <= mostOctets && i < length; i++)
        {
            number = (number << 8) | _bytes[start + i];
        }

        return any && length <= mostOctets;
    }

    private byte[] Copy(int start, int length)
    {
        byte[] copy = new byte[length];
        Buffer.BlockCopy(_bytes, start, copy, 0, length);
        return copy;
    }
}
