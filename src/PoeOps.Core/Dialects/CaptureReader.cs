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

        // Of several files each must be of the family; of the answers to several commands one may hold nothing that is read.
        foreach (SourceTally tally in text.OfFiles ? walk.Tallies : [SourceTally.Sum(text.Source, walk.Tallies)])
        {
            TellStranger(dialect, tally, text.OfFiles, problems);
        }

        IReadOnlyList<Estate.Controller> controllers = new ControllerAssembly(dialect, context).Build(walk.Records, problems, walk.Cuts);
        return new Reading(controllers, [.. problems.Select(problem => Named(problem, context.Switch))], walk.Lines) { Release = ControllerAssembly.ReleaseIn(walk.Records) };
    }

    // While lines are read a problem names its unit as the device does; outside it is named with its switch.
    private static Problem Named(Problem problem, string switchName) =>
        switchName.Length == 0 ? problem : problem with { Target = problem.Target is null ? switchName : switchName + "/" + problem.Target };

    // A text of which no block read a line is told once, in the place of each of its lines. Where a pattern came to no end that is the reason, and
    // it has been told.
    private static void TellStranger(Dialect dialect, SourceTally tally, bool ofFile, List<Problem> problems)
    {
        bool nothingToRead = ofFile && CaptureName.IsOneAnswer(tally.Source) && tally.Unread == 0;
        if (tally.Lines == 0 || tally.Read > 0 || tally.Slow || tally.Json || nothingToRead)
        {
            return;
        }

        problems.RemoveAll(problem => problem.Id == ProblemId.LineUnread && (!ofFile || problem.File == tally.Source));
        bool oneLine = tally.Overwritten == tally.Lines;
        string advice = oneLine ? "Save it with line feeds, as a console prints them." : "Check that this is a capture of that family and of the commands that the dialect asks.";
        problems.Add(new Problem(ProblemId.CaptureOfAnotherFamily, $"The dialect '{dialect.Name}' reads nothing here: {Why(tally, oneLine)}.", advice) { File = tally.Source });
    }

    private static string Why(SourceTally tally, bool oneLine) =>
        oneLine ? "carriage returns without line feeds let each line overwrite the one before"
        : tally.Unread == 1 ? "the one line that holds something fits none of its rules"
        : tally.Unread > 0 ? $"none of the {tally.Unread.ToString(CultureInfo.InvariantCulture)} lines that hold something fits any of its rules"
        : tally.Known > 0 ? "there are only prompts and lines that it ignores"
        : "there are only empty lines";
}
