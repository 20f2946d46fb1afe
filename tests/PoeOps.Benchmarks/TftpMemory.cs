using System.Net;
using System.Net.Sockets;
using PoeOps.Images;

namespace PoeOps.Benchmarks;

/// <summary>Serves one large file to many clients at once, for a process whose heap has a limit.</summary>
internal static class TftpMemory
{
    private const int Clients = 200;

    /// <summary>Offers a file, begins 200 transfers of the largest blocks that stay open, and fetches it whole beside them.</summary>
    public static int Run(string path)
    {
        using TftpServer server = new(new TftpServerOptions());
        server.Start();
        using IDisposable offer = server.Serve("a.img", path, null);
        Socket[] clients = [.. Enumerable.Range(0, Clients).Select(_ => Begin(server.Endpoint!))];
        TftpFetch fetch = TftpClient.Fetch(server.Endpoint!, "a.img", Stream.Null, new TftpClientOptions { BlockSize = 65464 }, CancellationToken.None);
        Console.WriteLine($"{fetch.Bytes} {fetch.Sha256}");
        Console.WriteLine($"{clients.Length} clients had their first block meanwhile");
        Array.ForEach(clients, client => client.Dispose());
        return 0;
    }

    private static Socket Begin(IPEndPoint server)
    {
        Socket client = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 60_000 };
        client.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        client.SendTo("\0\u0001a.img\0octet\0blksize\065464\0timeout\0200\0"u8.ToArray(), server);
        byte[] answer = new byte[70_000];
        EndPoint from = server;
        client.ReceiveFrom(answer, ref from);
        client.SendTo([0, 4, 0, 0], from);
        int count = client.ReceiveFrom(answer, ref from);
        return count == 65468 ? client : throw new InvalidOperationException($"A block of {count} octets.");
    }
}
