namespace PoeOps.Snmp;

/// <summary>Reads OBJECT IDENTIFIERs as they are encoded (X.690 section 8.19).</summary>
internal static class BerOid
{
    /// <summary>Reads the content of one; numbers may have octets too many in front.</summary>
    /// <param name="bytes">Where its octets are.</param>
    /// <param name="start">Its first octet.</param>
    /// <param name="length">How many; none is an identifier without numbers, which sloppy agents send.</param>
    /// <returns>It; null where it has more than 128 numbers, one of more than 32 bits, or ends within one.</returns>
    public static Oid? Read(byte[] bytes, int start, int length)
    {
        if (length == 0)
        {
            return Oid.Empty;
        }

        // Every number ends with an octet below 80, so that they can be counted before anything is made.
        int count = 1;
        for (int i = start; i < start + length; i++)
        {
            count += bytes[i] < 0x80 ? 1 : 0;
        }

        if (count > Oid.MostArcs || bytes[start + length - 1] >= 0x80)
        {
            return null;
        }

        uint[] arcs = new uint[count];
        int place = 1;
        ulong arc = 0;
        for (int i = start; i < start + length; i++)
        {
            arc = (arc << 7) | (uint)(bytes[i] & 0x7F);
            if (arc > uint.MaxValue + (place == 1 ? 80UL : 0UL))
            {
                return null;
            }

            if (bytes[i] < 0x80)
            {
                Store(arcs, place++, arc);
                arc = 0;
            }
        }

        return Oid.Of(arcs);
    }

    // The first two numbers share one on the wire (X.690 section 8.19.4).
    private static void Store(uint[] arcs, int place, ulong arc)
    {
        if (place == 1)
        {
            arcs[0] = (uint)Math.Min(2, arc / 40);
            arc -= arcs[0] * 40;
        }

        arcs[place] = (uint)arc;
    }
}
