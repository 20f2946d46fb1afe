namespace PoeOps.Images;

/// <summary>A read request that a server dealt with.</summary>
public sealed record TftpTransfer
{
    /// <summary>Who asked, as address and port.</summary>
    public string Client { get; init; } = string.Empty;

    /// <summary>The name that was asked for, control characters shown as escapes.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>Octets of the file that were acknowledged.</summary>
    public long Bytes { get; init; }

    /// <summary>Blocks that were acknowledged.</summary>
    public long Blocks { get; init; }

    /// <summary>Packets that were sent again.</summary>
    public int Retransmissions { get; init; }

    /// <summary>Octets in a block.</summary>
    public int BlockSize { get; init; }

    /// <summary>When the request came, UTC.</summary>
    public DateTime StartUtc { get; init; }

    /// <summary>How long it took.</summary>
    public TimeSpan Duration { get; init; }

    /// <summary>True when the whole file was acknowledged.</summary>
    public bool Complete { get; init; }

    /// <summary>How it ended, in a sentence.</summary>
    public string Outcome { get; init; } = string.Empty;
}
