using System.Net;

namespace PoeOps.Images;

/// <summary>What to ask a server for, and how long to wait.</summary>
public sealed record TftpClientOptions
{
    /// <summary>The local address to ask from; null for whichever the system takes.</summary>
    public IPAddress? Bind { get; init; }

    /// <summary>Octets in a block to ask for, 8 to 65464 (RFC 2348); 512 asks for nothing.</summary>
    public int BlockSize { get; init; } = 1428;

    /// <summary>Blocks that may come before one acknowledgement, 1 to 65535 (RFC 7440); 1 asks for nothing.</summary>
    public int WindowSize { get; init; } = 1;

    /// <summary>Seconds before an acknowledgement is sent again, 1 to 255; more where the way is longer, and they double with each try.</summary>
    public int TimeoutSeconds { get; init; } = 1;

    /// <summary>True to ask the server for the same time before it sends a block again (RFC 2349).</summary>
    public bool AskTimeout { get; init; }

    /// <summary>True to ask for the file's size beforehand (RFC 2349).</summary>
    public bool AskSize { get; init; } = true;

    /// <summary>The most octets that are taken.</summary>
    public long MostBytes { get; init; } = 1L << 30;

    /// <summary>The size that the file must have, in octets, or null.</summary>
    public long? ExpectedBytes { get; init; }

    /// <summary>The SHA-256 that the file must have, 64 hexadecimal digits, or null.</summary>
    public string? ExpectedSha256 { get; init; }

    /// <summary>The machine's time for the whole transfer.</summary>
    public TimeSpan Deadline { get; init; } = TimeSpan.FromMinutes(10);

    /// <summary>Told after each block: octets so far, and the size where the server said it.</summary>
    public Action<long, long?>? Progress { get; init; }
}

/// <summary>A file that was fetched.</summary>
/// <param name="Bytes">Its size.</param>
/// <param name="BlockSize">The block size that was agreed.</param>
/// <param name="Sha256">Its SHA-256, 64 lower-case hexadecimal digits.</param>
public sealed record TftpFetch(long Bytes, int BlockSize, string Sha256)
{
    /// <summary>The window that was agreed, in blocks.</summary>
    public int WindowSize { get; init; } = 1;
}
