using System.Globalization;
using System.Net;

namespace PoeOps.Snmp;

/// <summary>Reads a value as net-snmp's programs print it behind the equals sign.</summary>
internal static class WalkValue
{
    private const string WrongType = "Wrong Type (should be ";

    /// <summary>True for a text, which may go over several lines.</summary>
    public static bool IsText(string rest) => Plain(rest) is var plain && (plain.Length == 0 || plain[0] == '"' || plain.StartsWith("STRING:", StringComparison.Ordinal));

    /// <summary>True for octets, which may go over several lines.</summary>
    public static bool IsHex(string rest) => Plain(rest) is var plain && (plain.StartsWith("Hex-STRING:", StringComparison.Ordinal) || plain.StartsWith("BITS:", StringComparison.Ordinal));

    /// <summary>The text behind its kind.</summary>
    public static string TextOf(string rest) => Plain(rest) is var plain && plain.StartsWith("STRING:", StringComparison.Ordinal) ? plain.Substring(7).TrimStart(' ') : plain;

    /// <summary>Adds octets in hexadecimal; names of bits, and the text in square brackets that some options print beside, end them.</summary>
    /// <returns>False where something else stands there; then nothing is added.</returns>
    public static bool AddHex(string text, List<byte> octets)
    {
        int before = octets.Count;
        foreach (string word in text.Split([' '], StringSplitOptions.RemoveEmptyEntries))
        {
            if (word[0] == '[' || (octets.Count > before && word.EndsWith(")", StringComparison.Ordinal)))
            {
                return true;
            }

            if (word.Length != 2 || !byte.TryParse(word, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out byte octet))
            {
                octets.RemoveRange(before, octets.Count - before);
                return false;
            }

            octets.Add(octet);
        }

        return true;
    }

    /// <summary>Reads any value but a text and octets.</summary>
    /// <returns>The value, or null where it is none.</returns>
    public static SnmpValue? Read(string rest)
    {
        string plain = Plain(rest).TrimEnd();
        if (plain.StartsWith("No Such Object", StringComparison.Ordinal))
        {
            return SnmpValue.Exception(SnmpType.NoSuchObject);
        }

        if (plain.StartsWith("No Such Instance", StringComparison.Ordinal))
        {
            return SnmpValue.Exception(SnmpType.NoSuchInstance);
        }

        if (plain.StartsWith("No more variables left", StringComparison.Ordinal))
        {
            return SnmpValue.Exception(SnmpType.EndOfMibView);
        }

        int colon = plain.IndexOf(':');
        return plain == "NULL" ? SnmpValue.Null : colon < 0 ? null : OfKind(plain.Substring(0, colon), plain.Substring(colon + 1).Trim());
    }

    private static SnmpValue? OfKind(string kind, string text) => kind switch
    {
        "INTEGER" or "Integer32" => Number(SnmpType.Integer, text),
        "Counter32" => Number(SnmpType.Counter32, text),
        "Gauge32" or "Unsigned32" or "UInteger32" => Number(SnmpType.Gauge32, text),
        "Timeticks" => Number(SnmpType.TimeTicks, text),
        "Counter64" => ulong.TryParse(FirstWord(text), NumberStyles.None, CultureInfo.InvariantCulture, out ulong number) ? SnmpValue.OfCounter(number) : null,
        "OID" => Oid.TryParse(text, out Oid oid) ? SnmpValue.Of(oid) : null,
        "IpAddress" => IPAddress.TryParse(text, out IPAddress? address) && address.GetAddressBytes() is { Length: 4 } octets ? SnmpValue.Of(SnmpType.IpAddress, octets) : null,
        "Network Address" => AddressOctets(text),
        "Opaque" => SnmpValue.Of(SnmpType.Opaque, []),
        _ => null,
    };

    // 3, deliveringPower(3), (3) 0:00:00.03, and any of them with a unit behind.
    private static SnmpValue? Number(SnmpType type, string text)
    {
        string word = FirstWord(text);
        int open = word.IndexOf('(');
        if (open >= 0)
        {
            int close = word.IndexOf(')', open);
            word = close > open ? word.Substring(open + 1, close - open - 1) : string.Empty;
        }

        bool read = long.TryParse(word, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out long number);
        bool fits = type == SnmpType.Integer ? number is >= int.MinValue and <= uint.MaxValue : number is >= 0 and <= uint.MaxValue;
        return read && fits ? SnmpValue.Of(type, number) : null;
    }

    private static SnmpValue? AddressOctets(string text)
    {
        List<byte> octets = [];
        return AddHex(text.Replace(':', ' '), octets) && octets.Count == 4 ? SnmpValue.Of(SnmpType.IpAddress, [.. octets]) : null;
    }

    private static string FirstWord(string text) => text.Split(' ')[0];

    // With MIB files loaded, a value of another kind than the file says has a word in front.
    private static string Plain(string rest)
    {
        int end = rest.StartsWith(WrongType, StringComparison.Ordinal) ? rest.IndexOf("): ", StringComparison.Ordinal) : -1;
        return end < 0 ? rest : rest.Substring(end + 3);
    }
}
