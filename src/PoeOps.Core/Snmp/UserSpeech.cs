using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Snmp;

/// <summary>
/// The talk as a user (RFC 3414): finds the agent's engine, keeps its clock, and takes an answer only where its digest, its time, its ids and its level are what
/// they must be. After a restart of the agent it goes by the clock that an authentic report says, never by one that anybody could have sent.
/// </summary>
internal sealed class UserSpeech(UserSecurity user, SecurityLevel level, string context) : SnmpSpeech
{
    private const int MostEngines = 4;

    private readonly HashSet<int> _waitedFor = [];
    private readonly EngineClock _clock = new();
    private byte[] _engine = [];
    private int _engines;
    private int _badDigests;
    private int _outsideWindow;
    private int _unauthenticTimes;

    public override SnmpVersion Version => SnmpVersion.V3;

    public override void Forget() => _waitedFor.Clear();

    public override byte[] Write(SnmpPdu request)
    {
        int id = SnmpIds.Next();
        _waitedFor.Add(id);
        return _engine.Length == 0
            ? user.Write(new UserMessage { MessageId = id, Reportable = true }, new ScopedPdu(new SnmpPdu(SnmpPduKind.GetRequest, request.RequestId, [])))
            : user.Write(
                new UserMessage { MessageId = id, Reportable = true, Level = level, EngineId = _engine, Boots = Timed ? _clock.Boots : 0, Time = Timed ? _clock.Time : 0, User = user.User },
                new ScopedPdu(request) { EngineId = _engine, Context = context });
    }

    public override Heard Hear(byte[] bytes, int count, int requestId, out SnmpPdu? answer)
    {
        answer = null;
        if (UserMessage.Read(bytes, count, out string? why) is not { } message)
        {
            return CannotRead(why);
        }

        if (!_waitedFor.Contains(message.MessageId))
        {
            return Stray();
        }

        bool authentic = message.Level != SecurityLevel.NoAuthNoPriv;
        if (authentic && !Trusted(message, bytes))
        {
            return Heard.Nothing;
        }

        if (user.Open(message, out why) is not { } scoped)
        {
            return CannotRead(why);
        }

        return scoped.Pdu.Kind == SnmpPduKind.Report
            ? Report(message, scoped.Pdu, authentic)
            : Answer(message, scoped.Pdu, requestId, out answer);
    }

    public override Problem? WhyNoAnswer(string agent)
    {
        if (_outsideWindow > 0 || _unauthenticTimes > 0)
        {
            string what = _outsideWindow > 0
                ? $"answers with a clock that lies behind what it said before (boots {Text(_clock.Boots)}, {Text(_clock.Time)} s)"
                : "says that our clock is wrong, and says so without authentication";
            return new Problem(ProblemId.SnmpClockWrong, $"The agent {agent} {what}, so nothing of it is taken.", "Read it again; if that does not help, the agent does not count its restarts (snmpEngineBoots).");
        }

        return _badDigests > 0
            ? new Problem(ProblemId.SnmpWrongPassword, $"The agent {agent} sent {Text(_badDigests)} messages whose digest is not the user's, and no other.", "Check the authentication password and the hash of the user.")
            : base.WhyNoAnswer(agent) ?? Dropped(agent);
    }

    // Many agents drop without a word what they cannot decrypt, and what is in a context that they do not have.
    private Problem? Dropped(string agent)
    {
        bool encrypted = level == SecurityLevel.AuthPriv;
        if (_engine.Length == 0 || (!encrypted && context.Length == 0))
        {
            return null;
        }

        string inContext = context.Length > 0 ? $" in the context '{Excerpt.Of(context)}'" : string.Empty;
        string checks = string.Join(", and ", ((string[])[encrypted ? "the privacy password and that the user has AES-128" : string.Empty, context.Length > 0 ? "the context" : string.Empty]).Where(text => text.Length > 0));
        return new Problem(
            ProblemId.SnmpSilent, $"The agent {agent} said what its engine is, and is silent since the user asks {(encrypted ? "encrypted" : "signed")}{inContext}.",
            $"Check {checks}: many agents drop without a word what they cannot decrypt or do not have.");
    }

    private bool Timed => level != SecurityLevel.NoAuthNoPriv;

    private bool Trusted(UserMessage message, byte[] bytes)
    {
        if (!SameOctets.InAnyTime(message.EngineId, _engine) || message.User != user.User || !user.IsAuthentic(message, bytes))
        {
            _badDigests++;
            return false;
        }

        bool inWindow = _clock.Accept(message.Boots, message.Time);
        _outsideWindow += inWindow ? 0 : 1;
        return inWindow;
    }

    private Heard Answer(UserMessage message, SnmpPdu pdu, int requestId, out SnmpPdu? answer)
    {
        bool wanted = pdu.Kind == SnmpPduKind.Response && pdu.RequestId == requestId && message.Level == level && SameOctets.InAnyTime(message.EngineId, _engine) && message.User == user.User;
        answer = wanted ? pdu : null;
        return wanted ? Heard.Answer : Stray();
    }

    private Heard Report(UserMessage message, SnmpPdu pdu, bool authentic)
    {
        Oid about = pdu.Bindings.Count > 0 ? pdu.Bindings[0].Name : Oid.Empty;
        if (about.IsWithin(SnmpReport.UnknownEngine))
        {
            return Engine(message);
        }

        if (about.IsWithin(SnmpReport.NotInTimeWindow))
        {
            // The clock was set when the report was found authentic.
            _unauthenticTimes += authentic ? 0 : 1;
            return authentic ? Heard.AskAgain : Heard.Nothing;
        }

        throw new PoeOpsException(SnmpReport.Refusal(about, user, level, context));
    }

    // Nobody can have signed this one, as the key depends on what it says. Whoever makes an engine up learns nothing: what we send then is signed for that engine.
    private Heard Engine(UserMessage message)
    {
        if (message.EngineId.Length == 0 || ++_engines > MostEngines)
        {
            return CannotRead(message.EngineId.Length == 0 ? "a report names no engine" : "its engine is another one again and again");
        }

        if (!SameOctets.InAnyTime(message.EngineId, _engine))
        {
            _clock.Forget();
            _engine = message.EngineId;
        }

        _clock.Guess(message.Boots, message.Time);
        return Heard.AskAgain;
    }

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}

/// <summary>What reports of version 3 say, by the counter that they name (RFC 3414 section 5, RFC 3412 section 5, RFC 3413 section 4.1).</summary>
internal static class SnmpReport
{
    private static readonly Oid Usm = Oid.Parse("1.3.6.1.6.3.15.1.1");
    private static readonly Oid Context = Oid.Parse("1.3.6.1.6.3.12.1");

    /// <summary>usmStatsNotInTimeWindows.</summary>
    public static Oid NotInTimeWindow { get; } = Usm.Then(2);

    /// <summary>usmStatsUnknownEngineIDs.</summary>
    public static Oid UnknownEngine { get; } = Usm.Then(4);

    /// <summary>The problem that a report tells of.</summary>
    public static Problem Refusal(Oid about, UserSecurity user, SecurityLevel level, string context)
    {
        string name = Excerpt.Of(user.User);
        if (about.IsWithin(Context))
        {
            return new Problem(ProblemId.SnmpContextUnknown, $"The agent has no context '{Excerpt.Of(context)}'.", "Leave -Context away, or give one that the switch has.");
        }

        uint counter = about.IsWithin(Usm) && about.Length > Usm.Length ? about[Usm.Length] : 0;
        return counter switch
        {
            1 => new Problem(ProblemId.SnmpLevelRefused, $"The agent does not take level {level} for the user '{name}'.", "Ask at the level that the switch has for the user."),
            3 => new Problem(ProblemId.SnmpUserUnknown, $"The agent does not know the user '{name}'.", "Check the name; case counts."),
            5 => new Problem(ProblemId.SnmpWrongPassword, $"The agent refuses the authentication of the user '{name}' with {user.Protocol}.", "Check the authentication password and the hash."),
            6 => new Problem(ProblemId.SnmpWrongPrivacy, $"The agent cannot decrypt what the user '{name}' sends.", "Check the privacy password, and that the user has AES-128."),
            _ => new Problem(ProblemId.SnmpRefused, $"The agent answers with a report about {about}, which says no more.", "Look the object up in the switch's documentation."),
        };
    }
}
