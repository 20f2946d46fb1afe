using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>Reads baseline files (<c>*.baseline.json</c>).</summary>
public static class BaselineFile
{
    /// <summary>Reads a baseline.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <returns>The baseline, or every mistake that the file has.</returns>
    public static BaselineResult Read(string path)
    {
        List<Problem> problems = [];
        Baseline? baseline = FileKind.Open(path, "a baseline", problems) is { } root ? BaselineJson.Read(root, path) : null;
        return new BaselineResult(problems.Count == 0 ? baseline : null, problems);
    }
}
