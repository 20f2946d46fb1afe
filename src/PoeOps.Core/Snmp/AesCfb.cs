using System.Security.Cryptography;

namespace PoeOps.Snmp;

/// <summary>AES-128 in the CFB mode of 128 bits (NIST SP 800-38A section 6.3), as RFC 3826 has it: no padding, the last block cut.</summary>
public static class AesCfb
{
    /// <summary>The octets of a key, of an initialisation vector and of a block.</summary>
    public const int Octets = 16;

    /// <summary>Encrypts.</summary>
    /// <param name="key">16 octets.</param>
    /// <param name="vector">16 octets, never used before with this key.</param>
    /// <param name="plain">What to encrypt.</param>
    public static byte[] Encrypt(byte[] key, byte[] vector, byte[] plain) => Turn(key, vector, plain, encrypts: true);

    /// <summary>Decrypts.</summary>
    /// <param name="key">16 octets.</param>
    /// <param name="vector">16 octets.</param>
    /// <param name="cipher">What to decrypt.</param>
    public static byte[] Decrypt(byte[] key, byte[] vector, byte[] cipher) => Turn(key, vector, cipher, encrypts: false);

    // Each block is the text with the encrypted block before it laid over; that block is cipher text in both directions.
    private static byte[] Turn(byte[] key, byte[] vector, byte[] text, bool encrypts)
    {
        using var aes = Aes.Create();
#pragma warning disable CA5358 // CFB is built here on single blocks, as the class library does not have it in netstandard2.0.
        aes.Mode = CipherMode.ECB;
#pragma warning restore CA5358
        aes.Padding = PaddingMode.None;
        aes.Key = key;
        using ICryptoTransform blocks = aes.CreateEncryptor();
        byte[] before = (byte[])vector.Clone();
        byte[] over = new byte[Octets];
        byte[] result = new byte[text.Length];
        for (int start = 0; start < text.Length; start += Octets)
        {
            blocks.TransformBlock(before, 0, Octets, over, 0);
            for (int i = 0; i < Octets && start + i < text.Length; i++)
            {
                result[start + i] = (byte)(text[start + i] ^ over[i]);
                before[i] = encrypts ? result[start + i] : text[start + i];
            }
        }

        return result;
    }
}
