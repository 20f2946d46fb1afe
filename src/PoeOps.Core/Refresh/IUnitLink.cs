using PoeOps.Estate;

namespace PoeOps.Refresh;

/// <summary>A way to one switch. Refresh owns this shape and does not know what is behind it. Every call ends within a deadline of its own.</summary>
public interface IUnitLink : IDisposable
{
    /// <summary>Reads the switch afresh over the line. Where the device had ended the session, it is read over a new one, once.</summary>
    /// <exception cref="PoeOpsException">The device could not be asked (link lost, silent, log-in refused, command refused).</exception>
    SwitchReading Read();

    /// <summary>Asks the device whether a refresh is under way on it, where its dialect can tell.</summary>
    /// <returns>What it says, or null where it says no or cannot tell.</returns>
    string? AskBusy();

    /// <summary>Sends the command that starts a refresh, and answers the device's questions. Does not wait for the end.</summary>
    /// <exception cref="PoeOpsException">
    /// The command could not be sent whole. What the device did of it is then unknown; but nothing was sent at all where the device had ended the session
    /// before (<see cref="ProblemId.SessionEnded"/>).
    /// </exception>
    void Start(RefreshOrder order);

    /// <summary>Waits for the next thing that the device says about a refresh that was started.</summary>
    /// <param name="until">When to give up waiting.</param>
    /// <returns>What it said, or an event of kind <see cref="LinkEventKind.Silence"/> at the deadline. A lost link is an event, not an exception.</returns>
    LinkEvent Next(Deadline until);

    /// <summary>Closes the session, however it is, and opens a new one.</summary>
    /// <exception cref="PoeOpsException">No session could be opened.</exception>
    void Reopen();

    /// <summary>Puts a port's setting back to what it was.</summary>
    /// <exception cref="PoeOpsException">The device refused, or its dialect cannot do it.</exception>
    void PutBack(Port before, string property);

    /// <summary>The deadline of a stage, and how long its progress may stand still, as the device's dialect says.</summary>
    (TimeSpan Deadline, TimeSpan Stall) Limits(Stage stage);

    /// <summary>The machine's time that went by in waiting for the device so far, in all sessions.</summary>
    TimeSpan Waited { get; }

    /// <summary>The file that holds the raw dialogue; null where none is kept.</summary>
    string? TranscriptPath { get; }
}

/// <summary>What to load, and from where.</summary>
/// <param name="Unit">The unit as the device names it.</param>
/// <param name="Protocol"><c>tftp</c> or <c>scp</c>.</param>
/// <param name="Server">The file server's host, without a port.</param>
/// <param name="ServerPort">The file server's port.</param>
/// <param name="File">The image's name on the server.</param>
public sealed record RefreshOrder(string Unit, string Protocol, string Server, int ServerPort, string File);

/// <summary>What a switch said of itself, and what of it could not be read.</summary>
/// <param name="Controllers">Its controllers with their ports.</param>
/// <param name="Problems">What could not be read.</param>
public sealed record SwitchReading(IReadOnlyList<Controller> Controllers, IReadOnlyList<Problem> Problems);

/// <summary>Something that a device said about a refresh under way.</summary>
/// <param name="Kind">What it was.</param>
/// <param name="Text">The line it was said in, control characters shown as escapes; of a silence the line that has no end yet, empty where there is none.</param>
public sealed record LinkEvent(LinkEventKind Kind, string Text)
{
    /// <summary>The stage it is about; null where the line does not say.</summary>
    public Stage? Stage { get; init; }

    /// <summary>How much of the stage is done, 0 to 100; only for progress.</summary>
    public int? Percent { get; init; }

    /// <summary>What a failure means, in a few words for people; null elsewhere.</summary>
    public string? Because { get; init; }
}

/// <summary>Kinds of things that a device says about a refresh.</summary>
public enum LinkEventKind
{
    /// <summary>A stage began.</summary>
    StageBegan,
    /// <summary>A stage got further.</summary>
    Progress,
    /// <summary>A stage ended.</summary>
    StageEnded,
    /// <summary>The device says that all is done.</summary>
    Succeeded,
    /// <summary>The device says that it failed.</summary>
    Failed,
    /// <summary>The device says that a refresh is under way already, or that it cannot now.</summary>
    Busy,
    /// <summary>Nothing came until the deadline.</summary>
    Silence,
    /// <summary>The connection is gone.</summary>
    Lost,
    /// <summary>The prompt came back without a word of success or failure.</summary>
    PromptBack,
    /// <summary>A line that no rule reads.</summary>
    Other,
}
