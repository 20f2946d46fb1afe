namespace PoeOps.Snmp;

/// <summary>Compares secrets and digests in a time that does not tell where they differ.</summary>
internal static class SameOctets
{
    /// <summary>True where both are the same.</summary>
    public static bool InAnyTime(IReadOnlyList<byte> left, IReadOnlyList<byte> right)
    {
        int difference = left.Count ^ right.Count;
        for (int i = 0; i < Math.Min(left.Count, right.Count); i++)
        {
            difference |= left[i] ^ right[i];
        }

        return difference == 0;
    }
}
