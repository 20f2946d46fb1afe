using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>What looks wrong of an image that may be right all the same.</summary>
internal static class ImageCautions
{
    // Block numbers have 16 bits (RFC 1350 section 5), and the first is 1.
    private const int MostBlocks = 65535;

    /// <summary>The cautions, each a sentence of its own.</summary>
    /// <param name="use">What the baseline says.</param>
    /// <param name="found">What was found.</param>
    public static IEnumerable<Problem> Of(ImageUse use, ImageVerdict found)
    {
        foreach (string wanted in use.Firmware)
        {
            NamedVersion named = NamedVersion.InName(use.Image.File, wanted);
            if (named.Agrees == false)
            {
                yield return Differs($"The name of the image '{use.Image.File}' says version '{named.Text}', and the baseline says '{Excerpt.Of(wanted)}'.");
            }

            if (found.HeaderVersion is { } version && !string.Equals(version, wanted, StringComparison.OrdinalIgnoreCase) && NamedVersion.In(version, wanted).Agrees == false)
            {
                yield return Differs($"The header of the image '{use.Image.File}' says version '{Excerpt.Of(version)}', and the baseline says '{Excerpt.Of(wanted)}'.");
            }
        }

        if (found is { Bytes: { } bytes, BlockSize: { } size } && NeedsWrap(found.File, bytes, size) is { } wrap)
        {
            yield return wrap;
        }
    }

    // The last block is shorter than the others, if need be empty, and has a number of its own.
    private static Problem? NeedsWrap(string file, long bytes, int size)
    {
        long blocks = (bytes / size) + 1;
        long least = (bytes / MostBlocks) + 1;
        return blocks <= MostBlocks ? null : new Problem(
            ProblemId.ImageNeedsWrap,
            $"The image '{file}' of {Text(bytes)} bytes takes {Text(blocks)} blocks of {Text(size)} bytes, and {Text(MostBlocks)} can be numbered: it comes whole only where server and unit both go on at 0 after that.",
            least <= TftpOptions.LargestBlockSize ? $"Have server and unit agree on blocks of at least {Text(least)} bytes (blksize, RFC 2348), or use a protocol without such a bound." : "No block size is large enough: use a protocol without such a bound.");
    }

    private static Problem Differs(string sentence) => new(ProblemId.ImageVersionDiffers, sentence, "Find out which of the two is right, and correct the name or the baseline.");

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
