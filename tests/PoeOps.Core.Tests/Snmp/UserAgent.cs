using System.Net;
using System.Net.Sockets;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>An agent of SNMPv3 on loopback whose clock and manners a test sets. It answers every GET with the number of its answers so far.</summary>
internal sealed class UserAgent : IDisposable
{
    public static readonly byte[] Engine = Convert.FromHexString("80007ed90474657374");

    private static readonly Oid Stats = Oid.Parse("1.3.6.1.6.3.15.1.1");

    private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 100 };
    private readonly Thread _thread;
    private volatile bool _disposed;

    public UserAgent()
    {
        _socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        _thread = new Thread(Serve) { IsBackground = true };
        _thread.Start();
    }

    public static UserSecurity Night { get; } = new("night", new PasswordKey(AuthProtocol.Sha256, "maplesyrup"), new PasswordKey(AuthProtocol.Sha256, "syrupmaple"));

    public IPEndPoint Endpoint => (IPEndPoint)_socket.LocalEndPoint!;

    public byte[] EngineId { get; set; } = Engine;

    public int Boots { get; set; } = 7;

    public int Time { get; set; } = 5000;

    /// <summary>What the report on an unknown engine says of the clock, which anybody could have sent.</summary>
    public (int Boots, int Time)? Rumour { get; set; }

    /// <summary>True to say without a signature that the time is wrong.</summary>
    public bool SignsTimes { get; set; } = true;

    public int Answers { get; private set; }

    /// <summary>The boots and times of the requests that came.</summary>
    public List<(int Boots, int Time)> Clocks { get; } = [];

    /// <summary>Changes what is sent, in order.</summary>
    public Func<UserMessage, byte[], IEnumerable<byte[]>> Send { get; set; } = (_, datagram) => [datagram];

    public void Dispose()
    {
        _disposed = true;
        _thread.Join();
        _socket.Dispose();
    }

    private byte[] Answer(UserMessage message, byte[] octets)
    {
        if (!message.EngineId.SequenceEqual(EngineId))
        {
            return Report(message, 4, SecurityLevel.NoAuthNoPriv, Rumour ?? (Boots, Time));
        }

        Assert.True(message.Level == SecurityLevel.NoAuthNoPriv || Night.IsAuthentic(message, octets));
        Clocks.Add((message.Boots, message.Time));
        if (message.Level != SecurityLevel.NoAuthNoPriv && (message.Boots != Boots || Math.Abs(message.Time - Time) > 150))
        {
            return Report(message, 2, SignsTimes ? SecurityLevel.AuthNoPriv : SecurityLevel.NoAuthNoPriv, (Boots, Time));
        }

        ScopedPdu scoped = Night.Open(message, out _)!;
        var value = SnmpValue.Of(SnmpType.Integer, ++Answers);
        return Night.Write(Reply(message, message.Level, (Boots, Time)), scoped with { Pdu = new SnmpPdu(SnmpPduKind.Response, scoped.Pdu.RequestId, [new VarBind(scoped.Pdu.Bindings[0].Name, value)]) });
    }

    private byte[] Report(UserMessage message, uint counter, SecurityLevel level, (int Boots, int Time) clock) =>
        Night.Write(Reply(message, level, clock), new ScopedPdu(new SnmpPdu(SnmpPduKind.Report, 0, [new VarBind(Stats.Then(counter, 0), SnmpValue.Of(SnmpType.Counter32, 1))])) { EngineId = EngineId });

    private UserMessage Reply(UserMessage message, SecurityLevel level, (int Boots, int Time) clock) =>
        new() { MessageId = message.MessageId, Level = level, EngineId = EngineId, Boots = clock.Boots, Time = clock.Time, User = message.User };

    private void Serve()
    {
        byte[] buffer = new byte[65536];
        while (!_disposed)
        {
            EndPoint from = new IPEndPoint(IPAddress.Any, 0);
            int count;
            try
            {
                count = _socket.ReceiveFrom(buffer, ref from);
            }
            catch (SocketException exception) when (exception.SocketErrorCode is SocketError.TimedOut or SocketError.ConnectionReset)
            {
                continue;
            }

            UserMessage message = UserMessage.Read(buffer, count, out _)!;
            foreach (byte[] datagram in Send(message, Answer(message, buffer)))
            {
                _socket.SendTo(datagram, from);
            }
        }
    }
}
