using PoeOps.Dialects;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>
/// Replays the saved console log of a refresh through the refresh part of a dialect, by the same words that a live console is watched with, and
/// tells what would have been seen when. Never throws for a bad log.
/// </summary>
public static class RefreshReplay
{
    /// <summary>Replays a log: a transcript of this module, or the text that a terminal program saved, perhaps with a time stamp on each line.</summary>
    /// <param name="dialect">How the device speaks.</param>
    /// <param name="file">The log; problems name it as it is given here.</param>
    /// <param name="stamp">The time stamp that a terminal program put before each line; null for the one that the dialect names, if any.</param>
    public static ReplayReading Of(Dialect dialect, string file, TimeStampRule? stamp = null)
    {
        if (dialect.Refresh is not { } manners)
        {
            return new ReplayReading([], [], [NoRefresh(dialect)]);
        }

        List<Problem> problems = [];
        var rows = new ReplayRows(file);
        LogPiece? at = null;
        try
        {
            IReadOnlyList<LogPiece> pieces = new LogText(file, dialect, stamp, problems).Read();
            var walk = new ReplayWalk(dialect, manners, rows, pieces);
            for (int i = 0; i < pieces.Count; i++)
            {
                at = pieces[i];
                walk.Take(at, i + 1 < pieces.Count ? pieces[i + 1] : null);
            }

            walk.Finish();
        }
        catch (PoeOpsException exception)
        {
            // A pattern that comes to no end stops the watching of a live console as well.
            problems.Add(exception.Problem with { File = file, Line = at?.Line });
        }

        if (rows.All.Count == 0 && problems.Count == 0)
        {
            problems.Add(Nothing(dialect, file));
        }

        return new ReplayReading(rows.All, ReplaySums.Of(rows.All, manners), problems);
    }

    private static Problem NoRefresh(Dialect dialect) =>
        new(ProblemId.JsonMissingKey, $"The dialect '{Excerpt.Of(dialect.Name)}' says nothing of refreshing.", "Add 'refresh' to the dialect.") { File = dialect.SourcePath };

    private static Problem Nothing(Dialect dialect, string file) =>
        new(
            ProblemId.CaptureOfAnotherFamily, $"The dialect '{Excerpt.Of(dialect.Name)}' sees no refresh here: no command starts one, and no line says anything of one.",
            "Check that this is the log of a refresh of that family; where its lines begin with a time, give the time's pattern.")
        { File = file };
}
