using System.Net;
using System.Net.Sockets;
using System.Text;
using PoeOps.Rehearsal.Devices;
using PoeOps.Snmp;

namespace PoeOps.Rehearsal.Agents;

/// <summary>The SNMP agent of one switch: listens on loopback, and answers what reads. Whatever else comes is met with silence.</summary>
internal sealed class AgentListener : IDisposable
{
    /// <summary>The most that an answer's names and values take, so that it fits into one frame of Ethernet.</summary>
    public const int MostOctets = 1300;

    private static readonly TimeSpan Fresh = TimeSpan.FromMilliseconds(50);
    private static readonly byte[] DocumentationEngine = [0x80, 0x00, 0x7E, 0xD9, 0x04];

    private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 250 };
    private readonly SimulatedSwitch _device;
    private readonly AgentUsers _users;
    private readonly byte[] _buffer = new byte[65536];
    private AgentRows _rows = new([]);
    private TimeSpan _madeAt;
    private volatile bool _disposed;

    /// <summary>Takes a port that is free; nothing is answered yet.</summary>
    public AgentListener(SimulatedSwitch device)
    {
        _device = device;
        _socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));

        // RFC 3411: the number of an enterprise, of which RFC 5612 keeps 32473 for documentation, and a text of at most 27 octets.
        byte[] name = [.. Encoding.UTF8.GetBytes(device.Name).Take(27)];
        _users = new AgentUsers([.. DocumentationEngine, .. name], AgentSecrets.Users);
    }

    /// <summary>The UDP port that it listens on, at 127.0.0.1.</summary>
    public int Port => ((IPEndPoint)_socket.LocalEndPoint).Port;

    /// <summary>Begins to answer.</summary>
    public void Start() => new Thread(Serve) { IsBackground = true, Name = "agent of " + _device.Name }.Start();

    /// <inheritdoc/>
    public void Dispose()
    {
        _disposed = true;
        _socket.Dispose();
    }

    private void Serve()
    {
        while (!_disposed)
        {
            try
            {
                EndPoint from = new IPEndPoint(IPAddress.Any, 0);
                int count = _socket.ReceiveFrom(_buffer, ref from);
                if (Answer(count) is { } datagram)
                {
                    _socket.SendTo(datagram, from);
                }
            }
            catch (Exception exception) when (exception is SocketException or ObjectDisposedException)
            {
                // Nothing came for a while, or somebody's port was closed meanwhile; an agent that was ended sees so above.
                _ = exception;
            }
        }
    }

    private byte[]? Answer(int count) => CommunityMessage.VersionOf(_buffer, count) switch
    {
        (int)SnmpVersion.V3 => _users.Hear(_buffer, count, (request, most) => Rows().Answer(request, SnmpVersion.V3, most)),
        _ => CommunityMessage.Read(_buffer, count, out _) is { } message && message.HasCommunity(AgentSecrets.Community) && Rows().Answer(message.Pdu, message.Version, MostOctets) is { } answer
            ? new CommunityMessage(message.Version, AgentSecrets.Community, answer).Write()
            : null,
    };

    private AgentRows Rows()
    {
        TimeSpan now = SystemClock.Instance.Elapsed;
        if (_rows.Count == 0 || now - _madeAt > Fresh)
        {
            _rows = new AgentRows(new AgentTables(_device).All());
            _madeAt = now;
        }

        return _rows;
    }
}

/// <summary>The made-up secrets of all agents of rehearsals.</summary>
internal static class AgentSecrets
{
    /// <summary>The community.</summary>
    public const string Community = "rehearsal";

    /// <summary>The user, who has SHA-256; behind it the users of the other hashes have their name, such as <c>rehearsal-md5</c>.</summary>
    public const string User = "rehearsal";

    /// <summary>The password for authentication.</summary>
    public const string AuthPassword = "rehearsal-auth";

    /// <summary>The password for privacy.</summary>
    public const string PrivPassword = "rehearsal-priv";

    /// <summary>The users by their names.</summary>
    public static IReadOnlyDictionary<string, UserSecurity> Users { get; } = ((AuthProtocol[])Enum.GetValues(typeof(AuthProtocol))).Select(Make).ToDictionary(user => user.User, StringComparer.Ordinal);

    private static UserSecurity Make(AuthProtocol protocol) =>
        new(protocol == AuthProtocol.Sha256 ? User : User + "-" + protocol.ToString().ToLowerInvariant(), new PasswordKey(protocol, AuthPassword), new PasswordKey(protocol, PrivPassword));
}
