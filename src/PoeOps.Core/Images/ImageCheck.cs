using System.Security.Cryptography;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Checks image files: found, size, SHA-256, header, version in the name.</summary>
public static class ImageCheck
{
    /// <summary>Looks whether the folder of images is there, before each image is found missing in it.</summary>
    /// <param name="place">The folder that holds them, or one file.</param>
    /// <returns>The problem (<see cref="ProblemId.FileNotFound"/>), or null.</returns>
    public static Problem? FolderProblem(string place) => Directory.Exists(place) || File.Exists(place) ? null
        : new Problem(ProblemId.FileNotFound, $"The folder of images '{place}' does not exist.", "Check the path of the images and where it starts from.") { File = place };

    /// <summary>Checks one image.</summary>
    /// <param name="place">The folder that holds it, or the file itself.</param>
    /// <param name="spec">What the baseline says of it.</param>
    /// <returns>The verdict; nothing is thrown for a bad image.</returns>
    public static ImageVerdict Check(string place, ImageSpec spec) => Check(place, new ImageUse(spec, [], []), null);

    /// <summary>Checks one image, and what it says of itself.</summary>
    /// <param name="place">The folder that holds it, or the file itself.</param>
    /// <param name="use">What the baseline says of it.</param>
    /// <param name="blockSizeBytes">Octets in a block of the server that is to serve it, where that is asked about.</param>
    /// <returns>The verdict; nothing is thrown for a bad image.</returns>
    public static ImageVerdict Check(string place, ImageUse use, int? blockSizeBytes)
    {
        ImageSpec spec = use.Image;
        string path = place;
        try
        {
            path = Directory.Exists(place) ? Path.Combine(place, spec.File) : place;
            if (!File.Exists(path))
            {
                return Bad(use, path, ProblemId.ImageNotFound, $"The image '{spec.File}' is not at '{path}'.", "Copy it there, or name the right folder.");
            }

            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return Check(path, stream, use, blockSizeBytes);
        }
        catch (Exception exception) when (IsUnreadable(exception))
        {
            return Bad(use, path, ProblemId.FileUnreadable, $"The image '{path}' cannot be read: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that you may read it and that no program holds it.");
        }
    }

    /// <summary>Checks every image of a list, each once.</summary>
    /// <param name="place">The folder that holds them; or one file, which is then the only one checked.</param>
    /// <param name="uses">What the baseline says of them.</param>
    /// <param name="blockSizeBytes">Octets in a block of the server that is to serve them, where that is asked about.</param>
    public static IEnumerable<ImageVerdict> CheckAll(string place, IEnumerable<ImageUse> uses, int? blockSizeBytes)
    {
        string? only = Directory.Exists(place) ? null : Path.GetFileName(place);
        List<ImageUse> wanted = [.. uses.Where(use => only is null || string.Equals(use.Image.File, only, StringComparison.OrdinalIgnoreCase))];
        if (wanted.Count == 0 && only is not null)
        {
            yield return File.Exists(place) ? NotNamed(only, place) with { Found = true }
                : ImageJudge.Bad(new ImageVerdict { File = only, Path = place }, new Problem(ProblemId.ImageNotFound, $"'{place}' does not exist, neither as a folder nor as a file.", "Name the folder that holds the images, or one of them.") { File = place });
        }

        foreach (ImageUse use in wanted)
        {
            yield return Check(place, use, blockSizeBytes);
        }
    }

    /// <summary>Checks an image that was fetched into a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="address">Where the image came from.</param>
    /// <param name="use">What the baseline says of it.</param>
    public static ImageVerdict Fetched(string path, string address, ImageUse use)
    {
        using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
        return Check(address, stream, use, null);
    }

    /// <summary>The verdict on an image that could not be fetched from its server.</summary>
    /// <param name="use">What the baseline says of it.</param>
    /// <param name="address">Where it was asked for.</param>
    /// <param name="problem">Why it did not come.</param>
    public static ImageVerdict NotFetched(ImageUse use, string address, Problem problem) => ImageJudge.Bad(ImageJudge.Expected(use, address), problem);

    /// <summary>The verdict on a file that the baseline does not name.</summary>
    /// <param name="file">Its name.</param>
    /// <param name="path">Where it was named.</param>
    internal static ImageVerdict NotNamed(string file, string path)
    {
        string sentence = $"The baseline names no image '{Excerpt.Of(file, 128)}'.";
        return ImageJudge.Bad(new ImageVerdict { File = file, Path = path }, new Problem(ProblemId.ImageNotFound, sentence, "Name a folder, or a file that the baseline names.") { File = path });
    }

    /// <summary>Checks octets that are at hand.</summary>
    /// <param name="path">Where they came from.</param>
    /// <param name="octets">All of the image, from its beginning.</param>
    /// <param name="use">What the baseline says of it.</param>
    /// <param name="blockSizeBytes">Octets in a block, where that is asked about.</param>
    internal static ImageVerdict Check(string path, Stream octets, ImageUse use, int? blockSizeBytes)
    {
        byte[] head = new byte[Math.Min(ImageHeader.LongestHeader, octets.Length)];
        int count = 0;
        for (int read = 1; read > 0 && count < head.Length; count += read)
        {
            read = octets.Read(head, count, head.Length - count);
        }

        // A digest of what has the wrong size already would say nothing new.
        string? digest = octets.Length == use.Image.Bytes ? DigestOf(octets) : null;
        return ImageJudge.Judge(use, path, new ImageFacts(octets.Length, digest, head, blockSizeBytes));
    }

    // Some platforms refuse the characters of a name with the last three.
    internal static bool IsUnreadable(Exception exception) =>
        exception is IOException or UnauthorizedAccessException or System.Security.SecurityException or ArgumentException or NotSupportedException;

    private static string DigestOf(Stream octets)
    {
        octets.Position = 0;
        using var hash = SHA256.Create();
        return Hex.Of(hash.ComputeHash(octets));
    }

    private static ImageVerdict Bad(ImageUse use, string path, ProblemId id, string sentence, string advice) =>
        ImageJudge.Bad(ImageJudge.Expected(use, path), new Problem(id, sentence, advice) { File = path });
}
