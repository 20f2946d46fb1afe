using System.Globalization;

namespace PoeOps.Terminal;

/// <summary>How addresses, ports and keys are written, in the file and in sentences.</summary>
internal static class HostKeyText
{
    /// <summary>An address in the one spelling that is compared.</summary>
    public static string Address(string address) => address.Trim().ToLowerInvariant();

    /// <summary>A port in digits.</summary>
    public static string Number(int port) => port.ToString(CultureInfo.InvariantCulture);

    /// <summary>The place of a key, for a sentence.</summary>
    public static string Place(HostKey key) => $"{key.Address} port {Number(key.Port)}";

    /// <summary>A key, for a sentence.</summary>
    public static string Shown(HostKey key) => $"{key.Algorithm} {key.Fingerprint}";
}
