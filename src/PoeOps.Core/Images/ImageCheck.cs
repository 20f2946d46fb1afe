using System.Globalization;
using System.Security.Cryptography;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>What was found of an image, beside what the baseline says of it.</summary>
public sealed record ImageVerdict
{
    /// <summary>The image's name.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>Where it was looked for.</summary>
    public string Path { get; init; } = string.Empty;

    /// <summary>True where a file is there.</summary>
    public bool Found { get; init; }

    /// <summary>Its size in bytes; null where it is not there.</summary>
    public long? Bytes { get; init; }

    /// <summary>The size that the baseline says.</summary>
    public long ExpectedBytes { get; init; }

    /// <summary>Its SHA-256, 64 lower-case hexadecimal digits; null where it was not worth working out.</summary>
    public string? Sha256 { get; init; }

    /// <summary>The SHA-256 that the baseline says.</summary>
    public string ExpectedSha256 { get; init; } = string.Empty;

    /// <summary>True where it is the approved image, whole.</summary>
    public bool Good => Problem is null;

    /// <summary>The verdict in a sentence.</summary>
    public string Reason { get; init; } = string.Empty;

    /// <summary>What is wrong, or null.</summary>
    public Problem? Problem { get; init; }
}

/// <summary>Checks image files by size and SHA-256.</summary>
public static class ImageCheck
{
    /// <summary>Checks one image.</summary>
    /// <param name="place">The folder that holds it, or the file itself.</param>
    /// <param name="spec">What the baseline says of it.</param>
    /// <returns>The verdict; nothing is thrown for a bad image.</returns>
    public static ImageVerdict Check(string place, ImageSpec spec)
    {
        string path = Directory.Exists(place) ? System.IO.Path.Combine(place, spec.File) : place;
        var verdict = new ImageVerdict { File = spec.File, Path = path, ExpectedBytes = spec.Bytes, ExpectedSha256 = spec.Sha256.ToLowerInvariant() };
        try
        {
            return File.Exists(path) ? Measure(verdict) : Bad(verdict, ProblemId.ImageNotFound, $"The image '{spec.File}' is not at '{path}'.", "Copy it there, or name the right folder.");
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return Bad(verdict, ProblemId.FileUnreadable, $"The image '{path}' cannot be read: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that you may read it and that no program holds it.");
        }
    }

    /// <summary>Checks every image of a list, each once.</summary>
    /// <param name="place">The folder that holds them; or one file, which is then the only one checked.</param>
    /// <param name="specs">What the baseline says of them.</param>
    public static IEnumerable<ImageVerdict> CheckAll(string place, IEnumerable<ImageSpec> specs)
    {
        string? only = Directory.Exists(place) ? null : System.IO.Path.GetFileName(place);
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

    private static ImageVerdict Measure(ImageVerdict verdict)
    {
        using FileStream stream = new(verdict.Path, FileMode.Open, FileAccess.Read, FileShare.Read);
        ImageVerdict found = verdict with { Found = true, Bytes = stream.Length };
        if (stream.Length != verdict.ExpectedBytes)
        {
            return Bad(found, ProblemId.ImageWrongSize, $"The image '{verdict.File}' has {Text(stream.Length)} bytes, and the baseline says {Text(verdict.ExpectedBytes)}.", "Copy the approved image again; this one is cut or another.");
        }

        using var hash = SHA256.Create();
        string digest = string.Concat(hash.ComputeHash(stream).Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture)));
        found = found with { Sha256 = digest };
        return digest == verdict.ExpectedSha256
            ? found with { Reason = $"It is the approved image: {Text(stream.Length)} bytes, and the digest is the baseline's." }
            : Bad(found, ProblemId.ImageWrongDigest, $"The image '{verdict.File}' has the SHA-256 {digest}, and the baseline says {verdict.ExpectedSha256}.", "Copy the approved image again; this one was changed or is another.");
    }

    private static ImageVerdict Bad(ImageVerdict verdict, ProblemId id, string sentence, string advice) =>
        verdict with { Problem = new Problem(id, sentence, advice) { File = verdict.Path }, Reason = sentence };

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
