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

    /// <summary>Blocks in a window (RFC 7440); 1 where each block was acknowledged.</summary>
    public int WindowSize { get; init; }

    /// <summary>The options that were agreed, such as <c>blksize=1428 tsize=4096</c>; empty where there were none.</summary>
    public string Options { get; init; } = string.Empty;

    /// <summary>When the request came, UTC, by the server's clock.</summary>
    public DateTime StartUtc { get; init; }

    /// <summary>How long it took, by the server's clock; zero for a request that was refused at once.</summary>
    public TimeSpan Duration { get; init; }

    /// <summary>True when the whole file was acknowledged.</summary>
    public bool Complete => Problem is null;

    /// <summary>How it ended, in a sentence.</summary>
    public string Outcome => Problem?.Sentence ?? "Whole.";

    /// <summary>
    /// Why it did not come whole, or null: one side refused or ended it (<see cref="ProblemId.TftpRefused"/>), the client fell silent
    /// (<see cref="ProblemId.TftpTimedOut"/>), its request could not be read (<see cref="ProblemId.TftpMalformed"/>), or the file became another one
    /// meanwhile (<see cref="ProblemId.ImageChanged"/>) or unreadable (<see cref="ProblemId.FileUnreadable"/>).
    /// </summary>
    public Problem? Problem { get; init; }
}

/// <summary>A transfer that has ended.</summary>
public sealed class TftpTransferEventArgs : EventArgs
{
    /// <summary>Tells of a transfer.</summary>
    public TftpTransferEventArgs(TftpTransfer transfer) => Transfer = transfer;

    /// <summary>The transfer.</summary>
    public TftpTransfer Transfer { get; }
}
