using System.Security.Cryptography;

namespace PoeOps.Snmp;

/// <summary>
/// A user of the user-based security model (RFC 3414) with its secrets: signs and encrypts what is sent, checks and opens what came. Safe to use from any thread,
/// and best kept for many agents: keys are worked out once. Shows nothing of its secrets.
/// </summary>
public sealed class UserSecurity
{
    private const int SaltOctets = 8;

    private readonly PasswordKey? _auth;
    private readonly PasswordKey? _priv;
    private long _salt = FirstSalt();

    /// <summary>Takes a user.</summary>
    /// <param name="user">The name, 1 to 32 characters.</param>
    /// <param name="auth">The password that messages are authenticated with; null for level NoAuthNoPriv.</param>
    /// <param name="priv">The password that they are encrypted with (AES-128), of the same hash; null where they are not.</param>
    /// <exception cref="PoeOpsException">The name cannot be, or a message would be encrypted and not authenticated (<see cref="ProblemId.SnmpSecretUnusable"/>).</exception>
    public UserSecurity(string user, PasswordKey? auth = null, PasswordKey? priv = null)
    {
        string? wrong = user.Length is 0 or > 32 ? "A user of SNMPv3 has 1 to 32 characters."
            : priv is not null && auth is null ? "A message of SNMPv3 is not encrypted without being authenticated (RFC 3414 section 1.4.3)." : null;
        if (wrong is not null)
        {
            throw new PoeOpsException(new Problem(ProblemId.SnmpSecretUnusable, wrong, "Give the user and the passwords that the switch has."));
        }

        (User, _auth, _priv) = (user, auth, priv);
    }

    /// <summary>The name.</summary>
    public string User { get; }

    /// <summary>How messages are protected.</summary>
    public SecurityLevel Level => _priv is not null ? SecurityLevel.AuthPriv : _auth is not null ? SecurityLevel.AuthNoPriv : SecurityLevel.NoAuthNoPriv;

    /// <summary>The hash; null at level NoAuthNoPriv.</summary>
    public AuthProtocol? Protocol => _auth?.Protocol;

    /// <summary>The octets of a message: encrypted and signed as its level says. Works out salt and digest where the message has none.</summary>
    /// <param name="message">Engine, boots, time, ids and level; a salt of its own only to write a known message again.</param>
    /// <param name="scoped">What it carries.</param>
    public byte[] Write(UserMessage message, ScopedPdu scoped)
    {
        byte[] plain = scoped.Write();
        if (message.Level == SecurityLevel.NoAuthNoPriv)
        {
            return (message with { Data = plain, Digest = [], Salt = [] }).Write();
        }

        if (message.Level == SecurityLevel.AuthPriv)
        {
            byte[] salt = message.Salt.Length == SaltOctets ? message.Salt : NextSalt();
            message = message with { Salt = salt, Data = AesCfb.Encrypt(PrivKey(message.EngineId), Vector(message, salt), plain) };
        }
        else
        {
            message = message with { Data = plain, Salt = [] };
        }

        message = message with { Digest = new byte[_auth!.Protocol.DigestOctets()] };
        byte[] octets = message.Write();
        byte[] digest = _auth.Protocol.Hmac(_auth.Localised(message.EngineId), octets, octets.Length);
        Buffer.BlockCopy(digest, 0, octets, message.DigestAt, message.Digest.Length);
        return octets;
    }

    /// <summary>True where the digest of a message is ours: somebody who knows the password made it, and nobody changed it.</summary>
    /// <param name="message">The message.</param>
    /// <param name="bytes">The octets that it was read from.</param>
    public bool IsAuthentic(UserMessage message, byte[] bytes)
    {
        int length = _auth?.Protocol.DigestOctets() ?? 0;
        if (_auth is null || message.Level == SecurityLevel.NoAuthNoPriv || message.Digest.Length != length)
        {
            return false;
        }

        byte[] octets = new byte[message.Size];
        Buffer.BlockCopy(bytes, 0, octets, 0, octets.Length);
        Array.Clear(octets, message.DigestAt, length);
        byte[] digest = _auth.Protocol.Hmac(_auth.Localised(message.EngineId), octets, octets.Length);
        return SameOctets.InAnyTime(new ArraySegment<byte>(digest, 0, length), message.Digest);
    }

    /// <summary>Opens what a message carries.</summary>
    /// <param name="message">The message; that it is authentic has been seen.</param>
    /// <param name="why">Why it cannot be opened, as the end of a sentence; or null.</param>
    public ScopedPdu? Open(UserMessage message, out string? why)
    {
        if (message.Level != SecurityLevel.AuthPriv)
        {
            return ScopedPdu.Read(message.Data, out why);
        }

        if (_priv is null || message.Salt.Length != SaltOctets)
        {
            why = _priv is null ? "it is encrypted and no privacy password was given" : "its privacy parameters have not 8 octets";
            return null;
        }

        return ScopedPdu.Read(AesCfb.Decrypt(PrivKey(message.EngineId), Vector(message, message.Salt), message.Data), out why);
    }

    // RFC 3826 section 3.1.2.1: the first 16 octets of the localised key.
    private byte[] PrivKey(byte[] engineId)
    {
        byte[] key = new byte[AesCfb.Octets];
        Buffer.BlockCopy(_priv!.Localised(engineId), 0, key, 0, key.Length);
        return key;
    }

    // RFC 3826 section 3.1.2.1: boots, time and salt.
    private static byte[] Vector(UserMessage message, byte[] salt)
    {
        byte[] vector = new byte[AesCfb.Octets];
        for (int i = 0; i < 4; i++)
        {
            vector[i] = (byte)(message.Boots >> (24 - (8 * i)));
            vector[4 + i] = (byte)(message.Time >> (24 - (8 * i)));
        }

        salt.CopyTo(vector, 8);
        return vector;
    }

    // A salt never comes again for a key: it begins anywhere in 64 bits and counts up.
    private byte[] NextSalt()
    {
        byte[] salt = BitConverter.GetBytes(Interlocked.Increment(ref _salt));
        return salt;
    }

    private static long FirstSalt()
    {
        using var chance = RandomNumberGenerator.Create();
        byte[] octets = new byte[8];
        chance.GetBytes(octets);
        return BitConverter.ToInt64(octets, 0);
    }
}
