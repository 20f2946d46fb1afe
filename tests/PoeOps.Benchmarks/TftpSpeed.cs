using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeOps.Core.Tests.Images;
using PoeOps.Images;

namespace PoeOps.Benchmarks;

/// <summary>Our file server against tftpd-hpa, each asked by the same client with the same block size in turn; and windows against lock-step over a delay.</summary>
internal static class TftpSpeed
{
    private const int Rounds = 7;
    private static readonly (int BlockSize, int Bytes)[] Sizes = [(512, 8_000_000), (1428, 24_000_000), (65464, 32_000_000), (65464, 200_000_000)];
    private static readonly TimeSpan Delay = TimeSpan.FromMilliseconds(20);

    /// <summary>Measures, and prints a table. The server by others has to be installed, and is started as an administrator only.</summary>
    public static void Run()
    {
        string folder = Directory.CreateTempSubdirectory("poeops-speed-").FullName;
        try
        {
            foreach ((int blockSize, int bytes) in Sizes)
            {
                byte[] octets = new byte[bytes];
                new Random(blockSize).NextBytes(octets);
                File.WriteAllBytes(Path.Combine(folder, Name(bytes)), octets);
            }

            Servers(folder);
            Windows(folder);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void Servers(string folder)
    {
        using TftpServer ours = new(new TftpServerOptions());
        ours.Start();
        int port = FreePort();
        using Process theirs = Process.Start("in.tftpd", ["--foreground", "--address", $"127.0.0.1:{port}", "--user", "root", "--secure", folder]);
        try
        {
            Console.WriteLine($"One file from each server by the same client, the best of {Rounds} turns, taken in turn. Ratio: their time to ours; goal: 1 or more.");
            foreach ((int blockSize, int bytes) in Sizes)
            {
                using IDisposable offer = ours.Serve(Name(bytes), Path.Combine(folder, Name(bytes)), null);
                Compare("PoeOps client", blockSize, bytes, endpoint => Ours(endpoint, Name(bytes), blockSize, 1), ours.Endpoint!, port);
                Compare("curl", blockSize, bytes, endpoint => Curl(endpoint, Name(bytes), blockSize), ours.Endpoint!, port);
            }
        }
        finally
        {
            theirs.Kill(entireProcessTree: true);
        }
    }

    private static void Compare(string client, int blockSize, int bytes, Action<IPEndPoint> fetch, IPEndPoint ours, int theirs)
    {
        double our = double.MaxValue, their = double.MaxValue;
        for (int round = 0; round < Rounds; round++)
        {
            our = Math.Min(our, Time(() => fetch(ours)));
            their = Math.Min(their, Time(() => fetch(new IPEndPoint(IPAddress.Loopback, theirs))));
        }

        Console.WriteLine(FormattableString.Invariant(
            $"  {client,-14} {bytes / 1_000_000,4} MB in blocks of {blockSize,6}: ours {bytes / our / 1e6,7:0.0} MB/s, tftpd-hpa {bytes / their / 1e6,7:0.0} MB/s, ratio {their / our:0.00}"));
    }

    private static void Windows(string folder)
    {
        using TftpServer server = new(new TftpServerOptions());
        server.Start();
        string path = Path.Combine(folder, "short");
        File.WriteAllBytes(path, new byte[300_000]);
        using IDisposable offer = server.Serve("short", path, null);
        using LossyRelay relay = new(server.Endpoint!, new Weather(0, 0, Delay, TimeSpan.Zero), 1);
        double step = double.MaxValue, window = double.MaxValue;
        for (int round = 0; round < 3; round++)
        {
            step = Math.Min(step, Time(() => Ours(relay.Endpoint, "short", 1428, 1)));
            window = Math.Min(window, Time(() => Ours(relay.Endpoint, "short", 1428, 16)));
        }

        Console.WriteLine(FormattableString.Invariant(
            $"300000 octets in blocks of 1428 over a relay that delays {Delay.TotalMilliseconds:0} ms each way: lock-step {step:0.00} s, windows of 16 {window:0.00} s, ratio {step / window:0.0}; goal: 8 or more"));
    }

    private static void Ours(IPEndPoint server, string name, int blockSize, int windowSize) =>
        TftpClient.Fetch(server, name, Stream.Null, new TftpClientOptions { BlockSize = blockSize, WindowSize = windowSize }, CancellationToken.None);

    private static void Curl(IPEndPoint server, string name, int blockSize)
    {
        string size = blockSize.ToString(CultureInfo.InvariantCulture);
        using Process curl = Process.Start("curl", ["--silent", "--show-error", "--noproxy", "*", "--tftp-blksize", size, "--output", "/dev/null", $"tftp://{server}/{name}"]);
        curl.WaitForExit();
        if (curl.ExitCode != 0)
        {
            throw new InvalidOperationException($"curl ended with {curl.ExitCode}.");
        }
    }

    private static double Time(Action action)
    {
        var watch = Stopwatch.StartNew();
        action();
        return watch.Elapsed.TotalSeconds;
    }

    private static int FreePort()
    {
        using Socket socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    }

    private static string Name(int bytes) => $"of-{bytes}";
}
