using System.Globalization;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Telnet's octets as words, by the numbers of RFC 854: <c>WILL 1</c> is IAC WILL 1, <c>SB 24 1 SE</c> is IAC SB 24 1 IAC SE.</summary>
internal static class TelnetWords
{
    private const byte Iac = 255;

    private static readonly Dictionary<string, byte> Codes = new()
    {
        ["SE"] = 240, ["NOP"] = 241, ["DM"] = 242, ["BRK"] = 243, ["IP"] = 244, ["AO"] = 245, ["AYT"] = 246, ["EC"] = 247, ["EL"] = 248, ["GA"] = 249,
        ["SB"] = 250, ["WILL"] = 251, ["WONT"] = 252, ["DO"] = 253, ["DONT"] = 254, ["IAC"] = Iac,
    };

    /// <summary>The octets of words; a name has IAC before it, a number stands for itself.</summary>
    public static byte[] Octets(string words) => [.. words.Split(' ', StringSplitOptions.RemoveEmptyEntries).SelectMany(Octets1)];

    /// <summary>The words of what consists of commands alone; the content of a subnegotiation stands as it is, IAC IAC in it as 255.</summary>
    public static string Of(IReadOnlyList<byte> octets)
    {
        List<string> words = [];
        for (int i = 0; i < octets.Count; i++)
        {
            bool isCommand = octets[i] == Iac && i + 1 < octets.Count && octets[i + 1] != Iac;
            words.Add(isCommand ? Codes.First(code => code.Value == octets[i + 1]).Key : octets[i].ToString(CultureInfo.InvariantCulture));
            i += octets[i] == Iac ? 1 : 0;
        }

        return string.Join(" ", words);
    }

    /// <summary>Everything that a Telnet stream reads from a peer, up to its end.</summary>
    public static byte[] Read(CutStream peer)
    {
        using TelnetStream stream = new(peer);
        using MemoryStream came = new();
        stream.CopyTo(came, 64);
        return came.ToArray();
    }

    private static IEnumerable<byte> Octets1(string word) => Codes.TryGetValue(word, out byte code) ? [Iac, code] : [byte.Parse(word, CultureInfo.InvariantCulture)];
}
