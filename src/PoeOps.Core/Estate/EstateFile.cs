using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads and rewrites estate files (<c>*.estate.json</c>), and reads plain lists of switches (CSV).</summary>
public static class EstateFile
{
    /// <summary>Reads an estate without asking whether its time zones are there; <c>CheckedEstate</c> asks that as well.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <returns>The estate, or every mistake that the file has.</returns>
    public static EstateResult Read(string path) => Read(path, EstateChecks.None);

    /// <summary>Reads an estate.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <param name="checks">Who is asked; a dialect of an estate may be one that is written later, and is not asked about.</param>
    /// <returns>The estate, or every mistake that the file has.</returns>
    public static EstateResult Read(string path, EstateChecks checks)
    {
        List<Problem> problems = [];
        EstateMap? estate = FileKind.Open(path, "an estate", problems) is { } root ? EstateJson.Read(root, path, checks) : null;
        return new EstateResult(problems.Count == 0 ? estate : null, problems);
    }

    /// <summary>Reads a list of switches: columns Site, Zone, Switch, Address, Link and Dialect, and where wanted Port, Credential and ClearText; commas, semicolons or tabs between them.</summary>
    /// <param name="path">The CSV file, whose first row names the columns; problems name it as it is given here.</param>
    /// <param name="defaultRestartSeconds">Seconds from power to serving again of every load: such a list knows no roles, so all loads have one.</param>
    /// <returns>An estate without windows, or every mistake that the file has.</returns>
    public static EstateResult ReadCsv(string path, double defaultRestartSeconds) => ReadCsv(path, defaultRestartSeconds, EstateChecks.None);

    /// <summary>Reads a list of switches as <see cref="ReadCsv(string, double)"/> does.</summary>
    /// <param name="path">The CSV file.</param>
    /// <param name="defaultRestartSeconds">Seconds from power to serving again of every load.</param>
    /// <param name="checks">Who is asked.</param>
    /// <returns>An estate without windows, or every mistake that the file has.</returns>
    public static EstateResult ReadCsv(string path, double defaultRestartSeconds, EstateChecks checks)
    {
        List<Problem> problems = [];
        EstateCsv list = new(path, problems, checks);
        EstateMap? estate = list.Read(defaultRestartSeconds);
        return new EstateResult(problems.Count == 0 ? estate : null, problems) { Remarks = list.Remarks };
    }

    /// <summary>Writes a copy of an estate in which every switch is somewhere else and time is a rehearsal's. Everything else stays as it was.</summary>
    /// <param name="sourcePath">The estate; it must be free of problems.</param>
    /// <param name="targetPath">Where the copy goes; a file that stands there is replaced.</param>
    /// <param name="change">What is different in the copy.</param>
    /// <exception cref="PoeOpsException">The first problem of the source, or of writing the copy.</exception>
    public static void Rewrite(string sourcePath, string targetPath, EstateChange change)
    {
        EstateResult source = Read(sourcePath);
        if (source.Estate is null)
        {
            throw new PoeOpsException(source.Problems[0]);
        }

        WholeFile.Write(targetPath, EstateRewrite.Text(source.Estate, change), overwrite: true);
    }
}
