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

    private static readonly HashSet<string> Devices = new(StringComparer.OrdinalIgnoreCase)
    {
        "CON", "PRN", "AUX", "NUL", "COM0", "COM1", "COM2", "COM3", "COM4", "COM5", "COM6", "COM7", "COM8", "COM9",
        "LPT0", "LPT1", "LPT2", "LPT3", "LPT4", "LPT5", "LPT6", "LPT7", "LPT8", "LPT9",
    };

    /// <summary>True where a text is such a name.</summary>
    public static bool IsPlain(string name) =>
        name.Length is > 0 and <= Longest && IsLetterOrDigit(name[0]) && name.All(c => IsLetterOrDigit(c) || c is '.' or '_' or '-') && !IsDevice(name);

    /// <summary>True where Windows takes a name for a device: <c>NUL</c>, and <c>nul.img</c> as well.</summary>
    public static bool IsDevice(string name) => Devices.Contains(name.Split('.')[0].TrimEnd(' '));

    private static bool IsLetterOrDigit(char c) => c is (>= 'a' and <= 'z') or (>= 'A' and <= 'Z') or (>= '0' and <= '9');
}
