using System.Globalization;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Images;

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
    public static TftpPacket? Read(byte[] bytes, int count) => Read(bytes, count, out _);

    /// <summary>Reads a packet, and says why where it is none. Any octets may come; nothing is thrown.</summary>
    /// <param name="bytes">The datagram.</param>
    /// <param name="count">How many of the octets are the datagram.</param>
    /// <param name="problem">Why it is no packet (<see cref="ProblemId.TftpMalformed"/>), or null.</param>
    /// <returns>The packet, or null where it is none.</returns>
    public static TftpPacket? Read(byte[] bytes, int count, out Problem? problem)
    {
        TftpPacket? packet = Take(bytes, count, out string? why);
        problem = packet is null ? Malformed(count, why) : null;
        return packet;
    }

    private static TftpPacket? Take(byte[] bytes, int count, out string? why)
    {
        why = count < 4 || count > bytes.Length ? "a packet has at least 4 octets" : bytes[0] != 0 ? "the opcodes are 1 to 6" : null;
        if (why is not null)
        {
            return null;
        }

        ushort word = (ushort)((bytes[2] << 8) | bytes[3]);
        switch ((TftpOpcode)bytes[1])
        {
            case TftpOpcode.ReadRequest or TftpOpcode.WriteRequest:
                return Request((TftpOpcode)bytes[1], bytes, count, out why);
            case TftpOpcode.Data:
                return new TftpPacket(TftpOpcode.Data) { Block = word, Data = new ArraySegment<byte>(bytes, 4, count - 4) };
            case TftpOpcode.Acknowledgement:
                why = count == 4 ? null : "an acknowledgement has 4 octets";
                return why is null ? new TftpPacket(TftpOpcode.Acknowledgement) { Block = word } : null;
            case TftpOpcode.Error:
                return Error(word, bytes, count);
            case TftpOpcode.OptionAcknowledgement:
                return Acknowledgement(bytes, count, out why);
            default:
                why = "the opcodes are 1 to 6";
                return null;
        }
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

    private static TftpPacket? Request(TftpOpcode opcode, byte[] bytes, int count, out string? why)
    {
        why = count > LongestRequest ? "a request has at most 512 octets" : null;
        if (why is not null || Texts(bytes, 2, count, out why) is not { } texts)
        {
            return null;
        }

        why = texts.Count < 2 ? "a request has a file name and a mode" : texts[0].Length == 0 ? "the file name is empty" : null;
        return why is null && Pairs(texts, 2, out why) is { } options
            ? new TftpPacket(opcode) { File = texts[0], Mode = texts[1].ToLowerInvariant(), Options = options }
            : null;
    }

    private static TftpPacket? Acknowledgement(byte[] bytes, int count, out string? why) =>
        Texts(bytes, 2, count, out why) is { } texts && Pairs(texts, 0, out why) is { } options
            ? new TftpPacket(TftpOpcode.OptionAcknowledgement) { Options = options }
            : null;

    // Some senders leave the last NUL of an error's text away; the text is only for people, so it is taken as it came.
    private static TftpPacket Error(ushort code, byte[] bytes, int count)
    {
        int end = Array.IndexOf(bytes, (byte)0, 4, count - 4);
        int length = (end < 0 ? count : end) - 4;
        return new TftpPacket(TftpOpcode.Error) { Code = (TftpErrorCode)code, Text = Encoding.UTF8.GetString(bytes, 4, length) };
    }

    // Each text ends with NUL; octets behind the last one are no text.
    private static List<string>? Texts(byte[] bytes, int start, int count, out string? why)
    {
        List<string> texts = [];
        why = null;
        while (start < count)
        {
            int end = Array.IndexOf(bytes, (byte)0, start, count - start);
            if (end < 0)
            {
                why = "the last text has no NUL behind it";
                return null;
            }

            texts.Add(Encoding.UTF8.GetString(bytes, start, end - start));
            start = end + 1;
        }

        return texts;
    }

    // Options come in pairs, each name at most once (RFC 2347).
    private static List<KeyValuePair<string, string>>? Pairs(List<string> texts, int start, out string? why)
    {
        List<KeyValuePair<string, string>> pairs = [];
        why = (texts.Count - start) % 2 == 0 ? null : "an option has a name and a value";
        for (int i = start; why is null && i < texts.Count; i += 2)
        {
            string name = texts[i].ToLowerInvariant();
            why = name.Length == 0 ? "an option has no name" : pairs.Any(pair => pair.Key == name) ? $"the option {Excerpt.Of(name)} stands there twice" : null;
            pairs.Add(new KeyValuePair<string, string>(name, texts[i + 1]));
        }

        return why is null ? pairs : null;
    }

    private static Problem Malformed(int count, string? why) =>
        new(
            ProblemId.TftpMalformed,
            $"A datagram of {count.ToString(CultureInfo.InvariantCulture)} octets is no TFTP packet: {why}.",
            "Check what sends it; it may be meant for another port.");
}
