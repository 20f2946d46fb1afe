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
        if (walk.ReadLines == 0 && walk.UnreadLines > 0 && text.Lines.Count > 0)
        {
            problems.RemoveAll(problem => problem.Id == ProblemId.LineUnread);
            problems.Add(OtherFamily(dialect, text, walk.UnreadLines));
        }

        IReadOnlyList<Estate.Controller> controllers = new ControllerAssembly(dialect, context).Build(walk.Records, problems);
        return new Reading(controllers, [.. problems.Select(problem => Named(problem, context.Switch))], walk.Lines);
    }

    // While lines are read a problem names its unit as the device does; outside it is named with its switch.
    private static Problem Named(Problem problem, string switchName) =>
        switchName.Length == 0 ? problem : problem with { Target = problem.Target is null ? switchName : switchName + "/" + problem.Target };

    private static Problem OtherFamily(Dialect dialect, CaptureText text, int unread) =>
        new(
            ProblemId.CaptureOfAnotherFamily,
            $"The dialect '{dialect.Name}' reads nothing here: none of the {unread.ToString(CultureInfo.InvariantCulture)} lines that hold something fits any of its rules.",
            "Check that this is a capture of that family and of the commands that the dialect asks.")
        { File = text.Source };
}
