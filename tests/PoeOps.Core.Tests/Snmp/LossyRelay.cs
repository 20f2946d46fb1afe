using System.Net;
using System.Net.Sockets;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>A relay between one asker and an agent on loopback, which does with each datagram what a test says.</summary>
internal sealed class LossyRelay : IDisposable
{
    private readonly Socket _front = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
    private readonly Socket _back = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
    private readonly IPEndPoint _agent;
    private readonly Func<bool, int, bool> _passes;
    private readonly Thread _thread;
    private volatile bool _disposed;

    /// <param name="agent">Where requests go.</param>
    /// <param name="passes">Says of a datagram whether it passes: whether it is a request, and its number from 1.</param>
    public LossyRelay(IPEndPoint agent, Func<bool, int, bool> passes)
    {
        (_agent, _passes) = (agent, passes);
        _front.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        _back.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        _thread = new Thread(Serve) { IsBackground = true };
        _thread.Start();
    }

    public IPEndPoint Endpoint => (IPEndPoint)_front.LocalEndPoint!;

    public int Dropped { get; private set; }

    public int Seen { get; private set; }

    /// <summary>Loses so many of a hundred, the same ones each time.</summary>
    public static Func<bool, int, bool> Losing(int percent)
    {
        // Numerical Recipes' linear congruential generator (from memory); any would do.
        uint state = 12345;
        return (_, _) => (state = unchecked((state * 1664525) + 1013904223)) >> 16 >= 65536u * (uint)percent / 100;
    }

    public void Dispose()
    {
        _disposed = true;
        _thread.Join();
        _front.Dispose();
        _back.Dispose();
    }

    private void Serve()
    {
        byte[] buffer = new byte[65536];
        EndPoint asker = new IPEndPoint(IPAddress.Loopback, 0);
        while (!_disposed)
        {
            List<Socket> ready = [_front, _back];
            Socket.Select(ready, null, null, 100_000);
            foreach (Socket socket in ready)
            {
                EndPoint from = new IPEndPoint(IPAddress.Any, 0);
                int count = Receive(socket, buffer, ref from);
                bool isRequest = socket == _front;
                asker = isRequest ? from : asker;
                if (count < 0)
                {
                    continue;
                }

                Seen++;
                if (_passes(isRequest, Seen))
                {
                    (isRequest ? _back : _front).SendTo(buffer, count, SocketFlags.None, isRequest ? _agent : asker);
                }
                else
                {
                    Dropped++;
                }
            }
        }
    }

    // A closed port behind the relay is a datagram lost.
    private static int Receive(Socket socket, byte[] buffer, ref EndPoint from)
    {
        try
        {
            return socket.ReceiveFrom(buffer, ref from);
        }
        catch (SocketException)
        {
            return -1;
        }
    }
}
