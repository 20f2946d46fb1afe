using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>What was measured of an image.</summary>
/// <param name="Bytes">Its size.</param>
/// <param name="Sha256">Its digest; null where its size is wrong already.</param>
/// <param name="Head">Its beginning, as long as the longest header.</param>
/// <param name="BlockSize">Octets in a block, where it came over TFTP or somebody asks about that.</param>
internal sealed record ImageFacts(long Bytes, string? Sha256, byte[] Head, int? BlockSize);

/// <summary>Holds what was measured of an image against what the baseline says of it. The first thing that is wrong is the verdict.</summary>
internal static class ImageJudge
{
    private const string FamilyAdvice = "Correct the baseline, or ask whoever approved the image: until then it must not go to a unit.";

    /// <summary>The verdict before anything was looked at.</summary>
    public static ImageVerdict Expected(ImageUse use, string path) => new()
    {
        File = use.Image.File,
        Path = path,
        ExpectedBytes = use.Image.Bytes,
        ExpectedSha256 = use.Image.Sha256.ToLowerInvariant(),
        Family = use.Image.Family,
        ApprovedFirmware = string.Join(", ", use.Firmware),
        Models = string.Join(", ", use.Models),
    };

    /// <summary>The verdict on an image that could not be looked at.</summary>
    public static ImageVerdict Bad(ImageVerdict verdict, Problem problem) => verdict with { Problem = problem, Reason = problem.Sentence };

    /// <summary>The verdict.</summary>
    public static ImageVerdict Judge(ImageUse use, string path, ImageFacts facts)
    {
        ImageHeader? header = ImageHeader.Read(facts.Head, out _);
        ImageVerdict verdict = Expected(use, path) with
        {
            Found = true,
            Bytes = facts.Bytes,
            Sha256 = facts.Sha256,
            HeaderFamily = header?.Family,
            HeaderVersion = header?.Version,
            BlockSize = facts.BlockSize,
            NameVersion = use.Firmware.Select(wanted => NamedVersion.InName(use.Image.File, wanted).Text).FirstOrDefault(text => text is not null),
        };
        verdict = verdict with { Warnings = [.. ImageCautions.Of(use, verdict).Select(problem => problem with { File = path })] };
        Problem? wrong = Content(verdict, Stranger(use, header)) ?? Mark(use.Image, facts.Head) ?? Header(use, header);
        return wrong is not null
            ? Bad(verdict, wrong with { File = path })
            : verdict with { Reason = $"It is the approved image: {Text(facts.Bytes)} bytes, and the digest is the baseline's." };
    }

    // Which other image it is, where its header says so.
    private static string Stranger(ImageUse use, ImageHeader? header)
    {
        bool other = header is not null && (IsOther(use.Image.Family, header.Family) || (use.Firmware.Count > 0 && use.Firmware.All(wanted => NamedVersion.In(header.Version, wanted).Agrees == false)));
        return other ? $" Its header says {Excerpt.Of(header!.Version)} for {Excerpt.Of(header.Family)}." : string.Empty;
    }

    private static bool IsOther(string family, string found) => family.Length > 0 && !string.Equals(found, family, StringComparison.OrdinalIgnoreCase);

    private static Problem? Content(ImageVerdict found, string tail) =>
        found.Bytes != found.ExpectedBytes ? new Problem(ProblemId.ImageWrongSize, $"The image '{found.File}' has {Text(found.Bytes!.Value)} bytes, and the baseline says {Text(found.ExpectedBytes)}.{tail}", "Copy the approved image again; this one is cut or another.")
        : found.Sha256 != found.ExpectedSha256 ? new Problem(ProblemId.ImageWrongDigest, $"The image '{found.File}' has the SHA-256 {found.Sha256}, and the baseline says {found.ExpectedSha256}.{tail}", "Copy the approved image again; this one was changed or is another.")
        : null;

    private static Problem? Mark(ImageSpec image, byte[] head)
    {
        if (image.Mark is not { } mark)
        {
            return null;
        }

        int count = Math.Max(0, Math.Min(mark.Hex.Length / 2, head.Length - mark.Offset));
        string found = Hex.Of(head.Skip(mark.Offset).Take(count));
        string family = image.Family.Length == 0 ? "its family" : $"the family '{Excerpt.Of(image.Family)}'";
        return found == mark.Hex ? null : new Problem(
            ProblemId.ImageOtherFamily, $"The image '{image.File}' has {(count == 0 ? "nothing" : Excerpt.Of(found))} at offset {Text(mark.Offset)}, and the images of {family} have {Excerpt.Of(mark.Hex)} there.", FamilyAdvice);
    }

    private static Problem? Header(ImageUse use, ImageHeader? header)
    {
        if (header is null)
        {
            return null;
        }

        ImageSpec image = use.Image;
        if (IsOther(image.Family, header.Family))
        {
            return new Problem(ProblemId.ImageOtherFamily, $"The image '{image.File}' says in its header that it is for the family '{Excerpt.Of(header.Family)}', and the baseline says '{Excerpt.Of(image.Family)}'.", FamilyAdvice);
        }

        string[] without = [.. use.Models.Where(model => !header.Models.Contains(model, StringComparer.OrdinalIgnoreCase))];
        return without.Length == 0 ? null : new Problem(
            ProblemId.ImageOtherModel, $"The image '{image.File}' says in its header that it is for {Excerpt.Of(string.Join(", ", header.Models))}, and the baseline has it for {string.Join(", ", without)}.", FamilyAdvice);
    }

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
