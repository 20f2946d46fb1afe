namespace PoeOps.Refresh;

/// <summary>Where a run writes down what it does. Refresh owns this shape; the journal is one of it. A write that returns is on disk.</summary>
public interface IRunRecord
{
    /// <summary>Writes one entry and returns when it is safe.</summary>
    /// <exception cref="PoeOpsException">It could not be written (<see cref="ProblemId.JournalNotWritable"/>).</exception>
    void Write(RunEntry entry);
}

/// <summary>One entry of a record.</summary>
/// <param name="Kind">What happened.</param>
/// <param name="Utc">When, by the run's clock, UTC.</param>
/// <param name="Unit">The unit as its id prints; empty for the run as a whole.</param>
/// <param name="Facts">Names and values, in the order to print; values are strings, numbers, Booleans, UTC times or lists of strings.</param>
public sealed record RunEntry(RunEntryKind Kind, DateTime Utc, string Unit, IReadOnlyList<KeyValuePair<string, object?>> Facts);

/// <summary>Kinds of entries.</summary>
public enum RunEntryKind
{
    /// <summary>A run began: who, where, which plan.</summary>
    RunBegan,
    /// <summary>A gate of a unit passed, refused or was skipped.</summary>
    Gate,
    /// <summary>A unit begins: on disk before the first byte is sent that could change it.</summary>
    Begin,
    /// <summary>A stage of a unit began.</summary>
    StageBegan,
    /// <summary>A stage of a unit got further.</summary>
    Progress,
    /// <summary>A stage of a unit ended.</summary>
    StageEnded,
    /// <summary>A transfer from the file server ended.</summary>
    Served,
    /// <summary>A port's setting was put back, or could not be.</summary>
    PutBack,
    /// <summary>How long each load of a unit was dark, seconds, by its port; null for one that has no power.</summary>
    LoadsBack,
    /// <summary>Something worth knowing.</summary>
    Note,
    /// <summary>A unit ended: outcome, versions, what is not back.</summary>
    End,
    /// <summary>A unit was not begun: refused or skipped.</summary>
    Passed,
    /// <summary>A stop was asked for.</summary>
    StopAsked,
    /// <summary>A run ended.</summary>
    RunEnded,
}
