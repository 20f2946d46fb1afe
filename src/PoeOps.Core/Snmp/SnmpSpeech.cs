namespace PoeOps.Snmp;

/// <summary>What came of a datagram.</summary>
internal enum Heard
{
    /// <summary>Nothing that was waited for; it has been counted and dropped.</summary>
    Nothing,
    /// <summary>The answer.</summary>
    Answer,
    /// <summary>Something that has to be known before the answer can come: the request is to be sent again at once.</summary>
    AskAgain,
}

/// <summary>One side of the talk with one agent: makes datagrams of requests, and tells answers from everything else.</summary>
internal abstract class SnmpSpeech
{
    /// <summary>How many datagrams answered something that nobody asks any more, or never did.</summary>
    public int Strays { get; protected set; }

    /// <summary>How many datagrams could not be read.</summary>
    public int Unreadable { get; private set; }

    /// <summary>Why the last of those could not be read.</summary>
    public string WhyUnreadable { get; private set; } = string.Empty;

    /// <summary>The version of the messages.</summary>
    public abstract SnmpVersion Version { get; }

    /// <summary>Forgets the request before: what answers it from now on is a stray.</summary>
    public virtual void Forget()
    {
    }

    /// <summary>The datagram of a request.</summary>
    public abstract byte[] Write(SnmpPdu request);

    /// <summary>Hears a datagram.</summary>
    /// <param name="bytes">Where its octets are.</param>
    /// <param name="count">How many, from the start.</param>
    /// <param name="requestId">The request that is waited for.</param>
    /// <param name="answer">The answer; null for all else.</param>
    /// <exception cref="PoeOpsException">The agent says why it will not answer.</exception>
    public abstract Heard Hear(byte[] bytes, int count, int requestId, out SnmpPdu? answer);

    /// <summary>Says why an agent gave no answer, where this side knows more than that it was silent; else null.</summary>
    public virtual Problem? WhyNoAnswer(string agent) => Unreadable > 0
        ? new Problem(ProblemId.SnmpMalformed, $"The agent {agent} sent {Unreadable} datagrams that are no messages of SNMP, and no answer: {WhyUnreadable}.", "Check that an SNMP agent listens at that port.")
        : null;

    /// <summary>Counts a datagram that cannot be read.</summary>
    protected Heard CannotRead(string? why)
    {
        Unreadable++;
        WhyUnreadable = why ?? "it is none";
        return Heard.Nothing;
    }

    /// <summary>Counts a datagram that answers something else.</summary>
    protected Heard Stray()
    {
        Strays++;
        return Heard.Nothing;
    }
}

/// <summary>The talk by a community.</summary>
internal sealed class CommunitySpeech(SnmpVersion version, string community) : SnmpSpeech
{
    public override SnmpVersion Version => version;

    public override byte[] Write(SnmpPdu request) => new CommunityMessage(version, community, request).Write();

    public override Heard Hear(byte[] bytes, int count, int requestId, out SnmpPdu? answer)
    {
        answer = null;
        if (CommunityMessage.Read(bytes, count, out string? why) is not { } message)
        {
            return CannotRead(why);
        }

        if (message.Version != version || message.Pdu.Kind != SnmpPduKind.Response || message.Pdu.RequestId != requestId || !message.HasCommunity(community))
        {
            return Stray();
        }

        answer = message.Pdu;
        return Heard.Answer;
    }
}
