using System.Net;
using System.Net.Sockets;
using PoeOps.Rehearsal.Agents;
using PoeOps.Snmp;

namespace PoeOps.Benchmarks;

/// <summary>Many agents of SNMPv2c on loopback in one process, by the rows and answers of the rehearsal's; ends when its input does.</summary>
internal static class SnmpAgents
{
    private const int MostOctets = 60_000;
    private const int SocketsOfThread = 50;

    /// <summary>Prints the ports on one line and answers until the input ends.</summary>
    public static int Run(int agents, int ports)
    {
        var rows = new AgentRows(Rows(ports));
        Socket[] sockets = [.. Enumerable.Range(0, agents).Select(_ => Open())];
        foreach (Socket[] some in sockets.Chunk(SocketsOfThread))
        {
            new Thread(() => Serve(some, rows)) { IsBackground = true }.Start();
        }

        Console.WriteLine(string.Join(' ', sockets.Select(socket => ((IPEndPoint)socket.LocalEndPoint!).Port)));
        Console.In.ReadToEnd();
        return 0;
    }

    private static Socket Open()
    {
        var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return socket;
    }

    private static void Serve(Socket[] sockets, AgentRows rows)
    {
        byte[] buffer = new byte[65536];
        while (true)
        {
            List<Socket> ready = [.. sockets];
            Socket.Select(ready, null, null, -1);
            foreach (Socket socket in ready)
            {
                EndPoint from = new IPEndPoint(IPAddress.Any, 0);
                int count = socket.ReceiveFrom(buffer, ref from);
                if (CommunityMessage.Read(buffer, count, out _) is { } message && rows.Answer(message.Pdu, message.Version, MostOctets) is { } answer)
                {
                    socket.SendTo(new CommunityMessage(message.Version, "quiet", answer).Write(), from);
                }
            }
        }
    }

    private static IEnumerable<VarBind> Rows(int ports)
    {
        Oid main = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1");
        Oid port = Oid.Parse("1.3.6.1.2.1.105.1.1.1");
        yield return new VarBind(main.Then(2, 1), SnmpValue.Of(SnmpType.Gauge32, 740));
        yield return new VarBind(main.Then(3, 1), SnmpValue.Of(SnmpType.Integer, 1));
        yield return new VarBind(main.Then(4, 1), SnmpValue.Of(SnmpType.Gauge32, 60));
        yield return new VarBind(main.Then(5, 1), SnmpValue.Of(SnmpType.Integer, 80));
        for (uint i = 1; i <= ports; i++)
        {
            yield return new VarBind(port.Then(3, 1, i), SnmpValue.Of(SnmpType.Integer, 1));
            yield return new VarBind(port.Then(6, 1, i), SnmpValue.Of(SnmpType.Integer, i % 4 == 0 ? 3 : 2));
            yield return new VarBind(port.Then(7, 1, i), SnmpValue.Of(SnmpType.Integer, 3));
            yield return new VarBind(port.Then(10, 1, i), SnmpValue.Of(SnmpType.Integer, 4));
        }
    }
}
