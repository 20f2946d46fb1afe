using System.Net;

namespace PoeOps.Images;

/// <summary>What to ask a server for, and how long to wait.</summary>
public sealed record TftpClientOptions
{
    /// <summary>The local address to ask from; null for whichever the system takes.</summary>
    public IPAddress? Bind { get; init; }

    /// <summary>Octets in a block to ask for, 8 to 65464 (RFC 2348); 512 asks for nothing.</summary>
    public int BlockSize { get; init; } = 1428;

    /// <summary>Seconds before an acknowledgement is sent again, 1 to 255; they double with each try.</summary>
    public int TimeoutSeconds { get; init; } = 1;

    /// <summary>True to ask the server for the same time before it sends a block again (RFC 2349).</summary>
    public bool AskTimeout { get; init; }

    /// <summary>True to ask for the file's size beforehand (RFC 2349).</summary>
    public bool AskSize { get; init; } = true;

    /// <summary>The most octets that are taken.</summary>
    public long MostBytes { get; init; } = 1L << 30;

    /// <summary>The machine's time for the whole transfer.</summary>
    public TimeSpan Deadline { get; init; } = TimeSpan.FromMinutes(10);

    /// <summary>Told after each block: octets so far, and the size where the server said it.</summary>
    public Action<long, long?>? Progress { get; init; }
}

/// <summary>A file that was fetched.</summary>
/// <param name="Bytes">Its size.</param>
/// <param name="BlockSize">The block size that was agreed.</param>
/// <param name="Sha256">Its SHA-256, 64 lower-case hexadecimal digits.</param>
public sealed record TftpFetch(long Bytes, int BlockSize, string Sha256);
