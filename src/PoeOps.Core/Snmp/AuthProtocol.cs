using System.Security.Cryptography;

namespace PoeOps.Snmp;

/// <summary>The hash by which messages are authenticated (RFC 3414 section 6 and 7, RFC 7860).</summary>
public enum AuthProtocol
{
    /// <summary>HMAC-MD5-96. Weak; taken, with a warning.</summary>
    Md5,
    /// <summary>HMAC-SHA-96. Weak; taken, with a warning.</summary>
    Sha1,
    /// <summary>HMAC-128-SHA-224.</summary>
    Sha224,
    /// <summary>HMAC-192-SHA-256.</summary>
    Sha256,
    /// <summary>HMAC-256-SHA-384.</summary>
    Sha384,
    /// <summary>HMAC-384-SHA-512.</summary>
    Sha512,
}

/// <summary>The figures of the protocols.</summary>
internal static class AuthFigures
{
    /// <summary>How many octets of the digest a message carries (RFC 3414 section 6.1.2 and 7.1.2, RFC 7860 section 4.2).</summary>
    public static int DigestOctets(this AuthProtocol protocol) => protocol switch
    {
        AuthProtocol.Md5 or AuthProtocol.Sha1 => 12,
        AuthProtocol.Sha224 => 16,
        AuthProtocol.Sha256 => 24,
        AuthProtocol.Sha384 => 32,
        _ => 48,
    };

    /// <summary>How many octets the hash takes at a time, which HMAC fills its key up to (RFC 2104).</summary>
    public static int BlockOctets(this AuthProtocol protocol) => protocol is AuthProtocol.Sha384 or AuthProtocol.Sha512 ? 128 : 64;

    /// <summary>The hash.</summary>
#pragma warning disable CA5350, CA5351 // RFC 3414 has no others, and many switches know no others; whoever uses them is warned.
    public static HashAlgorithm NewHash(this AuthProtocol protocol) => protocol switch
    {
        AuthProtocol.Md5 => MD5.Create(),
        AuthProtocol.Sha1 => SHA1.Create(),
        AuthProtocol.Sha224 => new Sha224(),
        AuthProtocol.Sha256 => SHA256.Create(),
        AuthProtocol.Sha384 => SHA384.Create(),
        _ => SHA512.Create(),
    };
#pragma warning restore CA5350, CA5351

    /// <summary>HMAC (RFC 2104) of octets, whole.</summary>
    /// <param name="protocol">The hash.</param>
    /// <param name="key">The key, not longer than a block of the hash.</param>
    /// <param name="octets">The octets.</param>
    /// <param name="count">How many of them, from the start.</param>
    public static byte[] Hmac(this AuthProtocol protocol, byte[] key, byte[] octets, int count)
    {
        using HashAlgorithm hash = protocol.NewHash();
        byte[] inner = Pad(key, protocol.BlockOctets(), 0x36);
        hash.TransformBlock(inner, 0, inner.Length, null, 0);
        hash.TransformFinalBlock(octets, 0, count);
        byte[] digest = hash.Hash!;
        byte[] outer = Pad(key, protocol.BlockOctets(), 0x5C);
        hash.Initialize();
        hash.TransformBlock(outer, 0, outer.Length, null, 0);
        hash.TransformFinalBlock(digest, 0, digest.Length);
        return hash.Hash!;
    }

    private static byte[] Pad(byte[] key, int length, byte with)
    {
        byte[] padded = new byte[length];
        for (int i = 0; i < length; i++)
        {
            padded[i] = (byte)(with ^ (i < key.Length ? key[i] : 0));
        }

        return padded;
    }
}
