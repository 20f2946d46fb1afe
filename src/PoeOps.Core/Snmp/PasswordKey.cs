using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;

namespace PoeOps.Snmp;

/// <summary>
/// A password of the user-based security model and the keys that come of it (RFC 3414 section 2.6). The megabyte that a password is hashed to is worked out once,
/// and the key of each engine once. Safe to use from any thread. Shows nothing of itself.
/// </summary>
public sealed class PasswordKey
{
    /// <summary>The fewest characters of a password (RFC 3414 section 11.2).</summary>
    public const int FewestCharacters = 8;

    private const int HashedOctets = 1024 * 1024;
    private const int MostEngines = 10_000;

    private readonly ConcurrentDictionary<string, byte[]> _ofEngines = new(StringComparer.Ordinal);
    private readonly Lazy<byte[]> _key;

    /// <summary>Takes a password; nothing is worked out yet.</summary>
    /// <param name="protocol">The hash.</param>
    /// <param name="password">The password, at least <see cref="FewestCharacters"/> octets of UTF-8.</param>
    /// <exception cref="PoeOpsException">It is shorter (<see cref="ProblemId.SnmpSecretUnusable"/>).</exception>
    public PasswordKey(AuthProtocol protocol, string password)
    {
        byte[] octets = Encoding.UTF8.GetBytes(password);
        if (octets.Length < FewestCharacters)
        {
            throw new PoeOpsException(new Problem(
                ProblemId.SnmpSecretUnusable, "A password of SNMPv3 has fewer than 8 characters, and agents take none so short (RFC 3414 section 11.2).", "Give the password that the user has on the switch."));
        }

        Protocol = protocol;
        _key = new Lazy<byte[]>(() => Stretch(protocol, octets));
    }

    /// <summary>The hash.</summary>
    public AuthProtocol Protocol { get; }

    /// <summary>The key of the password, Ku (RFC 3414 appendix A.2); a copy.</summary>
    public byte[] Key() => (byte[])_key.Value.Clone();

    /// <summary>The key for one engine, Kul (RFC 3414 section 2.6); a copy.</summary>
    public byte[] ForEngine(byte[] engineId) => (byte[])Localised(engineId).Clone();

    internal byte[] Localised(byte[] engineId)
    {
        // Agents may say that they are any engine at all; to begin again costs one short hash each.
        if (_ofEngines.Count >= MostEngines)
        {
            _ofEngines.Clear();
        }

        return _ofEngines.GetOrAdd(Convert.ToBase64String(engineId), _ =>
        {
            byte[] key = _key.Value;
            using HashAlgorithm hash = Protocol.NewHash();
            return hash.ComputeHash([.. key, .. engineId, .. key]);
        });
    }

    // The password again and again until there are 1,048,576 octets (RFC 3414 appendix A.2), fed in whole turns of it so that each goes in at once.
    private static byte[] Stretch(AuthProtocol protocol, byte[] password)
    {
        int turns = Math.Max(1, 4096 / password.Length);
        byte[] many = new byte[turns * password.Length];
        for (int i = 0; i < many.Length; i++)
        {
            many[i] = password[i % password.Length];
        }

        using HashAlgorithm hash = protocol.NewHash();
        for (int left = HashedOctets; left > 0; left -= many.Length)
        {
            hash.TransformBlock(many, 0, Math.Min(left, many.Length), null, 0);
        }

        hash.TransformFinalBlock([], 0, 0);
        return hash.Hash!;
    }
}
