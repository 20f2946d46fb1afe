using System.Buffers.Binary;
using System.Text.Json;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>
/// Whole messages that net-snmp 5.9.3 and its agent sent each other on loopback (data/snmpv3-wire.json): discovery, its report, and GET and Response at authPriv with
/// AES-128 and each of six hashes. Password of all users for both: maplesyrup.
/// </summary>
public sealed class WireTests
{
    public static TheoryData<string, int> Packets()
    {
        var rows = new TheoryData<string, int>();
        foreach (JsonProperty user in Recorded().RootElement.EnumerateObject())
        {
            for (int i = 0; i < user.Value.GetProperty("packets").GetArrayLength(); i++)
            {
                rows.Add(user.Name, i);
            }
        }

        return rows;
    }

    [Fact]
    public void All_messages_are_there() => Assert.Equal(24, Packets().Count);

    [Theory]
    [MemberData(nameof(Packets))]
    public void A_recorded_message_is_verified_and_opened(string name, int at)
    {
        (JsonElement packet, UserSecurity user) = Find(name, at);
        byte[] octets = Convert.FromHexString(packet.GetProperty("hex").GetString()!);
        UserMessage? message = UserMessage.Read(octets, octets.Length, out string? why);
        Assert.True(message is not null, why);
        Assert.Equal(
            (packet.GetProperty("engineID").GetString(), packet.GetProperty("boots").GetInt32(), packet.GetProperty("time").GetInt32(), packet.GetProperty("user").GetString()),
            (Convert.ToHexString(message.EngineId).ToLowerInvariant(), message.Boots, message.Time, message.User));
        int flags = packet.GetProperty("flags").GetInt32();
        Assert.Equal((flags & 3, (flags & 4) != 0), ((int)message.Level, message.Reportable));
        if (packet.TryGetProperty("maclen", out JsonElement length))
        {
            Assert.Equal(length.GetInt32(), message.Digest.Length);
            Assert.True(user.IsAuthentic(message, octets));
            ScopedPdu? scoped = user.Open(message, out why);
            Assert.True(scoped is not null, why);
            Assert.Equal(packet.GetProperty("scopedPDU").GetString(), Convert.ToHexString(scoped.Write()).ToLowerInvariant());
        }
        else
        {
            Assert.NotNull(user.Open(message, out _));
        }
    }

    // From what was recorded beside the octets, and from the numbers of the two ids alone.
    [Theory]
    [MemberData(nameof(Packets))]
    public void A_recorded_message_is_written_again_octet_for_octet(string name, int at)
    {
        (JsonElement packet, UserSecurity user) = Find(name, at);
        string hex = packet.GetProperty("hex").GetString()!;
        int ids = hex.IndexOf("0201033011" + "0204", StringComparison.Ordinal) + 14;
        int messageId = BinaryPrimitives.ReadInt32BigEndian(Convert.FromHexString(hex.AsSpan(ids, 8)));
        int flags = packet.GetProperty("flags").GetInt32();
        byte[] engine = Convert.FromHexString(packet.GetProperty("engineID").GetString()!);
        var message = new UserMessage
        {
            MessageId = messageId,
            Level = (SecurityLevel)(flags & 3),
            Reportable = (flags & 4) != 0,
            EngineId = engine,
            Boots = packet.GetProperty("boots").GetInt32(),
            Time = packet.GetProperty("time").GetInt32(),
            User = packet.GetProperty("user").GetString()!,
            Salt = packet.TryGetProperty("salt", out JsonElement salt) ? Convert.FromHexString(salt.GetString()!) : [],
        };
        Assert.Equal(hex, Convert.ToHexString(user.Write(message, Scoped(packet, hex, engine, at))).ToLowerInvariant());
    }

    private static ScopedPdu Scoped(JsonElement packet, string hex, byte[] engine, int at)
    {
        // The request id stands first in every PDU, with four octets: a0, a2 or a8, a length, 02 04.
        string body = packet.TryGetProperty("scopedPDU", out JsonElement plain) ? plain.GetString()! : hex;
        int id = body.LastIndexOf("0400a", StringComparison.Ordinal) + 12;
        int requestId = BinaryPrimitives.ReadInt32BigEndian(Convert.FromHexString(body.AsSpan(id, 8)));
        VarBind name = new(Oid.Parse("1.3.6.1.2.1.1.5.0"));
        return at switch
        {
            0 => new ScopedPdu(new SnmpPdu(SnmpPduKind.GetRequest, requestId, [])),
            1 => new ScopedPdu(new SnmpPdu(SnmpPduKind.Report, requestId, [new VarBind(Oid.Parse("1.3.6.1.6.3.15.1.1.4.0"), SnmpValue.Of(SnmpType.Counter32, Convert.FromHexString(hex)[^1]))])) { EngineId = engine },
            2 => new ScopedPdu(new SnmpPdu(SnmpPduKind.GetRequest, requestId, [name])) { EngineId = engine },
            _ => new ScopedPdu(new SnmpPdu(SnmpPduKind.Response, requestId, [name with { Value = SnmpValue.Of("demo") }])) { EngineId = engine },
        };
    }

    private static (JsonElement Packet, UserSecurity User) Find(string name, int at)
    {
        JsonElement user = Recorded().RootElement.GetProperty(name);
        AuthProtocol protocol = Enum.Parse<AuthProtocol>(user.GetProperty("auth").GetString()!, ignoreCase: true);
        return (user.GetProperty("packets")[at], new UserSecurity(name, new PasswordKey(protocol, "maplesyrup"), new PasswordKey(protocol, "maplesyrup")));
    }

    private static JsonDocument Recorded() => JsonDocument.Parse(File.ReadAllText(Repository.Path("tests", "PoeOps.Core.Tests", "Snmp", "data", "snmpv3-wire.json")));
}
