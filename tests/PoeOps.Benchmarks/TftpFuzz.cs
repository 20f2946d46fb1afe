using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Images;

namespace PoeOps.Benchmarks;

/// <summary>Datagrams that are no packets, or nearly are, in great numbers. The case of a number is the same at each run.</summary>
internal static class TftpFuzz
{
    private static readonly string[] Words =
    [
        "a.img", "octet", "netascii", "blksize", "BLKSIZE", "timeout", "tsize", "windowsize", "multicast", "0", "1", "8", "7", "512", "65464", "65465", "65536", "-1",
        "4294967296", "../a.img", "/a.img", "", "\u001b[2J", "é", new string('x', 600),
    ];

    /// <summary>Reads so many datagrams: each is a packet or has a problem, and a packet that is written again reads as the same.</summary>
    /// <returns>0 where all is well.</returns>
    public static int Packets(int count, int seed)
    {
        int packets = 0;
        int faults = 0;
        var watch = Stopwatch.StartNew();
        for (int number = seed; number < seed + count; number++)
        {
            string? fault = Fault(Datagram(new Random(number)), out bool isPacket);
            packets += isPacket ? 1 : 0;
            if (fault is not null)
            {
                faults++;
                Console.WriteLine($"{number}: {fault}");
            }
        }

        Console.WriteLine($"{count} datagrams from {seed}: {packets} packets, {count - packets} with a problem, {faults} faults, {watch.Elapsed.TotalSeconds:0} s");
        return faults == 0 ? 0 : 1;
    }

    /// <summary>Sends so many datagrams to a server, and fetches a file from it afterwards.</summary>
    /// <returns>0 where it comes whole.</returns>
    public static int Flood(int count, int seed)
    {
        string path = Path.GetTempFileName();
        byte[] octets = new byte[100_000];
        new Random(seed).NextBytes(octets);
        File.WriteAllBytes(path, octets);
        using TftpServer server = new(new TftpServerOptions());
        server.Start();
        using IDisposable offer = server.Serve("a.img", path, null);
        var watch = Stopwatch.StartNew();
        long before = Environment.WorkingSet;
        Send(server.Endpoint!, count, seed);
        Console.WriteLine($"{count} datagrams from {seed} sent in {watch.Elapsed.TotalSeconds:0} s; {server.Transfers.Count} dealings in the log");
        TftpFetch fetch = TftpClient.Fetch(server.Endpoint!, "a.img", Stream.Null, new TftpClientOptions(), CancellationToken.None);
        bool whole = fetch.Sha256 == Convert.ToHexStringLower(SHA256.HashData(octets));
        Console.WriteLine($"the file came {(whole ? "whole" : "broken")}; working set {before / 1_000_000} MB before, {Environment.WorkingSet / 1_000_000} MB after");
        File.Delete(path);
        return whole ? 0 : 1;
    }

    // From a hundred ports, so that requests among them open transfers; each port is used once in a hundred times.
    private static void Send(IPEndPoint server, int count, int seed)
    {
        Socket[] sockets = [.. Enumerable.Range(0, 100).Select(_ => new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp))];
        for (int number = seed; number < seed + count; number++)
        {
            sockets[number % sockets.Length].SendTo(Datagram(new Random(number)), server);
        }

        Array.ForEach(sockets, socket => socket.Dispose());
    }

    private static string? Fault(byte[] datagram, out bool isPacket)
    {
        isPacket = false;
        try
        {
            TftpPacket? packet = TftpPacket.Read(datagram, datagram.Length, out Problem? problem);
            isPacket = packet is not null;
            if (isPacket == problem is not null)
            {
                return "there is neither a packet nor a problem, or both";
            }

            return packet is null || IsSame(packet.Write()) ? null : "written again it reads as another";
        }
#pragma warning disable CA1031 // An exception of any kind is what is looked for.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            return exception.ToString();
        }
    }

    // Octets that are no UTF-8 take more room as replacement characters, which may be too much for a request.
    private static bool IsSame(byte[] written) =>
        TftpPacket.Read(written, written.Length) is { } again ? again.Write().SequenceEqual(written) : written[1] < 3 && written.Length > TftpPacket.LongestRequest;

    private static byte[] Datagram(Random random)
    {
        byte[] noise = new byte[random.Next(random.Next(4) == 0 ? 700 : 40)];
        random.NextBytes(noise);
        if (random.Next(4) == 0)
        {
            return noise;
        }

        // An opcode of its own, and texts or noise behind it; a part with an octet changed or cut off.
        List<byte> datagram = [(byte)(random.Next(50) == 0 ? 1 : 0), (byte)random.Next(8)];
        for (int words = random.Next(10); words > 0; words--)
        {
            datagram.AddRange(random.Next(8) == 0 ? noise : Encoding.UTF8.GetBytes(Words[random.Next(Words.Length)] + "\0"));
        }

        if (random.Next(3) == 0 && datagram.Count > 2)
        {
            datagram[random.Next(datagram.Count)] = (byte)random.Next(256);
        }

        return [.. random.Next(3) == 0 ? datagram.Take(random.Next(datagram.Count + 1)) : datagram];
    }
}
