using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>What the saved log of one or more refreshes shows.</summary>
/// <param name="Rows">What would have been seen, in order. Lines outside a refresh have no row.</param>
/// <param name="Refreshes">A summary of each refresh in it.</param>
/// <param name="Problems">What could not be read.</param>
public sealed record ReplayReading(IReadOnlyList<ReplayRow> Rows, IReadOnlyList<ReplaySummary> Refreshes, IReadOnlyList<Problem> Problems)
{
    /// <summary>True where there is a refresh and no problem, and every refresh was seen to its success, its failure, or the word that the device is busy.</summary>
    public bool IsWhole => Problems.Count == 0 && Refreshes.Count > 0 && Refreshes.All(refresh => refresh.Outcome is not (ReplayOutcome.Unended or ReplayOutcome.PromptBack));
}

/// <summary>Something that would have been seen while a refresh was watched.</summary>
public sealed record ReplayRow
{
    /// <summary>The log.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>The line's number, as an editor counts.</summary>
    public int Line { get; init; }

    /// <summary>Which refresh of the log it is of; the first is 1.</summary>
    public int Refresh { get; init; }

    /// <summary>The time as the log has it; empty where it has none.</summary>
    public string Time { get; init; } = string.Empty;

    /// <summary>Seconds since the command that started the refresh, or since the first time behind it; null where the line has none.</summary>
    public double? AtSeconds { get; init; }

    /// <summary>What was seen.</summary>
    public ReplayEvent Event { get; init; }

    /// <summary>The stage it is about; null where the line does not say.</summary>
    public Stage? Stage { get; init; }

    /// <summary>How much of the stage is done, 0 to 100; only for progress.</summary>
    public int? Percent { get; init; }

    /// <summary>What a failure means; empty elsewhere.</summary>
    public string Because { get; init; } = string.Empty;

    /// <summary>The line, or what of it was seen.</summary>
    public string Text { get; init; } = string.Empty;
}

/// <summary>What a line of a log was seen as.</summary>
public enum ReplayEvent
{
    /// <summary>A line that says nothing of the refresh.</summary>
    Other,
    /// <summary>A command: the one that starts the refresh, or one that asks for its state.</summary>
    Command,
    /// <summary>The device asked.</summary>
    Question,
    /// <summary>It was answered.</summary>
    Answer,
    /// <summary>The device stopped a long answer.</summary>
    Pager,
    /// <summary>A stage began.</summary>
    StageBegan,
    /// <summary>A stage got further.</summary>
    Progress,
    /// <summary>A stage ended.</summary>
    StageEnded,
    /// <summary>The device said that all is done.</summary>
    Succeeded,
    /// <summary>The device said that it failed.</summary>
    Failed,
    /// <summary>The device said that a refresh is under way already.</summary>
    Busy,
    /// <summary>The prompt came back. Where the dialect polls, the state is asked for from there on.</summary>
    PromptBack,
    /// <summary>The answer to a status command said it again.</summary>
    Repeated,
    /// <summary>A line of an answer that is thrown away: it was refused, or no prompt came behind it.</summary>
    Unseen,
}

/// <summary>How a refresh in a log ended.</summary>
public enum ReplayOutcome
{
    /// <summary>The log ends, or another refresh begins, before anything said how it ended.</summary>
    Unended,
    /// <summary>The device said that all is done.</summary>
    Succeeded,
    /// <summary>The device said that it failed.</summary>
    Failed,
    /// <summary>The device said that a refresh is under way already.</summary>
    Busy,
    /// <summary>The prompt came back without a word of success or failure.</summary>
    PromptBack,
}

/// <summary>One refresh of a log, summed up.</summary>
public sealed record ReplaySummary
{
    /// <summary>The log.</summary>
    public string File { get; init; } = string.Empty;

    /// <summary>Which refresh of the log it is; the first is 1.</summary>
    public int Refresh { get; init; }

    /// <summary>The line on which it begins.</summary>
    public int Line { get; init; }

    /// <summary>True where the command that starts it stands in the log; false where it begins with the first line that says something.</summary>
    public bool CommandSeen { get; init; }

    /// <summary>How it ended.</summary>
    public ReplayOutcome Outcome { get; init; }

    /// <summary>What a failure means; empty elsewhere.</summary>
    public string Because { get; init; } = string.Empty;

    /// <summary>Its last word; empty where it has none.</summary>
    public string Text { get; init; } = string.Empty;

    /// <summary>Seconds from its beginning to its last word; null where the log has no times.</summary>
    public double? Seconds { get; init; }

    /// <summary>Seconds of Transfer; null where it was not seen or the log has no times.</summary>
    public double? TransferSeconds { get; init; }

    /// <summary>Seconds of Erase; null where it was not seen or the log has no times.</summary>
    public double? EraseSeconds { get; init; }

    /// <summary>Seconds of Program; null where it was not seen or the log has no times.</summary>
    public double? ProgramSeconds { get; init; }

    /// <summary>Seconds of Reset; null where it was not seen or the log has no times.</summary>
    public double? ResetSeconds { get; init; }

    /// <summary>Stages that were seen, in order.</summary>
    public IReadOnlyList<string> StagesSeen { get; init; } = [];

    /// <summary>Stages of the dialect that were not.</summary>
    public IReadOnlyList<string> StagesNeverSeen { get; init; } = [];

    /// <summary>Lines that said nothing of the refresh.</summary>
    public int LinesOfNothing { get; init; }

    /// <summary>The times as a baseline's key <c>stageSeconds</c>, to be completed there; empty where no stage was timed.</summary>
    public string StageSeconds { get; init; } = string.Empty;
}
