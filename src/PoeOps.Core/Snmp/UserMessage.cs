using System.Text;

namespace PoeOps.Snmp;

/// <summary>How a message of version 3 is protected (RFC 3411 section 3.4.3).</summary>
public enum SecurityLevel
{
    /// <summary>Neither authenticated nor encrypted.</summary>
    NoAuthNoPriv = 0,
    /// <summary>Authenticated.</summary>
    AuthNoPriv = 1,
    /// <summary>Authenticated and encrypted.</summary>
    AuthPriv = 3,
}

/// <summary>
/// A message of SNMPv3 with the user-based security model (RFC 3412 section 6, RFC 3414 section 2.4), as it stands on the wire: its digest is not checked and what
/// is encrypted is not opened. <see cref="UserSecurity"/> does both.
/// </summary>
public sealed record UserMessage
{
    /// <summary>The largest message that we take: what one datagram of UDP over IPv4 holds.</summary>
    public const int LargestSize = 65507;

    private const byte ReportableFlag = 4;
    private const int UserSecurityModel = 3;

    /// <summary>What joins an answer to its request, 0 to 2147483647.</summary>
    public int MessageId { get; init; }

    /// <summary>The largest message that the sender takes.</summary>
    public int MaxSize { get; init; } = LargestSize;

    /// <summary>How it is protected.</summary>
    public SecurityLevel Level { get; init; }

    /// <summary>True where the sender wants to be told why it is not answered.</summary>
    public bool Reportable { get; init; }

    /// <summary>The engine of the agent; empty where it is asked for.</summary>
    public byte[] EngineId { get; init; } = [];

    /// <summary>How often that engine was started.</summary>
    public int Boots { get; init; }

    /// <summary>Seconds since then.</summary>
    public int Time { get; init; }

    /// <summary>The user; empty where the engine is asked for.</summary>
    public string User { get; init; } = string.Empty;

    /// <summary>The digest; empty at level NoAuthNoPriv.</summary>
    public byte[] Digest { get; init; } = [];

    /// <summary>What the initialisation vector is made of, 8 octets; empty unless encrypted.</summary>
    public byte[] Salt { get; init; } = [];

    /// <summary>The scoped PDU: whole with its header, or what it was encrypted to.</summary>
    public byte[] Data { get; init; } = [];

    /// <summary>Where the digest stands in the octets that were read or written last; -1 where there is none.</summary>
    internal int DigestAt { get; private set; } = -1;

    /// <summary>How many octets the message has; what a datagram holds behind is no part of it.</summary>
    internal int Size { get; private set; }

    /// <summary>Reads a datagram.</summary>
    /// <param name="bytes">Where its octets are.</param>
    /// <param name="count">How many, from the start.</param>
    /// <param name="why">Why it is none, as the end of a sentence; or null.</param>
    /// <returns>The message, or null. Nothing throws.</returns>
    public static UserMessage? Read(byte[] bytes, int count, out string? why)
    {
        var reader = new BerReader(bytes, 0, count);
        _ = reader.Enter("the message");
        int size = reader.End;
        Expect(reader, reader.Integer("the version"), 3, "its version");
        int outer = reader.Enter("the header");
        var message = new UserMessage { MessageId = reader.Integer("the message id"), MaxSize = reader.Integer("the largest size"), Size = size };
        ArraySegment<byte> flags = reader.Octets("the flags");
        Expect(reader, reader.Integer("the security model"), UserSecurityModel, "its security model");
        reader.Leave(outer);
        byte flag = flags.Count == 1 ? flags.Array![flags.Offset] : (byte)0;
        if (flags.Count != 1 || (flag & 3) == 2)
        {
            reader.Fail("its flags are none");
        }

        message = message with { Level = (SecurityLevel)(flag & 3), Reportable = (flag & ReportableFlag) != 0 };
        message = Parameters(reader, message);
        message = message with { Data = Scoped(reader, message.Level) };
        why = reader.Wrong;
        return why is null ? message : null;
    }

    /// <summary>The octets to send, with the digest as it is here.</summary>
    public byte[] Write()
    {
        var writer = new BerWriter();
        if (Level == SecurityLevel.AuthPriv)
        {
            writer.Octets(Data);
        }
        else
        {
            writer.Raw(Data);
        }

        int parameters = writer.Length;
        writer.Octets(Salt);
        writer.Raw(Digest);
        int fromEnd = writer.Length;
        writer.Wrap(fromEnd - Digest.Length, 0x04);
        writer.Octets(Encoding.UTF8.GetBytes(User));
        writer.Integer(Time);
        writer.Integer(Boots);
        writer.Octets(EngineId);
        writer.Wrap(parameters);
        writer.Wrap(parameters, 0x04);
        int header = writer.Length;
        writer.Integer(UserSecurityModel);
        writer.Octets([(byte)((int)Level | (Reportable ? ReportableFlag : 0))]);
        writer.Integer(MaxSize);
        writer.Integer(MessageId);
        writer.Wrap(header);
        writer.Integer((int)SnmpVersion.V3);
        writer.Wrap(0);
        Size = writer.Length;
        DigestAt = Size - fromEnd;
        return writer.ToArray();
    }

    // The parameters are a message of their own inside an OCTET STRING (RFC 3414 section 2.4).
    private static UserMessage Parameters(BerReader reader, UserMessage message)
    {
        int outer = reader.Enter("the security parameters", 0x04);
        int inner = reader.Enter("the user-based security parameters");
        byte[] engine = [.. reader.Octets("the engine id")];
        int boots = reader.Integer("the engine's boots");
        int time = reader.Integer("the engine's time");
        byte[] user = [.. reader.Octets("the user")];
        ArraySegment<byte> digest = reader.Octets("the digest");
        byte[] salt = [.. reader.Octets("the privacy parameters")];
        reader.Leave(inner);
        reader.Leave(outer);
        if (engine.Length > 32 || user.Length > 32 * 4 || boots < 0 || time < 0)
        {
            reader.Fail("its security parameters are out of bounds");
        }

        return message with { EngineId = engine, Boots = boots, Time = time, User = Encoding.UTF8.GetString(user), Digest = [.. digest], Salt = salt, DigestAt = digest.Offset };
    }

    private static byte[] Scoped(BerReader reader, SecurityLevel level)
    {
        if (level == SecurityLevel.AuthPriv)
        {
            return [.. reader.Octets("the encrypted PDU")];
        }

        int start = reader.Position;
        int outer = reader.Enter("the scoped PDU");
        int end = reader.End;
        reader.Leave(outer);
        return reader.Wrong is null ? reader.Slice(start, end) : [];
    }

    private static void Expect(BerReader reader, int found, int expected, string what)
    {
        if (found != expected)
        {
            reader.Fail($"{what} is {found}, and {expected} was expected");
        }
    }
}
