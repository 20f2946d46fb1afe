using System.Collections.Concurrent;
using System.Net;
using System.Security.Cryptography;
using PoeOps.Core.Tests.Files;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>A file server on loopback with a folder of its own; tells of its transfers one after another.</summary>
internal sealed class FileBench : IDisposable
{
    // Far longer than anything takes; only a test that fails waits for it.
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly BlockingCollection<TftpTransfer> _ended = [];

    public FileBench(TftpServerOptions? options = null)
    {
        Server = new TftpServer(options ?? new TftpServerOptions());
        Server.TransferEnded += (_, told) => _ended.Add(told.Transfer);
        Server.Start();
    }

    public ScratchFolder Folder { get; } = new();

    public TftpServer Server { get; }

    public IPEndPoint Endpoint => Server.Endpoint!;

    /// <summary>Octets that do not repeat soon, the same each time.</summary>
    public static byte[] Octets(int count)
    {
        byte[] octets = new byte[count];
        uint state = 2463534242;
        for (int i = 0; i < count; i++)
        {
            // G. Marsaglia, Xorshift RNGs, Journal of Statistical Software 8 (14), 2003.
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            octets[i] = (byte)(state >> 11);
        }

        return octets;
    }

    public static string Digest(byte[] octets) => Convert.ToHexStringLower(SHA256.HashData(octets));

    /// <summary>Offers a file of so many octets and returns them.</summary>
    public byte[] Offer(string name, int count, IPAddress? only = null)
    {
        byte[] octets = Octets(count);
        _ = Server.Serve(name, Folder.Write(name, octets), only);
        return octets;
    }

    /// <summary>Writes a file of so many octets and returns its digest. A very long one is sparse, with a mark of its own in each mebibyte.</summary>
    public string Write(string name, long count)
    {
        if (count < TransferSizes.Sparse)
        {
            Folder.Write(name, Octets((int)count));
        }
        else
        {
            using FileStream file = File.Create(Folder.Path(name));
            file.SetLength(count);
            for (long at = 0; at < count - 8; at += 1 << 20)
            {
                file.Position = at;
                file.Write(BitConverter.GetBytes(at + 1));
            }
        }

        return DigestOf(name);
    }

    /// <summary>The digest of a file in the folder.</summary>
    public string DigestOf(string name)
    {
        using FileStream file = File.OpenRead(Folder.Path(name));
        return Convert.ToHexStringLower(SHA256.HashData(file));
    }

    /// <summary>The next transfer that ends.</summary>
    public TftpTransfer Next()
    {
        Assert.True(_ended.TryTake(out TftpTransfer? transfer, Patience), "No transfer ended.");
        return transfer!;
    }

    /// <summary>Fetches with our own client.</summary>
    public (byte[] Octets, TftpFetch Told) Fetch(string name, TftpClientOptions? options = null)
    {
        using MemoryStream into = new();
        TftpFetch told = TftpClient.Fetch(Endpoint, name, into, options ?? new TftpClientOptions(), CancellationToken.None);
        return (into.ToArray(), told);
    }

    public void Dispose()
    {
        Server.Dispose();
        Folder.Dispose();
        _ended.Dispose();
    }
}
