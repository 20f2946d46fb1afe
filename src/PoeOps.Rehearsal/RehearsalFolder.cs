namespace PoeOps.Rehearsal;

/// <summary>Where a rehearsal writes its estate, and what it takes away again at its end: what it wrote, and the folder if it made it.</summary>
internal sealed class RehearsalFolder
{
    private readonly string _folder;
    private readonly bool _made;

    private RehearsalFolder(string folder, string fileName, bool made)
    {
        _folder = folder;
        _made = made;
        EstatePath = Path.Combine(folder, fileName);
    }

    /// <summary>The rewritten estate.</summary>
    public string EstatePath { get; }

    /// <summary>Finds or makes the folder.</summary>
    /// <param name="wanted">Where the caller wants it, or null.</param>
    /// <param name="fileName">The name of the estate's file.</param>
    /// <exception cref="PoeOpsException">The folder cannot be made, or such a file stands in it already.</exception>
    public static RehearsalFolder Make(string? wanted, string fileName)
    {
        string folder = wanted is null ? Path.Combine(Path.GetTempPath(), "poeops-rehearsal-" + Guid.NewGuid().ToString("N")) : Path.GetFullPath(wanted);
        bool made = !Directory.Exists(folder);
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception wrong) when (wrong is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new PoeOpsException(new Problem(ProblemId.FileNotWritable, $"The folder '{folder}' cannot be made: {wrong.Message}", "Name another folder.") { File = folder }, wrong);
        }

        var result = new RehearsalFolder(folder, fileName, made);
        return File.Exists(result.EstatePath)
            ? throw new PoeOpsException(new Problem(ProblemId.FileExists, "An estate of this name stands in the folder, and the rehearsal's own would take its place.", "Name an empty folder.") { File = result.EstatePath })
            : result;
    }

    /// <summary>Takes away what was written. A file that is held open stays, which harms nobody.</summary>
    public void Delete()
    {
        try
        {
            File.Delete(EstatePath);
            if (_made && !Directory.EnumerateFileSystemEntries(_folder).Any())
            {
                Directory.Delete(_folder);
            }
        }
        catch (Exception held) when (held is IOException or UnauthorizedAccessException)
        {
            // Ending a rehearsal must not fail because somebody reads its estate; the system clears its temporary files.
            _ = held;
        }
    }
}
