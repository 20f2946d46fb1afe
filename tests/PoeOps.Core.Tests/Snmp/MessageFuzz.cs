using System.Text.Json;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Messages with random changes, given to everything that reads what came from a network. The case of a number is the same at each run.</summary>
internal sealed class MessageFuzz
{
    // Objects are made for what is read: of an object identifier's octets numbers of four, of a name with its value a record. The rest is what ciphers and hashes take.
    private const int OctetsForOne = 64;
    private const int OctetsForNone = 16_384;

    private readonly List<byte[]> _bases = [];
    private readonly UserSecurity _user = new("usha256", new PasswordKey(AuthProtocol.Sha256, "maplesyrup"), new PasswordKey(AuthProtocol.Sha256, "maplesyrup"));

    /// <param name="wire">The file of recorded messages.</param>
    public MessageFuzz(string wire)
    {
        using JsonDocument recorded = JsonDocument.Parse(File.ReadAllText(wire));
        foreach (JsonProperty user in recorded.RootElement.EnumerateObject())
        {
            _bases.AddRange(user.Value.GetProperty("packets").EnumerateArray().Select(packet => Convert.FromHexString(packet.GetProperty("hex").GetString()!)));
        }

        VarBind[] all =
        [
            .. Enumerable.Range(1, 30).Select(i => new VarBind(Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.1").Then((uint)i), SnmpValue.Of(SnmpType.Integer, i))),
            new(Oid.Parse("1.3.6.1.2.1.1.1.0"), SnmpValue.Of(new string('x', 200))), new(Oid.Parse("1.3.6.1.2.1.1.2.0"), SnmpValue.Of(Oid.Parse("1.3.6.1.4.1.4294967295"))),
            new(Oid.Parse("1.3.6.1.2.1.1.3.0"), SnmpValue.Of(SnmpType.TimeTicks, 12345)), new(Oid.Parse("1.3.6.1.2.1.1.4.0"), SnmpValue.OfCounter(ulong.MaxValue)),
            new(Oid.Parse("1.3.6.1.2.1.1.5.0"), SnmpValue.Of(SnmpType.IpAddress, [192, 0, 2, 7])), new(Oid.Parse("1.3.6.1.2.1.1.6.0"), SnmpValue.Exception(SnmpType.EndOfMibView)),
        ];
        _bases.Add(new CommunityMessage(SnmpVersion.V2c, "quiet", new SnmpPdu(SnmpPduKind.Response, 77, all)).Write());
        _bases.Add(new CommunityMessage(SnmpVersion.V1, "quiet", new SnmpPdu(SnmpPduKind.GetNextRequest, 78, [.. all.Take(3).Select(one => new VarBind(one.Name))])).Write());
        _bases.Add(new ScopedPdu(new SnmpPdu(SnmpPduKind.GetBulkRequest, 79, [new VarBind(all[0].Name)]) { MaxRepetitions = 50 }) { EngineId = [1, 2, 3, 4, 5] }.Write());
    }

    /// <summary>How often a case was a message still; each is given twice.</summary>
    public int Read { get; private set; }

    /// <summary>What is wrong with a case, or null. Whatever escapes escapes here too.</summary>
    public string? Wrong(int number)
    {
        var random = new Random(number);
        byte[] changed = Changed(_bases[random.Next(_bases.Count)], random);

        // The keys of an engine are worked out and kept at first sight, so many at the most; what is measured is what each message takes.
        _ = Give(changed);
        long before = GC.GetAllocatedBytesForCurrentThread();
        string? lie = Give(changed);
        long taken = GC.GetAllocatedBytesForCurrentThread() - before;
        long most = OctetsForNone + ((long)OctetsForOne * changed.Length);
        return lie ?? (taken > most ? $"{taken} octets of memory for {changed.Length}: {Convert.ToHexString(changed)}" : null);
    }

    // Either something was read or it is said why not.
    private string? Give(byte[] octets)
    {
        _ = CommunityMessage.VersionOf(octets, octets.Length);
        CommunityMessage? plain = CommunityMessage.Read(octets, octets.Length, out string? whyPlain);
        ScopedPdu? scoped = ScopedPdu.Read(octets, out string? whyScoped);
        UserMessage? message = UserMessage.Read(octets, octets.Length, out string? whyUser);
        string? whyOpened = null;
        ScopedPdu? opened = message is null ? null : _user.Open(message, out whyOpened);
        bool authentic = message is not null && _user.IsAuthentic(message, octets);
        Read += plain is null && scoped is null && message is null ? 0 : 1;
        return plain is null == (whyPlain is null) || scoped is null == (whyScoped is null) || message is null == (whyUser is null) ? "neither a message nor a reason, or both"
            : message is not null && opened is null == (whyOpened is null) ? "neither opened nor a reason, or both"
            : authentic && opened is null ? "authentic and not to be opened"
            : null;
    }

    private byte[] Changed(byte[] whole, Random random)
    {
        List<byte> octets = [.. whole];
        for (int times = 1 + random.Next(4); times > 0; times--)
        {
            int at = random.Next(octets.Count + 1);
            switch (random.Next(7))
            {
                case 0 when at < octets.Count:
                    octets[at] = (byte)random.Next(256);
                    break;
                case 1 when at < octets.Count:
                    octets[at] ^= (byte)(1 << random.Next(8));
                    break;
                case 2:
                    octets.RemoveRange(at, Math.Min(random.Next(1, 9), octets.Count - at));
                    break;
                case 3:
                    octets.InsertRange(at, Enumerable.Range(0, random.Next(1, 9)).Select(_ => (byte)random.Next(256)));
                    break;
                case 4:
                    octets.RemoveRange(at, octets.Count - at);
                    break;
                case 5 when at < octets.Count:
                    octets.InsertRange(at, (byte[])[0x84, (byte)random.Next(256), (byte)random.Next(256), 0, (byte)random.Next(256)]);
                    break;
                default:
                    byte[] other = _bases[random.Next(_bases.Count)];
                    int from = random.Next(other.Length);
                    octets.InsertRange(at, other.AsSpan(from, random.Next(other.Length - from)).ToArray());
                    break;
            }
        }

        return [.. octets];
    }
}
