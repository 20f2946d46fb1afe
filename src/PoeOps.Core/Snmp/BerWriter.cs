namespace PoeOps.Snmp;

/// <summary>
/// Writes BER as SNMP uses it: always the shortest form. It writes from the end to the start, so that a length is known when it is written: what comes last
/// in a message is written first.
/// </summary>
internal sealed class BerWriter
{
    private byte[] _bytes = new byte[512];
    private int _start = 512;

    /// <summary>How many octets are written.</summary>
    public int Length => _bytes.Length - _start;

    /// <summary>A copy of what is written.</summary>
    public byte[] ToArray()
    {
        byte[] all = new byte[Length];
        Buffer.BlockCopy(_bytes, _start, all, 0, all.Length);
        return all;
    }

    /// <summary>Closes a constructed value whose content is everything written since a mark.</summary>
    /// <param name="mark">What <see cref="Length"/> was before the content was written.</param>
    /// <param name="tag">The tag.</param>
    public void Wrap(int mark, byte tag = 0x30) => Header(tag, Length - mark);

    /// <summary>A number with sign, as INTEGER.</summary>
    public void Integer(long number)
    {
        int mark = Length;
        do
        {
            Put((byte)number);
            number >>= 8;
        }
        while (!(number == 0 && _bytes[_start] < 0x80) && !(number == -1 && _bytes[_start] >= 0x80));

        Wrap(mark, 0x02);
    }

    /// <summary>Octets of a kind.</summary>
    public void Octets(byte[] octets, byte tag = 0x04)
    {
        Raw(octets);
        Header(tag, octets.Length);
    }

    /// <summary>Octets as they are.</summary>
    public void Raw(byte[] octets)
    {
        Room(octets.Length);
        _start -= octets.Length;
        Buffer.BlockCopy(octets, 0, _bytes, _start, octets.Length);
    }

    /// <summary>An identifier. One without numbers is written as 0.0, which SNMP has for none (RFC 2578 section 7.1.2 gives no empty one).</summary>
    public void Name(Oid oid)
    {
        int mark = Length;
        for (int i = oid.Length - 1; i >= 2; i--)
        {
            Arc(oid[i]);
        }

        Arc(((oid.Length > 0 ? oid[0] : 0UL) * 40) + (oid.Length > 1 ? oid[1] : 0UL));
        Wrap(mark, 0x06);
    }

    /// <summary>A value of any kind.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It is none that SNMP has.</exception>
    public void Value(SnmpValue value)
    {
        switch (value.Type)
        {
            case SnmpType.Integer:
                Integer(value.Number);
                break;
            case SnmpType.Counter32 or SnmpType.Gauge32 or SnmpType.TimeTicks or SnmpType.Counter64:
                Unsigned((byte)value.Type, value.Counter);
                break;
            case SnmpType.OctetString or SnmpType.IpAddress or SnmpType.Opaque:
                Octets(value.Octets, (byte)value.Type);
                break;
            case SnmpType.ObjectId:
                Name(value.ObjectId);
                break;
            case SnmpType.Null or SnmpType.NoSuchObject or SnmpType.NoSuchInstance or SnmpType.EndOfMibView:
                Header((byte)value.Type, 0);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(value), "A value that could not be read cannot be written.");
        }
    }

    private void Unsigned(byte tag, ulong number)
    {
        int mark = Length;
        do
        {
            Put((byte)number);
            number >>= 8;
        }
        while (number > 0);

        if (_bytes[_start] >= 0x80)
        {
            Put(0);
        }

        Wrap(mark, tag);
    }

    private void Arc(ulong arc)
    {
        Put((byte)(arc & 0x7F));
        for (arc >>= 7; arc > 0; arc >>= 7)
        {
            Put((byte)((arc & 0x7F) | 0x80));
        }
    }

    private void Header(byte tag, int length)
    {
        if (length < 0x80)
        {
            Put((byte)length);
        }
        else
        {
            int mark = Length;
            for (int rest = length; rest > 0; rest >>= 8)
            {
                Put((byte)rest);
            }

            Put((byte)(0x80 | (Length - mark)));
        }

        Put(tag);
    }

    private void Put(byte octet)
    {
        Room(1);
        _bytes[--_start] = octet;
    }

    private void Room(int count)
    {
        if (_start >= count)
        {
            return;
        }

        byte[] larger = new byte[Math.Max(_bytes.Length * 2, Length + count)];
        Buffer.BlockCopy(_bytes, _start, larger, larger.Length - Length, Length);
        _start = larger.Length - Length;
        _bytes = larger;
    }
}
