using System.Net;
using System.Net.Sockets;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>An agent of SNMPv1 and v2c on loopback that does exactly what a test says. Its rows are looked up one by one, so that it is slow and plain.</summary>
internal sealed class TestAgent : IDisposable
{
    public const string Community = "quiet";

    private readonly Socket _socket;
    private readonly List<VarBind> _rows;
    private readonly Thread _thread;
    private volatile bool _disposed;

    public TestAgent(IEnumerable<VarBind> rows, IPAddress? address = null)
    {
        _rows = [.. rows.OrderBy(row => row.Name)];
        IPAddress local = address ?? IPAddress.Loopback;
        _socket = new Socket(local.AddressFamily, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 200 };
        _socket.Bind(new IPEndPoint(local, 0));
        _thread = new Thread(Serve) { IsBackground = true };
        _thread.Start();
    }

    public IPEndPoint Endpoint => (IPEndPoint)_socket.LocalEndPoint!;

    /// <summary>Every request that came.</summary>
    public List<SnmpPdu> Asked { get; } = [];

    /// <summary>What becomes of an answer: the datagrams to send, in order.</summary>
    public Func<SnmpPdu, SnmpPdu, IEnumerable<byte[]>> Send { get; set; } = (_, answer) => [Datagram(answer)];

    /// <summary>The answer to a request; as RFC 3416 has it unless a test changes it.</summary>
    public Func<TestAgent, SnmpPdu, SnmpPdu?> Answer { get; set; } = (agent, request) => agent.Plain(request);

    public static byte[] Datagram(SnmpPdu answer, SnmpVersion version = SnmpVersion.V2c, string community = Community) => new CommunityMessage(version, community, answer).Write();

    /// <summary>Rows below a name, numbered from 1.</summary>
    public static IEnumerable<VarBind> Rows(string root, int count) =>
        Enumerable.Range(1, count).Select(i => new VarBind(Oid.Parse(root).Then((uint)i), SnmpValue.Of(SnmpType.Integer, i)));

    public SnmpPdu Plain(SnmpPdu request)
    {
        List<VarBind> found = [];
        if (request.Kind == SnmpPduKind.GetBulkRequest)
        {
            List<Oid> names = [.. request.Bindings.Select(binding => binding.Name)];
            for (int repetition = 0; repetition < request.MaxRepetitions && found.Count < 200; repetition++)
            {
                for (int i = 0; i < names.Count; i++)
                {
                    VarBind next = After(names[i]);
                    names[i] = next.Name;
                    found.Add(next);
                }
            }
        }
        else
        {
            found.AddRange(request.Bindings.Select(binding => request.Kind == SnmpPduKind.GetNextRequest ? After(binding.Name)
                : _rows.FirstOrDefault(row => row.Name == binding.Name) ?? new VarBind(binding.Name, SnmpValue.Exception(SnmpType.NoSuchObject))));
        }

        return new SnmpPdu(SnmpPduKind.Response, request.RequestId, found);
    }

    public VarBind After(Oid name) => _rows.FirstOrDefault(row => row.Name > name) ?? new VarBind(name, SnmpValue.Exception(SnmpType.EndOfMibView));

    public void Dispose()
    {
        _disposed = true;
        _thread.Join();
        _socket.Dispose();
    }

    private void Serve()
    {
        byte[] buffer = new byte[65536];
        while (!_disposed)
        {
            EndPoint from = new IPEndPoint(Endpoint.AddressFamily == AddressFamily.InterNetwork ? IPAddress.Any : IPAddress.IPv6Any, 0);
            int count;
            try
            {
                count = _socket.ReceiveFrom(buffer, ref from);
            }
            catch (SocketException exception) when (exception.SocketErrorCode is SocketError.TimedOut or SocketError.ConnectionReset)
            {
                continue;
            }

            CommunityMessage message = CommunityMessage.Read(buffer, count, out _)!;
            Asked.Add(message.Pdu);
            if (Answer(this, message.Pdu) is { } answer)
            {
                foreach (byte[] datagram in message.Version == SnmpVersion.V1 ? [Datagram(answer, SnmpVersion.V1)] : Send(message.Pdu, answer))
                {
                    _socket.SendTo(datagram, from);
                }
            }
        }
    }
}
