using System.Net;
using System.Net.Sockets;

namespace PoeOps.Snmp;

/// <summary>A UDP socket that speaks with one agent: the system passes on only what comes from that very address and port.</summary>
internal sealed class SnmpSocket : IDisposable
{
    private static readonly TimeSpan LongestWait = TimeSpan.FromMilliseconds(250);

    private readonly Socket _socket;

    /// <summary>Opens it.</summary>
    /// <exception cref="PoeOpsException">The system has no way to that address.</exception>
    public SnmpSocket(IPEndPoint agent)
    {
        _socket = new Socket(agent.AddressFamily, SocketType.Dgram, ProtocolType.Udp) { ReceiveBufferSize = 256 * 1024 };
        try
        {
            _socket.Connect(agent);
        }
        catch (SocketException exception)
        {
            _socket.Dispose();
            throw new PoeOpsException(new Problem(ProblemId.ConnectFailed, $"There is no way to the agent {agent}: {exception.Message.TrimEnd('.')}.", "Check the address and the network."), exception);
        }
    }

    /// <summary>True once the system said that nothing listens at that port.</summary>
    public bool Refused { get; private set; }

    /// <summary>Sends a datagram; one that the system does not take is as good as lost on the way.</summary>
    public void Send(byte[] datagram) => Try(() => _socket.Send(datagram));

    /// <summary>Waits for a datagram, at most a quarter of a second so that a stop is seen soon.</summary>
    /// <param name="into">Where its octets go.</param>
    /// <param name="left">How long to wait, where that is less.</param>
    /// <returns>How many octets; -1 where none came.</returns>
    public int Receive(byte[] into, TimeSpan left)
    {
        TimeSpan wait = left < LongestWait ? left : LongestWait;
        return _socket.Poll((int)Math.Max(1, wait.Ticks / 10), SelectMode.SelectRead) ? Try(() => _socket.Receive(into)) : -1;
    }

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();

    // A restarting agent has its port closed for a while, so that a refusal is remembered and waited over.
    private int Try(Func<int> work)
    {
        try
        {
            return work();
        }
        catch (SocketException exception)
        {
            Refused |= exception.SocketErrorCode is SocketError.ConnectionRefused or SocketError.ConnectionReset;
            return -1;
        }
    }
}
