using System.Text;

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

/// <summary>One TFTP packet, read or to be sent.</summary>
public sealed record TftpPacket(TftpOpcode Opcode)
{
    /// <summary>The longest request, in octets (RFC 2347).</summary>
    public const int LongestRequest = 512;

    /// <summary>The file's name, of a request.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>The mode, of a request, in lower case.</summary>
    public string Mode { get; init; } = string.Empty;

    /// <summary>Options by name in lower case, in order, of a request or an acknowledgement of options.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Options { get; init; } = [];

    /// <summary>The block's number, of data or an acknowledgement; wraps to 0.</summary>
    public ushort Block { get; init; }

    /// <summary>The octets, of data.</summary>
    public ArraySegment<byte> Data { get; init; } = new([]);

    /// <summary>The code, of an error.</summary>
    public TftpErrorCode Code { get; init; }

    /// <summary>The text, of an error.</summary>
    public string Text { get; init; } = string.Empty;

    /// <summary>The value of an option, or null.</summary>
    public string? Option(string name) => Options.Where(option => option.Key == name).Select(option => option.Value).FirstOrDefault();

    /// <summary>Reads a packet. Any octets may come; nothing is thrown.</summary>
    /// <param name="bytes">The datagram.</param>
    /// <param name="count">How many of the octets are the datagram.</param>
    /// <returns>The packet, or null where it is none.</returns>
    public static TftpPacket? Read(byte[] bytes, int count)
    {
        if (count < 4 || count > bytes.Length || bytes[0] != 0)
        {
            return null;
        }

        ushort word = (ushort)((bytes[2] << 8) | bytes[3]);
        return (TftpOpcode)bytes[1] switch
        {
            TftpOpcode.ReadRequest or TftpOpcode.WriteRequest => Request((TftpOpcode)bytes[1], bytes, count),
            TftpOpcode.Data => new TftpPacket(TftpOpcode.Data) { Block = word, Data = new ArraySegment<byte>(bytes, 4, count - 4) },
            TftpOpcode.Acknowledgement when count == 4 => new TftpPacket(TftpOpcode.Acknowledgement) { Block = word },
            TftpOpcode.Error => Error(word, bytes, count),
            TftpOpcode.OptionAcknowledgement => Acknowledgement(bytes, count),
            _ => null,
        };
    }

    /// <summary>The packet as a datagram.</summary>
    public byte[] Write()
    {
        using var stream = new MemoryStream();
        stream.WriteByte(0);
        stream.WriteByte((byte)Opcode);
        switch (Opcode)
        {
            case TftpOpcode.ReadRequest or TftpOpcode.WriteRequest:
                WriteText(stream, File);
                WriteText(stream, Mode);
                WriteOptions(stream);
                break;
            case TftpOpcode.Data:
                WriteWord(stream, Block);
                stream.Write(Data.Array!, Data.Offset, Data.Count);
                break;
            case TftpOpcode.Acknowledgement:
                WriteWord(stream, Block);
                break;
            case TftpOpcode.Error:
                WriteWord(stream, (ushort)Code);
                WriteText(stream, Text);
                break;
            default:
                WriteOptions(stream);
                break;
        }

        return stream.ToArray();
    }

    private void WriteOptions(MemoryStream stream)
    {
        foreach (KeyValuePair<string, string> option in Options)
        {
            WriteText(stream, option.Key);
            WriteText(stream, option.Value);
        }
    }

    private static void WriteWord(MemoryStream stream, ushort word)
    {
        stream.WriteByte((byte)(word >> 8));
        stream.WriteByte((byte)word);
    }

    private static void WriteText(MemoryStream stream, string text)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        stream.Write(bytes, 0, bytes.Length);
        stream.WriteByte(0);
    }

    private static TftpPacket? Request(TftpOpcode opcode, byte[] bytes, int count)
    {
        List<string>? texts = count > LongestRequest ? null : Texts(bytes, 2, count);
        if (texts is null || texts.Count < 2 || texts[0].Length == 0 || Pairs(texts, 2) is not { } options)
        {
            return null;
        }

        return new TftpPacket(opcode) { File = texts[0], Mode = texts[1].ToLowerInvariant(), Options = options };
    }

    private static TftpPacket? Acknowledgement(byte[] bytes, int count) =>
        Texts(bytes, 2, count) is { } texts && Pairs(texts, 0) is { } options ? new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = options } : null;

    // Some senders leave the last NUL of an error's text away; the text is only for people, so it is taken as it came.
    private static TftpPacket Error(ushort code, byte[] bytes, int count)
    {
        int end = Array.IndexOf(bytes, (byte)0, 4, count - 4);
        int length = (end < 0 ? count : end) - 4;
        return new TftpPacket(TftpOpcode.Error) { Code = (TftpErrorCode)code, Text = Encoding.UTF8.GetString(bytes, 4, length) };
    }

    // Each text ends with NUL; octets behind the last one are no text.
    private static List<string>? Texts(byte[] bytes, int start, int count)
    {
        List<string> texts = [];
        while (start < count)
        {
            int end = Array.IndexOf(bytes, (byte)0, start, count - start);
            if (end < 0)
            {
                return null;
            }

            texts.Add(Encoding.UTF8.GetString(bytes, start, end - start));
            start = end + 1;
        }

        return texts;
    }

    // Options come in pairs, each name at most once (RFC 2347).
    private static List<KeyValuePair<string, string>>? Pairs(List<string> texts, int start)
    {
        List<KeyValuePair<string, string>> pairs = [];
        if ((texts.Count - start) % 2 != 0)
        {
            return null;
        }

        for (int i = start; i < texts.Count; i += 2)
        {
            string name = texts[i].ToLowerInvariant();
            if (name.Length == 0 || pairs.Any(pair => pair.Key == name))
            {
                return null;
            }

            pairs.Add(new KeyValuePair<string, string>(name, texts[i + 1]));
        }

        return pairs;
    }
}
