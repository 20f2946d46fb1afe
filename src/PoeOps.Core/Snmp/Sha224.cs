using System.Security.Cryptography;

namespace PoeOps.Snmp;

/// <summary>SHA-224 (FIPS 180-4 section 6.3), which the class library lacks: SHA-256 from other starting values, cut to 28 octets.</summary>
internal sealed class Sha224 : HashAlgorithm
{
    // FIPS 180-4 section 4.2.2.
    private static readonly uint[] Constants =
    [
        0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe,
        0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7,
        0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85, 0xa2bfe8a1, 0xa81a664b,
        0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
        0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
    ];

    private readonly uint[] _state = new uint[8];
    private readonly uint[] _schedule = new uint[64];
    private readonly byte[] _block = new byte[64];
    private long _count;

    /// <summary>Begins a digest.</summary>
    public Sha224()
    {
        HashSizeValue = 224;
        Initialize();
    }

    /// <inheritdoc/>
    public override void Initialize()
    {
        // FIPS 180-4 section 5.3.2.
        uint[] start = [0xc1059ed8, 0x367cd507, 0x3070dd17, 0xf70e5939, 0xffc00b31, 0x68581511, 0x64f98fa7, 0xbefa4fa4];
        start.CopyTo(_state, 0);
        _count = 0;
    }

    /// <inheritdoc/>
    protected override void HashCore(byte[] array, int ibStart, int cbSize)
    {
        for (int i = 0; i < cbSize; i++)
        {
            _block[_count++ & 63] = array[ibStart + i];
            if ((_count & 63) == 0)
            {
                Compress();
            }
        }
    }

    /// <inheritdoc/>
    protected override byte[] HashFinal()
    {
        long bits = _count * 8;
        byte[] padding = new byte[1 + (int)((119 - (_count & 63)) & 63) + 8];
        padding[0] = 0x80;
        for (int i = 1; i <= 8; i++, bits >>= 8)
        {
            padding[padding.Length - i] = (byte)bits;
        }

        HashCore(padding, 0, padding.Length);
        byte[] digest = new byte[28];
        for (int i = 0; i < digest.Length; i++)
        {
            digest[i] = (byte)(_state[i / 4] >> (24 - (8 * (i % 4))));
        }

        return digest;
    }

    private void Compress()
    {
        unchecked
        {
            for (int t = 0; t < 64; t++)
            {
                _schedule[t] = t < 16
                    ? ((uint)_block[4 * t] << 24) | ((uint)_block[(4 * t) + 1] << 16) | ((uint)_block[(4 * t) + 2] << 8) | _block[(4 * t) + 3]
                    : (Turn(_schedule[t - 2], 17) ^ Turn(_schedule[t - 2], 19) ^ (_schedule[t - 2] >> 10)) + _schedule[t - 7]
                        + (Turn(_schedule[t - 15], 7) ^ Turn(_schedule[t - 15], 18) ^ (_schedule[t - 15] >> 3)) + _schedule[t - 16];
            }

            uint a = _state[0], b = _state[1], c = _state[2], d = _state[3], e = _state[4], f = _state[5], g = _state[6], h = _state[7];
            for (int t = 0; t < 64; t++)
            {
                uint first = h + (Turn(e, 6) ^ Turn(e, 11) ^ Turn(e, 25)) + ((e & f) ^ (~e & g)) + Constants[t] + _schedule[t];
                uint second = (Turn(a, 2) ^ Turn(a, 13) ^ Turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
                (h, g, f, e, d, c, b, a) = (g, f, e, d + first, c, b, a, first + second);
            }

            uint[] after = [a, b, c, d, e, f, g, h];
            for (int i = 0; i < 8; i++)
            {
                _state[i] += after[i];
            }
        }
    }

    private static uint Turn(uint word, int by) => (word >> by) | (word << (32 - by));
}
