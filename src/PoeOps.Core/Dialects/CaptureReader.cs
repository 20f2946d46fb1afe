using System.Globalization;

namespace PoeOps.Dialects;

/// <summary>
/// Reads what a device printed by its dialect. Every line is read, ignored by a named rule, blank, a prompt, or reported; a row that cannot be
/// read whole is reported and left out. Never throws for bad input.
/// </summary>
public static class CaptureReader
{
    /// <summary>Reads a text.</summary>
    /// <param name="dialect">How the device speaks.</param>
    /// <param name="text">What it printed.</param>
    /// <param name="context">What is known beside the text.</param>
    public static Reading Read(Dialect dialect, CaptureText text, ReadingContext context)
    {
        var walk = new LineWalk(dialect, context.KeepLines);
        List<Problem> problems = [.. text.Problems];
        walk.Run(text.Lines);
        problems.AddRange(walk.Problems);
        if (walk.ReadLines == 0 && !walk.HadJson && text.Lines.Any(line => line.Kind == CaptureLineKind.Text) && (walk.UnreadLines > 0 || walk.KnownLines == 0))
        {
            problems.RemoveAll(problem => problem.Id == ProblemId.LineUnread);
            problems.Add(OtherFamily(dialect, text.Source, walk.UnreadLines == 0 ? "there are only empty lines" : $"none of the {walk.UnreadLines.ToString(CultureInfo.InvariantCulture)} lines that hold something fits any of its rules"));
        }
        else if (text.OfFiles)
        {
            TellStrangersOnce(dialect, walk, problems);
        }

        IReadOnlyList<Estate.Controller> controllers = new ControllerAssembly(dialect, context).Build(walk.Records, problems);
        return new Reading(controllers, [.. problems.Select(problem => Named(problem, context.Switch))], walk.Lines);
    }

    // While lines are read a problem names its unit as the device does; outside it is named with its switch.
    private static Problem Named(Problem problem, string switchName) =>
        switchName.Length == 0 ? problem : problem with { Target = problem.Target is null ? switchName : switchName + "/" + problem.Target };

    // Of several files each must be of the family; of the answers to several commands one may hold nothing that is read.
    private static void TellStrangersOnce(Dialect dialect, LineWalk walk, List<Problem> problems)
    {
        string[] strangers = [.. problems.Where(problem => problem.Id == ProblemId.LineUnread && problem.File is not null).Select(problem => problem.File!).Distinct().Where(file => !walk.SourcesRead.Contains(file))];
        foreach (string file in strangers)
        {
            problems.RemoveAll(problem => problem.Id == ProblemId.LineUnread && problem.File == file);
            problems.Add(OtherFamily(dialect, file, "no block of it begins anywhere"));
        }
    }

    private static Problem OtherFamily(Dialect dialect, string source, string why) =>
        new(
            ProblemId.CaptureOfAnotherFamily, $"The dialect '{dialect.Name}' reads nothing here: {why}.",
            "Check that this is a capture of that family and of the commands that the dialect asks.")
        { File = source };
}
