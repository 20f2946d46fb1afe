using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Which names a file server offers, and which files.</summary>
internal static class ServedName
{
    /// <summary>Checks a name that clients are to ask by: one plain name, no way through folders.</summary>
    /// <exception cref="PoeOpsException">It is none (<see cref="ProblemId.ImageNotServable"/>).</exception>
    public static void Check(string name)
    {
        string? why = name.Length == 0 ? "is empty"
            : name.IndexOfAny(['/', '\\', ':']) >= 0 ? "holds a way through folders"
            : name.Any(char.IsControl) ? "holds control characters"
            : name.Trim('.').Length == 0 ? "means a folder"
            : name[name.Length - 1] is '.' or ' ' ? "ends with a dot or a space, which some systems take away"
            : PlainName.IsDevice(name) ? "is a device on Windows"
            : null;
        if (why is not null)
        {
            throw NotServable($"The name '{Excerpt.Of(name)}' {why}", "Offer it by a plain name such as image.bin.", file: null);
        }
    }

    /// <summary>Checks a file before it is opened: it is to be what it seems, so no link and no device.</summary>
    /// <exception cref="PoeOpsException">It is one (<see cref="ProblemId.ImageNotServable"/>).</exception>
    public static void CheckFile(string path)
    {
        if (PlainName.IsDevice(Path.GetFileName(path)))
        {
            throw NotServable($"'{Excerpt.Of(path)}' is a device on Windows", "Give the image another name.", path);
        }

        if ((File.GetAttributes(path) & FileAttributes.ReparsePoint) != 0)
        {
            throw NotServable($"'{Excerpt.Of(path)}' is a link, and where it leads can change", "Name the file that it leads to.", path);
        }
    }

    /// <summary>A name or a file that is not offered.</summary>
    /// <param name="what">Why, without a full stop.</param>
    /// <param name="advice">What to do.</param>
    /// <param name="file">The file, where it is about one.</param>
    public static PoeOpsException NotServable(string what, string advice, string? file) =>
        new(new Problem(ProblemId.ImageNotServable, $"{what}, so it is not served.", advice) { File = file });
}
