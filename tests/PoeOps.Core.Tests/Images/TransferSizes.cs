namespace PoeOps.Core.Tests.Images;

/// <summary>
/// The sizes that transfers with programs by others are tried at: octets, block size, and the blocks that it takes. Those of more than 4 GB are only among
/// them where POEOPS_TFTP_HEAVY is 1.
/// </summary>
internal static class TransferSizes
{
    /// <summary>From here on a source is a sparse file with marks in it, and not octets in memory.</summary>
    public const long Sparse = 200L << 20;

    private const int Largest = 65464;

    private static readonly int[] BlockSizes = [8, 512, 1428, 1468, Largest];

    public static bool Heavy { get; } = Environment.GetEnvironmentVariable("POEOPS_TFTP_HEAVY") == "1";

    /// <summary>Sizes around one block of 512; the largest file without a wrap of block numbers, and the one after it; and 100 MB.</summary>
    public static TheoryData<long, int> All => Of(BlockSizes);

    /// <summary>The same for a client that knows no block size but RFC 1350's.</summary>
    public static TheoryData<long, int> Plain => Of([512]);

    /// <summary>The same for a server that refuses a block size as small as 8.</summary>
    public static TheoryData<long, int> From64 => Of([64, .. BlockSizes.Skip(1)]);

    /// <summary>What the last block's number counts to.</summary>
    public static long Blocks(long bytes, int blockSize) => (bytes / blockSize) + 1;

    /// <summary>How many sizes there are, for a sentence.</summary>
    public static string Told(TheoryData<long, int> sizes) =>
        Heavy ? $"{sizes.Count} sizes, those of 4 GB among them." : $"{sizes.Count} sizes; POEOPS_TFTP_HEAVY=1 adds those of 4 GB.";

    private static TheoryData<long, int> Of(int[] blockSizes)
    {
        TheoryData<long, int> sizes = [];
        foreach (int bytes in (int[])[0, 1, 511, 512, 513])
        {
            sizes.Add(bytes, 512);
        }

        foreach (int blockSize in blockSizes.Where(size => Heavy || size < Largest))
        {
            // 65535 blocks, the last one an octet short; 65536, the last one empty and numbered 0.
            sizes.Add((65_535L * blockSize) - 1, blockSize);
            sizes.Add(65_535L * blockSize, blockSize);
        }

        sizes.Add(100_000_000, blockSizes.Length == 1 ? 512 : 1428);
        return sizes;
    }
}

/// <summary>A fact that takes long, left out unless POEOPS_TFTP_HEAVY is 1.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class HeavyFactAttribute : FactAttribute
{
    public HeavyFactAttribute() => Skip = TransferSizes.Heavy ? null : "It takes a minute; set POEOPS_TFTP_HEAVY=1 to see this run.";
}
