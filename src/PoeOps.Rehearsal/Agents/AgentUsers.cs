using PoeOps.Snmp;

namespace PoeOps.Rehearsal.Agents;

/// <summary>The user-based security model as an agent has it (RFC 3414 section 3.2): its engine, its clock, its users, and the reports on what it will not answer.</summary>
internal sealed class AgentUsers
{
    private const int WindowSeconds = 150;
    private const int Boots = 1;

    private static readonly Oid Stats = Oid.Parse("1.3.6.1.6.3.15.1.1");

    private readonly byte[] _engineId;
    private readonly IReadOnlyDictionary<string, UserSecurity> _users;
    private readonly TimeSpan _started = SystemClock.Instance.Elapsed;
    private readonly uint[] _counts = new uint[7];

    /// <summary>Makes an engine.</summary>
    /// <param name="engineId">What it is called, 5 to 32 octets.</param>
    /// <param name="users">Its users by their names.</param>
    public AgentUsers(byte[] engineId, IReadOnlyDictionary<string, UserSecurity> users) => (_engineId, _users) = (engineId, users);

    // usmStatsUnsupportedSecLevels and so on are numbered so.
    private enum Refused
    {
        Level = 1,
        Time = 2,
        User = 3,
        Engine = 4,
        Digest = 5,
        Decryption = 6,
    }

    private int Time => (int)(SystemClock.Instance.Elapsed - _started).TotalSeconds;

    /// <summary>Answers a datagram.</summary>
    /// <param name="bytes">Where its octets are.</param>
    /// <param name="count">How many, from the start.</param>
    /// <param name="answer">Answers the request that it carries, within so many octets.</param>
    /// <returns>The datagram to send; null for silence.</returns>
    public byte[]? Hear(byte[] bytes, int count, Func<SnmpPdu, int, SnmpPdu?> answer)
    {
        if (UserMessage.Read(bytes, count, out _) is not { } message)
        {
            return null;
        }

        if (!message.EngineId.SequenceEqual(_engineId))
        {
            return Report(message, null, Refused.Engine);
        }

        if (!_users.TryGetValue(message.User, out UserSecurity? user))
        {
            return Report(message, null, Refused.User);
        }

        Refused? refused = message.Level == SecurityLevel.NoAuthNoPriv || message.Level > user.Level ? Refused.Level
            : !user.IsAuthentic(message, bytes) ? Refused.Digest
            : message.Boots != Boots || Math.Abs((long)message.Time - Time) > WindowSeconds ? Refused.Time : null;
        if (refused is { } why)
        {
            return Report(message, why == Refused.Time ? user : null, why);
        }

        if (user.Open(message, out _) is not { } scoped)
        {
            return Report(message, null, Refused.Decryption);
        }

        SnmpPdu? pdu = answer(scoped.Pdu, Math.Min(message.MaxSize, AgentListener.MostOctets));
        return pdu is null ? null : user.Write(Reply(message, message.Level), scoped with { Pdu = pdu });
    }

    // A report is signed only where it says the time, so that nobody else can set our clock.
    private byte[]? Report(UserMessage message, UserSecurity? signed, Refused why)
    {
        uint counted = ++_counts[(int)why];
        if (!message.Reportable)
        {
            return null;
        }

        var bind = new VarBind(Stats.Then((uint)why, 0), SnmpValue.Of(SnmpType.Counter32, counted));
        int requestId = message.Level == SecurityLevel.AuthPriv ? 0 : ScopedPdu.Read(message.Data, out _)?.Pdu.RequestId ?? 0;
        var scoped = new ScopedPdu(new SnmpPdu(SnmpPduKind.Report, requestId, [bind])) { EngineId = _engineId };
        return signed is null
            ? (Reply(message, SecurityLevel.NoAuthNoPriv) with { Data = scoped.Write() }).Write()
            : signed.Write(Reply(message, SecurityLevel.AuthNoPriv), scoped);
    }

    private UserMessage Reply(UserMessage message, SecurityLevel level) => new()
    {
        MessageId = message.MessageId,
        Level = level,
        EngineId = _engineId,
        Boots = Boots,
        Time = Time,
        User = message.User,
    };
}
