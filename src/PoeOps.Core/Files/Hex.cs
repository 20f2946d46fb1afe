using System.Globalization;

namespace PoeOps.Files;

/// <summary>Octets in hexadecimal.</summary>
internal static class Hex
{
    /// <summary>Two lower-case digits for each octet, nothing between.</summary>
    public static string Of(IEnumerable<byte> octets) => string.Concat(octets.Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture)));
}
