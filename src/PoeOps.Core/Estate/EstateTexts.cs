using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace PoeOps.Estate;

/// <summary>Says why a text of an estate cannot be what it should, as the end of a sentence, or null where it can; the same for every file that lists switches.</summary>
internal static class EstateTexts
{
    /// <summary>The words that name kinds of links.</summary>
    public static IReadOnlyList<string> LinkWords { get; } = ["telnet", "tcp", "ssh", "snmp"];

    /// <summary>Why a text cannot name a site, switch, unit or role.</summary>
    public static string? WrongName(string text) => NameParts.Check(text, slashAllowed: false);

    /// <summary>Why a text is no host name (RFC 1123, section 2.1), IPv4 or IPv6 address.</summary>
    public static string? WrongAddress(string text)
    {
        if (text.Contains(':'))
        {
            bool good = text.All(c => IsLetterOrDigit(c) || c is ':' or '.' or '%') && IPAddress.TryParse(text, out IPAddress? address) && address.AddressFamily == AddressFamily.InterNetworkV6;
            return good ? null : "it has a colon and is no IPv6 address";
        }

        string[] labels = text.Split('.');
        if (labels[labels.Length - 1].All(c => c is >= '0' and <= '9') && labels[labels.Length - 1].Length > 0)
        {
            return labels.Length == 4 && labels.All(IsByte) ? null : "it ends in a number and is no IPv4 address of four numbers from 0 to 255";
        }

        return text.Length <= 253 && labels.All(IsLabel) ? null : "a host name has labels of letters, digits and hyphens with full stops between them";
    }

    /// <summary>True for an address that never leaves the machine: one of loopback, or the name that RFC 6761 keeps for it.</summary>
    public static bool IsLoopback(string address) =>
        IPAddress.TryParse(address, out IPAddress? ip) ? IPAddress.IsLoopback(ip) : string.Equals(address, "localhost", StringComparison.OrdinalIgnoreCase);

    /// <summary>The kind of link that a word names, or null.</summary>
    public static LinkKind? Link(string word) => word switch
    {
        "telnet" => LinkKind.Telnet,
        "tcp" => LinkKind.Tcp,
        "ssh" => LinkKind.Ssh,
        "snmp" => LinkKind.Snmp,
        _ => null,
    };

    /// <summary>The word that names a kind of link.</summary>
    public static string Word(LinkKind link) => link switch
    {
        LinkKind.Telnet => "telnet",
        LinkKind.Tcp => "tcp",
        LinkKind.Snmp => "snmp",
        _ => "ssh",
    };

    private static bool IsByte(string text) =>
        text.Length is > 0 and <= 3 && text.All(c => c is >= '0' and <= '9') && (text.Length == 1 || text[0] != '0')
        && int.Parse(text, CultureInfo.InvariantCulture) <= 255;

    private static bool IsLabel(string label) =>
        label.Length is > 0 and <= 63 && label.All(c => IsLetterOrDigit(c) || c == '-') && label[0] != '-' && label[label.Length - 1] != '-';

    private static bool IsLetterOrDigit(char c) => c is (>= 'a' and <= 'z') or (>= 'A' and <= 'Z') or (>= '0' and <= '9');
}
