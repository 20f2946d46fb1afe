using Newtonsoft.Json;
using Newtonsoft.Json.Linq;
using PoeOps.Files;

namespace PoeOps.Planning;

/// <summary>A plan as it was read, or null with the problems that stand in the way.</summary>
/// <param name="Plan">The plan, or null.</param>
/// <param name="Problems">Every mistake of the file.</param>
public sealed record PlanResult(Plan? Plan, IReadOnlyList<Problem> Problems);

/// <summary>
/// Reads and writes plan files (<c>*.plan.json</c>). The plan that was approved is the plan that runs: its fingerprint is the SHA-256 of its content,
/// which holds what it was made from (the estate's digest; model, serial, release and firmware of each unit), so a plan that was changed afterwards
/// is refused. It finds changes, not forgers: who can write the file can write the fingerprint.
/// </summary>
public static class PlanFile
{
    private const string RemakeAdvice = "Make the plan again with New-PsePlan, and have it approved again.";

    /// <summary>Says why a plan is not written to a place, as far as it can be told without writing.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="path">The file.</param>
    /// <param name="overwrite">True to replace a file that stands there; the estate that the plan was made from is never replaced.</param>
    /// <returns>The problem that <see cref="Write"/> would throw: <see cref="ProblemId.FileExists"/>, <see cref="ProblemId.FileNotWritable"/>; or null.</returns>
    public static Problem? Check(Plan plan, string path, bool overwrite) =>
        HoldsTheEstate(plan, path)
            ? new Problem(ProblemId.FileExists, $"The file '{path}' holds the estate that the plan is made from, and is never replaced by it.", "Give the plan a file of its own.") { File = path }
            : WholeFile.Check(path, overwrite);

    /// <summary>Writes a plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="path">The file.</param>
    /// <param name="overwrite">True to replace a file that stands there.</param>
    /// <returns>The plan with its fingerprint.</returns>
    /// <exception cref="PoeOpsException">A file stands there (<see cref="ProblemId.FileExists"/>), or none can be written (<see cref="ProblemId.FileNotWritable"/>).</exception>
    public static Plan Write(Plan plan, string path, bool overwrite)
    {
        if (Check(plan, path, overwrite) is { } wrong)
        {
            throw new PoeOpsException(wrong);
        }

        JObject body = PlanJson.Write(plan);
        string fingerprint = PlanDigest.OfText(body.ToString(Formatting.None));
        JObject file = new(new JProperty("$schema", "poeops.plan.schema.json"), new JProperty("fingerprint", fingerprint));
        foreach (JProperty property in body.Properties())
        {
            file.Add(property.Name, property.Value);
        }

        WholeFile.Write(path, file.ToString(Formatting.Indented) + "\n", overwrite);
        return plan with { Fingerprint = fingerprint };
    }

    // By its content too: a link or another spelling of the path may lead to it.
    private static bool HoldsTheEstate(Plan plan, string path)
    {
        try
        {
            return File.Exists(path)
                && (Path.GetFullPath(path) == Path.GetFullPath(plan.EstatePath) || (TextFile.Read(path).Text is { } text && text == TextFile.Read(plan.EstatePath).Text));
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            // Whatever is wrong with a path, using it tells.
            return false;
        }
    }

    /// <summary>Reads a plan.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <returns>The plan, or every mistake that the file has; <see cref="ProblemId.PlanAltered"/> where it has none and its fingerprint does not fit it.</returns>
    public static PlanResult Read(string path)
    {
        List<Problem> problems = [];
        if (FileKind.Open(path, "a plan", problems) is not { } root)
        {
            return new PlanResult(null, problems);
        }

        string fingerprint = root.Text("fingerprint", required: true) ?? string.Empty;
        Plan plan = PlanJson.Read(root);
        root.Close();
        if (problems.Count == 0 && PlanDigest.OfText(PlanJson.Write(plan).ToString(Formatting.None)) != fingerprint)
        {
            problems.Add(new Problem(ProblemId.PlanAltered, "The plan's text was changed after it was made: its fingerprint does not fit it.", RemakeAdvice) { File = path });
        }

        return new PlanResult(problems.Count == 0 ? plan with { Fingerprint = fingerprint } : null, problems);
    }

    /// <summary>Says whether the files that a plan was made from, estate and baselines, have changed since.</summary>
    /// <param name="plan">The plan.</param>
    /// <returns>The problem (<see cref="ProblemId.PlanStale"/>), which names what of the file changed; or null.</returns>
    public static Problem? Stale(Plan plan)
    {
        PlanSource estate = new() { Path = plan.EstatePath, Sha256 = plan.EstateSha256, Parts = plan.EstateParts };
        return Stale("estate", estate) ?? plan.Baselines.Select(baseline => Stale("baseline", baseline)).FirstOrDefault(problem => problem is not null);
    }

    private static Problem? Stale(string kind, PlanSource source) => SourceParts.Changed(source) is { } changed
        ? new Problem(ProblemId.PlanStale, $"The {kind} file '{source.Path}' {changed}.", RemakeAdvice) { File = source.Path }
        : null;
}
