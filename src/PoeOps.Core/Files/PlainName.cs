namespace PoeOps.Files;

/// <summary>
/// Names of files that may go to a device and may be served: no folder, no way upwards, nothing that a command line or a file system takes for more than
/// a name, and none of the names that Windows keeps for devices, with whatever behind a full stop.
/// </summary>
internal static class PlainName
{
    /// <summary>What a name must be, as advice.</summary>
    public const string Advice = "Give a plain file name of letters, digits, full stops, hyphens and underscores; the first is a letter or digit.";

    private const int Longest = 128;

    // Microsoft Learn, "Naming Files, Paths, and Namespaces": reserved with any extension, and with the digits ¹, ² and ³ too.
    private static readonly HashSet<string> Devices = new(
        ((string[])["CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$", "CLOCK$"]).Concat("0123456789¹²³".SelectMany(digit => (string[])["COM" + digit, "LPT" + digit])),
        StringComparer.OrdinalIgnoreCase);

    /// <summary>True where a text is such a name.</summary>
    public static bool IsPlain(string name) =>
        name.Length is > 0 and <= Longest && IsLetterOrDigit(name[0]) && name.All(c => IsLetterOrDigit(c) || c is '.' or '_' or '-') && !IsDevice(name);

    /// <summary>True where Windows takes a name for a device: <c>NUL</c>, and <c>nul.img</c> as well.</summary>
    public static bool IsDevice(string name) => Devices.Contains(name.Split('.')[0].TrimEnd(' '));

    private static bool IsLetterOrDigit(char c) => c is (>= 'a' and <= 'z') or (>= 'A' and <= 'Z') or (>= '0' and <= '9');
}
