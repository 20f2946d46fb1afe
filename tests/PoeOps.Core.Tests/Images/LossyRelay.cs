using System.Net;
using System.Net.Sockets;

namespace PoeOps.Core.Tests.Images;

/// <summary>What a relay does to datagrams, each way by itself.</summary>
/// <param name="Loss">The part that is lost, 0 to 1.</param>
/// <param name="Twice">The part that comes twice.</param>
/// <param name="Delay">How long each one takes.</param>
/// <param name="Spread">How much longer some take, so that they overtake each other.</param>
internal sealed record Weather(double Loss, double Twice, TimeSpan Delay, TimeSpan Spread);

/// <summary>
/// A network in between for TFTP on loopback: a client asks the relay in the place of the server, and each port of the server's transfers has a
/// port of the relay's that stands for it. Datagrams are lost, doubled, delayed and overtaken by a seed.
/// </summary>
internal sealed class LossyRelay : IDisposable
{
    private readonly IPEndPoint _server;
    private readonly Weather _weather;
    private readonly Random _chance;
    private readonly Socket _front = Open();
    private readonly Dictionary<EndPoint, Socket> _backs = [];
    private readonly Dictionary<(EndPoint Client, EndPoint Peer), Socket> _doors = [];
    private readonly Dictionary<Socket, (EndPoint Client, EndPoint? Peer)> _ends = [];
    private readonly PriorityQueue<(Socket From, byte[] Datagram, EndPoint To), TimeSpan> _onTheWay = new();
    private readonly byte[] _buffer = new byte[70_000];
    private readonly Thread _thread;
    private volatile bool _ended;

    public LossyRelay(IPEndPoint server, Weather weather, int seed)
    {
        _server = server;
        _weather = weather;
        _chance = new Random(seed);
        _thread = new Thread(Run) { IsBackground = true, Name = "lossy relay" };
        _thread.Start();
    }

    /// <summary>Where clients ask.</summary>
    public IPEndPoint Endpoint => (IPEndPoint)_front.LocalEndPoint!;

    /// <summary>Datagrams that were lost.</summary>
    public int Lost { get; private set; }

    public void Dispose()
    {
        _ended = true;
        _thread.Join();
        foreach (Socket socket in (Socket[])[_front, .. _ends.Keys])
        {
            socket.Dispose();
        }
    }

    private void Run()
    {
        while (!_ended)
        {
            List<Socket> ready = [_front, .. _ends.Keys];
            TimeSpan wait = _onTheWay.TryPeek(out _, out TimeSpan due) ? due - SystemClock.Instance.Elapsed : TimeSpan.FromMilliseconds(50);
            Socket.Select(ready, null, null, Math.Max(0, (int)Math.Min(50_000, wait.TotalMicroseconds)));
            foreach (Socket socket in ready)
            {
                Take(socket);
            }

            while (_onTheWay.TryPeek(out _, out due) && due <= SystemClock.Instance.Elapsed)
            {
                (Socket from, byte[] datagram, EndPoint to) = _onTheWay.Dequeue();
                from.SendTo(datagram, to);
            }
        }
    }

    private void Take(Socket socket)
    {
        while (socket.Available > 0)
        {
            EndPoint from = new IPEndPoint(IPAddress.Any, 0);
            int count = socket.ReceiveFrom(_buffer, ref from);
            byte[] datagram = _buffer[..count];
            if (socket == _front)
            {
                Carry(Back(from), datagram, _server);
            }
            else if (_ends[socket] is (var client, { } peer))
            {
                // From the client to the door of one transfer.
                Carry(Back(client), datagram, peer);
            }
            else
            {
                Carry(Door(_ends[socket].Client, from), datagram, _ends[socket].Client);
            }
        }
    }

    private void Carry(Socket through, byte[] datagram, EndPoint to)
    {
        if (_chance.NextDouble() < _weather.Loss)
        {
            Lost++;
            return;
        }

        for (int copies = _chance.NextDouble() < _weather.Twice ? 2 : 1; copies > 0; copies--)
        {
            _onTheWay.Enqueue((through, datagram, to), SystemClock.Instance.Elapsed + _weather.Delay + (_weather.Spread * _chance.NextDouble()));
        }
    }

    private Socket Back(EndPoint client) => Known(_backs, client, (client, null));

    private Socket Door(EndPoint client, EndPoint peer) => Known(_doors, (client, peer), (client, peer));

    private Socket Known<T>(Dictionary<T, Socket> sockets, T key, (EndPoint, EndPoint?) end)
        where T : notnull
    {
        if (!sockets.TryGetValue(key, out Socket? socket))
        {
            socket = Open();
            sockets.Add(key, socket);
            _ends.Add(socket, end);
        }

        return socket;
    }

    private static Socket Open()
    {
        Socket socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveBufferSize = 1 << 20 };
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return socket;
    }
}
