using System.Globalization;
using System.Security.Cryptography;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Checks image files by size and SHA-256.</summary>
public static class ImageCheck
{
    /// <summary>Checks one image.</summary>
    /// <param name="place">The folder that holds it, or the file itself.</param>
    /// <param name="spec">What the baseline says of it.</param>
    /// <returns>The verdict; nothing is thrown for a bad image.</returns>
    public static ImageVerdict Check(string place, ImageSpec spec)
    {
        ImageVerdict verdict = Expected(spec) with { Path = place };
        try
        {
            string path = Directory.Exists(place) ? Path.Combine(place, spec.File) : place;
            verdict = verdict with { Path = path };
            if (!File.Exists(path))
            {
                return Bad(verdict, ProblemId.ImageNotFound, $"The image '{spec.File}' is not at '{path}'.", "Copy it there, or name the right folder.");
            }

            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return Measure(verdict, stream);
        }
        catch (Exception exception) when (IsUnreadable(exception))
        {
            return Bad(verdict, ProblemId.FileUnreadable, $"The image '{verdict.Path}' cannot be read: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that you may read it and that no program holds it.");
        }
    }

    /// <summary>Compares an image that was measured already.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="bytes">Its size.</param>
    /// <param name="sha256">Its SHA-256, in lower case.</param>
    /// <param name="spec">What the baseline says of it.</param>
    internal static ImageVerdict Compare(string path, long bytes, string sha256, ImageSpec spec) =>
        Judge(Expected(spec) with { Path = path, Found = true, Bytes = bytes }, () => sha256);

    // Some platforms refuse the characters of a name with the last three.
    internal static bool IsUnreadable(Exception exception) =>
        exception is IOException or UnauthorizedAccessException or System.Security.SecurityException or ArgumentException or NotSupportedException;

    /// <summary>Checks every image of a list, each once.</summary>
    /// <param name="place">The folder that holds them; or one file, which is then the only one checked.</param>
    /// <param name="specs">What the baseline says of them.</param>
    public static IEnumerable<ImageVerdict> CheckAll(string place, IEnumerable<ImageSpec> specs)
    {
        string? only = Directory.Exists(place) ? null : Path.GetFileName(place);
        List<ImageSpec> wanted = [.. specs.Distinct().Where(spec => only is null || string.Equals(spec.File, only, StringComparison.OrdinalIgnoreCase))];
        if (wanted.Count == 0 && only is not null)
        {
            string sentence = $"The baseline names no image '{only}'.";
            yield return Bad(new ImageVerdict { File = only, Path = place, Found = File.Exists(place) }, ProblemId.ImageNotFound, sentence, "Name a folder, or a file that the baseline names.");
        }

        foreach (ImageSpec spec in wanted)
        {
            yield return Check(place, spec);
        }
    }

    private static ImageVerdict Expected(ImageSpec spec) => new() { File = spec.File, ExpectedBytes = spec.Bytes, ExpectedSha256 = spec.Sha256.ToLowerInvariant() };

    private static ImageVerdict Measure(ImageVerdict verdict, Stream stream) =>
        Judge(verdict with { Found = true, Bytes = stream.Length }, () =>
        {
            using var hash = SHA256.Create();
            return string.Concat(hash.ComputeHash(stream).Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture)));
        });

    // A digest is not worth working out where the size is another.
    private static ImageVerdict Judge(ImageVerdict found, Func<string> digest)
    {
        if (found.Bytes is { } bytes && bytes != found.ExpectedBytes)
        {
            return Bad(found, ProblemId.ImageWrongSize, $"The image '{found.File}' has {Text(bytes)} bytes, and the baseline says {Text(found.ExpectedBytes)}.", "Copy the approved image again; this one is cut or another.");
        }

        ImageVerdict measured = found with { Sha256 = digest() };
        return measured.Sha256 == measured.ExpectedSha256
            ? measured with { Reason = $"It is the approved image: {Text(measured.ExpectedBytes)} bytes, and the digest is the baseline's." }
            : Bad(measured, ProblemId.ImageWrongDigest, $"The image '{measured.File}' has the SHA-256 {measured.Sha256}, and the baseline says {measured.ExpectedSha256}.", "Copy the approved image again; this one was changed or is another.");
    }

    private static ImageVerdict Bad(ImageVerdict verdict, ProblemId id, string sentence, string advice) =>
        verdict with { Problem = new Problem(id, sentence, advice) { File = verdict.Path }, Reason = sentence };

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
