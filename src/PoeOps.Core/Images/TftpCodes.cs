namespace PoeOps.Images;

/// <summary>Kinds of TFTP packets, by their opcodes (RFC 1350 section 5, RFC 2347).</summary>
public enum TftpOpcode
{
    /// <summary>No packet.</summary>
    None = 0,
    /// <summary>RRQ: asks to read a file.</summary>
    ReadRequest = 1,
    /// <summary>WRQ: asks to write a file.</summary>
    WriteRequest = 2,
    /// <summary>DATA: a block of the file.</summary>
    Data = 3,
    /// <summary>ACK: a block has come.</summary>
    Acknowledgement = 4,
    /// <summary>ERROR: the transfer ends.</summary>
    Error = 5,
    /// <summary>OACK: the options that the server takes.</summary>
    OptionAcknowledgement = 6,
}

/// <summary>Error codes (RFC 1350 appendix, RFC 2347).</summary>
public enum TftpErrorCode
{
    /// <summary>Not defined; see the text.</summary>
    NotDefined = 0,
    /// <summary>File not found.</summary>
    FileNotFound = 1,
    /// <summary>Access violation.</summary>
    AccessViolation = 2,
    /// <summary>Disk full or allocation exceeded.</summary>
    DiskFull = 3,
    /// <summary>Illegal TFTP operation.</summary>
    IllegalOperation = 4,
    /// <summary>Unknown transfer ID.</summary>
    UnknownTransferId = 5,
    /// <summary>File already exists.</summary>
    FileExists = 6,
    /// <summary>No such user.</summary>
    NoSuchUser = 7,
    /// <summary>Option negotiation refused.</summary>
    OptionsRefused = 8,
}
