namespace PoeOps.Baselines;

/// <summary>How long the stages of a refresh take, by the stage's name. Recover is not among them: it comes from the loads' roles.</summary>
/// <param name="Stages">The times by stage name, such as <c>Erase</c>.</param>
public sealed record StageTimes(IReadOnlyDictionary<string, StageTime> Stages)
{
    /// <summary>The stages whose times a baseline names, in the order in which they happen.</summary>
    public static IReadOnlyList<string> Names { get; } = ["Gate", "Transfer", "Erase", "Program", "Reset", "Verify"];

    /// <summary>The gates' time where the baseline has none.</summary>
    public static StageTime DefaultGate { get; } = new(30, 60);

    /// <summary>No times at all.</summary>
    public static StageTimes None { get; } = new(new Dictionary<string, StageTime>(StringComparer.Ordinal));

    /// <summary>The times of a stage, or null where none are known.</summary>
    /// <param name="stage">The stage's name.</param>
    public StageTime? Of(string stage) => Stages.TryGetValue(stage, out StageTime? time) ? time : null;
}

/// <summary>How long one stage takes.</summary>
/// <param name="TypicalSeconds">As a rule.</param>
/// <param name="WorstSeconds">At the most; never less than typical.</param>
public sealed record StageTime(double TypicalSeconds, double WorstSeconds);
