using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>How to refresh one unit of a family, and what it prints meanwhile.</summary>
public sealed record RefreshManners
{
    /// <summary>The command per protocol (<c>tftp</c>, <c>scp</c>), with <c>{Unit} {Server} {ServerPort} {File}</c>.</summary>
    public IReadOnlyDictionary<string, string> Commands { get; init; } = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);

    /// <summary>What the device asks before it acts, and the answer.</summary>
    public IReadOnlyList<Exchange> Asks { get; init; } = [];

    /// <summary>What says how the device calls the work that it began, by a group Job, for <c>{Job}</c> in <see cref="Poll"/>.</summary>
    public IReadOnlyList<Regex> Job { get; init; } = [];

    /// <summary>The status command to poll where the prompt comes back at once, with <c>{Unit}</c> and <c>{Job}</c>; null where progress is printed on the line until the end.</summary>
    public string? Poll { get; init; }

    /// <summary>Seconds between two polls.</summary>
    public double PollSeconds { get; init; } = 5;

    /// <summary>The stages as the device names them, in order.</summary>
    public IReadOnlyList<StageManners> Stages { get; init; } = [];

    /// <summary>What it prints when all is done.</summary>
    public IReadOnlyList<Regex> Succeeds { get; init; } = [];

    /// <summary>What it prints when something failed.</summary>
    public IReadOnlyList<FailureRule> Fails { get; init; } = [];

    /// <summary>What it prints when a refresh is under way already.</summary>
    public IReadOnlyList<Regex> Busy { get; init; } = [];

    /// <summary>True where the connection lives on through the controller's reset.</summary>
    public bool SessionSurvivesReset { get; init; } = true;

    /// <summary>The time stamp with which the device begins the lines that it prints meanwhile, or null; taken off before a line is read.</summary>
    public TimeStampRule? TimeStamp { get; init; }

    /// <summary>Commands that put a port's setting back, per property, with <c>{Unit} {Port} {Value}</c>.</summary>
    public IReadOnlyDictionary<string, IReadOnlyList<string>> PutBack { get; init; } = new Dictionary<string, IReadOnlyList<string>>(StringComparer.Ordinal);
}

/// <summary>A stage as a device prints it.</summary>
public sealed record StageManners
{
    /// <summary>The stage's name, one of Transfer, Erase, Program, Reset.</summary>
    public string Stage { get; init; } = string.Empty;

    /// <summary>A line that says the stage has begun.</summary>
    public IReadOnlyList<Regex> Begins { get; init; } = [];

    /// <summary>A line, finished or not, with a group <c>Percent</c>.</summary>
    public IReadOnlyList<Regex> Progress { get; init; } = [];

    /// <summary>A line that says the stage has ended.</summary>
    public IReadOnlyList<Regex> Ends { get; init; } = [];

    /// <summary>Seconds from the stage's beginning to its end at the most.</summary>
    public double DeadlineSeconds { get; init; } = 600;

    /// <summary>Seconds that progress may stand still, or nothing may come, at the most.</summary>
    public double StallSeconds { get; init; } = 120;
}

/// <summary>A failure as a device prints it.</summary>
/// <param name="Pattern">The line.</param>
/// <param name="Because">What it means, in a few words for people.</param>
public sealed record FailureRule(Regex Pattern, string Because);
