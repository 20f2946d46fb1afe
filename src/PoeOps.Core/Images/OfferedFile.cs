using System.Net;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>A file that is to be served.</summary>
/// <param name="Path">Where it lies.</param>
/// <param name="Use">What a baseline says of it; null where nobody does.</param>
internal sealed record OfferedFile(string Path, ImageUse? Use)
{
    /// <summary>The name by which it is asked for.</summary>
    public string Name => System.IO.Path.GetFileName(Path);

    /// <summary>The files that a path stands for.</summary>
    /// <param name="path">A file; with a baseline, a folder or a file.</param>
    /// <param name="baseline">The baseline, or null.</param>
    /// <param name="problems">Takes what is wrong with the path.</param>
    public static IEnumerable<OfferedFile> At(string path, Baseline? baseline, ICollection<Problem> problems)
    {
        bool folder = Directory.Exists(path);
        if (baseline is null)
        {
            if (folder)
            {
                problems.Add(new Problem(ProblemId.ImageNotServable, $"'{path}' is a folder, and files are served.", "Name files, or a baseline, so that its approved images in the folder are served.") { File = path });
            }

            return folder ? [] : [new OfferedFile(path, null)];
        }

        if (folder)
        {
            return baseline.ImageUses.Select(use => new OfferedFile(System.IO.Path.Combine(path, use.Image.File), use));
        }

        string name = System.IO.Path.GetFileName(path);
        ImageUse[] uses = [.. baseline.ImageUses.Where(use => string.Equals(use.Image.File, name, StringComparison.Ordinal))];
        if (uses.Length == 0)
        {
            problems.Add(ImageCheck.NotNamed(name, path).Problem!);
        }

        return uses.Select(use => new OfferedFile(path, use));
    }

    /// <summary>Reads it, so that it can be served.</summary>
    /// <param name="clients">Who may have it.</param>
    /// <exception cref="PoeOpsException">
    /// Its name or what it is does not let it out (<see cref="ProblemId.ImageNotServable"/>), it cannot be read, or it is not the approved image.
    /// </exception>
    public ServedFile Open(IReadOnlyList<IPAddress> clients)
    {
        if (!PlainName.IsPlain(Name))
        {
            string why = PlainName.IsDevice(Name) ? "is a name that Windows keeps for a device" : "is no plain file name";
            throw NotServable($"'{Excerpt.Of(Name)}' {why}, and is not served.", PlainName.Advice);
        }

        var file = ServedFile.Open(Path, clients);
        if (Use is not null && file.Check(Use).Problem is { } wrong)
        {
            file.Dispose();
            throw new PoeOpsException(wrong);
        }

        return file;
    }

    private PoeOpsException NotServable(string sentence, string advice) => new(new Problem(ProblemId.ImageNotServable, sentence, advice) { File = Path });
}
