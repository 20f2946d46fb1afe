namespace PoeOps.Snmp;

/// <summary>As whom an agent is asked: by a community or as a user. Shows nothing of its secrets. Safe to use for many agents at once.</summary>
public abstract class SnmpAccess
{
    private protected SnmpAccess()
    {
    }

    /// <summary>The version of the messages.</summary>
    public abstract SnmpVersion Version { get; }

    /// <summary>What the user of it should know, a sentence each; empty where there is nothing to say.</summary>
    public abstract IReadOnlyList<string> Warnings { get; }

    /// <summary>Begins to speak to one agent.</summary>
    internal abstract SnmpSpeech Begin();
}

/// <summary>Access by a community, SNMPv1 or SNMPv2c.</summary>
public sealed class CommunityAccess : SnmpAccess
{
    private readonly string _community;

    /// <summary>Takes a community.</summary>
    /// <param name="community">The community; it is sent in clear.</param>
    /// <param name="version">V1 or V2c.</param>
    /// <exception cref="PoeOpsException">The community is empty or longer than 255 characters (<see cref="ProblemId.SnmpSecretUnusable"/>).</exception>
    /// <exception cref="ArgumentOutOfRangeException">The version is V3, which has no communities.</exception>
    public CommunityAccess(string community, SnmpVersion version = SnmpVersion.V2c)
    {
        if (version is not (SnmpVersion.V1 or SnmpVersion.V2c))
        {
            throw new ArgumentOutOfRangeException(nameof(version), "Only SNMPv1 and SNMPv2c have communities.");
        }

        if (community.Length is 0 or > 255)
        {
            throw new PoeOpsException(new Problem(ProblemId.SnmpSecretUnusable, "A community has 1 to 255 characters.", "Give the community that the switches have for reading."));
        }

        (_community, Version) = (community, version);
    }

    /// <inheritdoc/>
    public override SnmpVersion Version { get; }

    /// <inheritdoc/>
    public override IReadOnlyList<string> Warnings =>
        [$"SNMP{(Version == SnmpVersion.V1 ? "v1" : "v2c")} sends the community in clear: whoever hears the network can read it. Use SNMPv3 where the switches have it."];

    internal override SnmpSpeech Begin() => new CommunitySpeech(Version, _community);
}

/// <summary>Access as a user, SNMPv3.</summary>
public sealed class UserAccess : SnmpAccess
{
    private readonly UserSecurity _user;

    /// <summary>Takes a user.</summary>
    /// <param name="user">The user with its passwords.</param>
    /// <param name="level">How messages are protected; null for the best that the passwords allow.</param>
    /// <param name="context">The context whose objects are read; empty for the default one.</param>
    /// <exception cref="PoeOpsException">The level wants a password that the user has not (<see cref="ProblemId.SnmpSecretUnusable"/>).</exception>
    public UserAccess(UserSecurity user, SecurityLevel? level = null, string context = "")
    {
        if (level > user.Level)
        {
            string missing = level == SecurityLevel.AuthPriv && user.Level == SecurityLevel.AuthNoPriv ? "privacy" : "authentication";
            throw new PoeOpsException(new Problem(
                ProblemId.SnmpSecretUnusable, $"The level {level} wants a password for {missing}, and none was given.", "Give the password, or ask at a lower level."));
        }

        (_user, Level, Context) = (user, level ?? user.Level, context);
    }

    /// <summary>How messages are protected.</summary>
    public SecurityLevel Level { get; }

    /// <summary>The context whose objects are read; empty for the default one.</summary>
    public string Context { get; }

    /// <inheritdoc/>
    public override SnmpVersion Version => SnmpVersion.V3;

    /// <inheritdoc/>
    public override IReadOnlyList<string> Warnings => Level == SecurityLevel.NoAuthNoPriv
        ? ["At level NoAuthNoPriv anybody can change what agents answer, and read it."]
        : _user.Protocol is AuthProtocol.Md5 or AuthProtocol.Sha1
            ? [$"{(_user.Protocol == AuthProtocol.Md5 ? "MD5" : "SHA-1")} is a weak hash for authentication; use SHA-256 or better where the switches have it (RFC 7860)."]
            : [];

    internal override SnmpSpeech Begin() => new UserSpeech(_user, Level, Context);
}
