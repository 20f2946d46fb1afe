namespace PoeOps.Refresh;

/// <summary>What earlier runs of a plan left in their record, for the run that goes on with it.</summary>
/// <param name="Line">Where the last of them began in the record; the first line is 1.</param>
/// <param name="Units">The planned units that were begun, by their place in the plan.</param>
public sealed record RunPast(int Line, IReadOnlyDictionary<int, UnitPast> Units);

/// <summary>What is known of a planned unit that was begun.</summary>
public sealed record UnitPast
{
    /// <summary>When it was begun, UTC.</summary>
    public DateTime BeganUtc { get; init; }

    /// <summary>When something was last written about it by the run that began it, UTC.</summary>
    public DateTime LastUtc { get; init; }

    /// <summary>The stage that it was last watched in, Reset at the latest: what the run did afterwards says nothing sure about the device.</summary>
    public Stage Stage { get; init; } = Stage.Transfer;

    /// <summary>How it ended; null where its end is not written.</summary>
    public StageOutcome? Outcome { get; init; }

    /// <summary>How many loads were powered before; null where the record does not say.</summary>
    public int? Loads { get; init; }

    /// <summary>Its ports before, as the record says them; null where it does not.</summary>
    public IReadOnlyList<string>? Ports { get; init; }

    /// <summary>True where nobody knows what became of it, so that it is asked before anything is sent to it.</summary>
    public bool IsOpen => Outcome is null or StageOutcome.Uncertain or StageOutcome.Detached;

    /// <summary>True where it was seen to run its target.</summary>
    public bool IsAtTarget => Outcome is StageOutcome.Done or StageOutcome.Degraded;
}
