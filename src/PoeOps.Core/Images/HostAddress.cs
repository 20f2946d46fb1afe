using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Which host an address means, and which addresses are this machine's.</summary>
public static class HostAddress
{
    private const int AnyPort = 69;

    /// <summary>The address of a host, or null where nobody knows its name. IPv4 comes first where it has both.</summary>
    /// <param name="host">An address, or a name.</param>
    public static IPAddress? Of(string host)
    {
        if (IPAddress.TryParse(host, out IPAddress? literal))
        {
            return literal;
        }

        try
        {
            return Dns.GetHostAddresses(host).OrderBy(one => one.AddressFamily).FirstOrDefault();
        }
        catch (Exception exception) when (exception is SocketException or ArgumentException)
        {
            // Nobody knows it, or it is no name that anybody could.
            return null;
        }
    }

    /// <summary>The one local address from which this machine reaches another. Nothing is sent: the system only chooses the way.</summary>
    /// <param name="remote">The other; an IPv6 link-local address with the interface that it is reached through.</param>
    /// <exception cref="PoeOpsException">No local address reaches it (<see cref="ProblemId.TftpCannotListen"/>).</exception>
    public static IPAddress Reaching(IPAddress remote)
    {
        try
        {
            using var socket = new Socket(remote.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
            socket.Connect(remote, AnyPort);
            return ((IPEndPoint)socket.LocalEndPoint).Address;
        }
        catch (SocketException exception)
        {
            string sentence = $"No local address reaches {remote}: {Excerpt.Line(exception.Message).TrimEnd('.')}.";
            throw new PoeOpsException(new Problem(ProblemId.TftpCannotListen, sentence, "Check this machine's network, or name the address that units reach it at."), exception);
        }
    }

    /// <summary>True when both are one host. An IPv4 address may come in the dress of IPv6, and a link-local address with its interface or without.</summary>
    internal static bool IsSame(IPAddress one, IPAddress other)
    {
        IPAddress first = Plain(one);
        IPAddress second = Plain(other);
        bool anyInterface = first.AddressFamily == AddressFamily.InterNetworkV6 && second.AddressFamily == AddressFamily.InterNetworkV6 && (first.ScopeId == 0 || second.ScopeId == 0);
        return anyInterface ? first.GetAddressBytes().SequenceEqual(second.GetAddressBytes()) : first.Equals(second);
    }

    /// <summary>True for the address that stands for all of a family.</summary>
    internal static bool IsWildcard(IPAddress address) => address.Equals(IPAddress.Any) || address.Equals(IPAddress.IPv6Any);

    /// <summary>The addresses that mean all hosts of a network which this machine is in (RFC 919), and all hosts at all.</summary>
    /// <exception cref="PoeOpsException">This machine's networks cannot be read (<see cref="ProblemId.TftpCannotListen"/>).</exception>
    internal static HashSet<IPAddress> Broadcasts()
    {
        try
        {
            IEnumerable<UnicastIPAddressInformation> own = NetworkInterface.GetAllNetworkInterfaces().SelectMany(card => card.GetIPProperties().UnicastAddresses);
            return [IPAddress.Broadcast, .. own.Where(HasBroadcast).Select(one => LastOf(one.Address, one.PrefixLength))];
        }
        catch (NetworkInformationException exception)
        {
            string sentence = $"This machine's networks cannot be read: {Excerpt.Line(exception.Message).TrimEnd('.')}.";
            throw new PoeOpsException(new Problem(ProblemId.TftpCannotListen, sentence, "Let the file server listen at one address."), exception);
        }
    }

    /// <summary>True for an address of many hosts: IPv4 224.0.0.0/4 (RFC 5771), IPv6 ff00::/8 (RFC 4291).</summary>
    internal static bool IsMulticast(IPAddress address) =>
        address.AddressFamily == AddressFamily.InterNetworkV6 ? address.IsIPv6Multicast : (address.GetAddressBytes()[0] & 0xF0) == 0xE0;

    private static IPAddress Plain(IPAddress address) => address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;

    // A network of two hosts has none (RFC 3021).
    private static bool HasBroadcast(UnicastIPAddressInformation own) => own.Address.AddressFamily == AddressFamily.InterNetwork && own.PrefixLength is > 0 and < 31;

    // All ones behind the network's own bits.
    private static IPAddress LastOf(IPAddress address, int prefixLength)
    {
        byte[] bytes = address.GetAddressBytes();
        for (int bit = prefixLength; bit < 32; bit++)
        {
            bytes[bit / 8] |= (byte)(0x80 >> (bit % 8));
        }

        return new IPAddress(bytes);
    }
}
